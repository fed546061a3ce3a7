"""Team lists and line-ups: accepted when complete, changed afterwards only where the book allows it."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine, refuse
from crewlink.match.commands import LineUp, ListTeam, NameCaptain
from crewlink.match.completed import prepared_phase
from crewlink.match.facts import CaptainNamed, LineUpGiven, TeamListed
from crewlink.match.ruling import Decision, Ruling, Severity
from crewlink.match.scoring import PLAYING
from crewlink.match.sheet_check import defects, on_list, written_liberos
from crewlink.match.state import Match, OnCourt, found, with_court, with_squad
from crewlink.match.teams import Team
from crewlink.rules.profile import Sheet


def decide(match: Match, command: LineUp) -> Decision:
    """Accept a complete sheet; send back any other, each defect named."""
    if match.finished:
        return refuse(match, "match_over", "The match is over.")
    if match.phase in PLAYING:
        return refuse(match, "set_begun", "The set has begun: changes only by substitution.")
    wrong = defects(match, command)
    if wrong:
        more = f" And {len(wrong) - 1} more." if len(wrong) > 1 else ""
        code = "line_up_number_unlisted" if wrong[0].code == "not_on_list" else "line_up_defect"
        sentence = f"Send the sheet back: {wrong[0].sentence}{more}"
        ruling = Ruling(code, Severity.REFUSE, sentence, match.profile.reference(code), wrong)
        return Decision((), ruling)
    fact = _fact(match, command)
    if match.court(command.team).order and not _may_change(match, command):
        sentence = "The line-up is handed in: changes only by substitution."
        return refuse(match, "line_up_changed", sentence, fact)
    hands = " At the check each captain raises a hand." if match.profile.line_up.captains_raise_hand else ""
    return fine(match, "line_up", f"Line-up {command.team} is in.{hands}", fact)


def _may_change(match: Match, command: LineUp) -> bool:
    until, left = match.profile.line_up.free_changes_until, command.warm_up_left
    if until is None or left is None or match.set_number > 1 or match.court(command.team).swaps:
        return False
    return left >= until


def _fact(match: Match, command: LineUp) -> LineUpGiven:
    one, two, three, four, five, six = (number or 0 for number in command.positions)
    return LineUpGiven(
        command.team,
        (one, two, three, four, five, six),
        written_liberos(command),
        command.captain,
        command.signed,
        match.set_number,
    )


def decide_list(match: Match, command: ListTeam) -> Decision:
    """A team list may be entered before the match; later it is a correction for R1."""
    fact = TeamListed(command.team, command.sheet)
    sheet = command.sheet
    doubled = {n for n in sheet.players if sheet.players.count(n) > 1}
    if doubled:
        return refuse(match, "number_twice", f"{min(doubled)} is on the list twice.")
    strangers = [n for n in sheet.liberos if sheet.players and n not in sheet.players]
    if strangers:
        return refuse(match, "libero_not_listed", f"Libero {strangers[0]} is not on the team list.")
    if match.phase in PLAYING or match.sets:
        return refuse(match, "list_closed", "The match has begun: the team list is closed.", fact)
    return fine(match, "team_listed", f"Team list {command.team} is in.", fact)


def decide_captain(match: Match, command: NameCaptain) -> Decision:
    """Any player on court may act as captain; a libero where the book says so."""
    fact = CaptainNamed(command.team, command.number)
    court, squad = match.court(command.team), match.squad(command.team)
    if court.order and command.number not in court.order:
        return refuse(match, "not_on_court", f"{command.number} is not on court.", fact)
    if not on_list(squad, command.number):
        return refuse(match, "not_on_list", f"{command.number} is not on the team list.", fact)
    if command.number in squad.liberos and not match.profile.libero.may_be_captain:
        return refuse(match, "libero_captain", "A libero may not be captain.", fact)
    return fine(match, "captain", f"Captain {command.team} is {command.number}.", fact)


def captain_on_court(match: Match, team: Team) -> int | None:
    """The captain marked on the sheet, else on the list, while on court; else the one named; None: nobody."""
    court = match.court(team)
    marked = court.captain if court.captain is not None else match.squad(team).captain
    return next((n for n in (marked, court.acting) if n is not None and n in court.order), None)


def captain_due(match: Match) -> tuple[Team, ...]:
    """Teams whose captain has left the court while a set is played: one must be named."""
    if match.phase not in PLAYING:
        return ()
    return tuple(team for team in Team if _has_captain(match, team) and captain_on_court(match, team) is None)


def _has_captain(match: Match, team: Team) -> bool:
    return match.court(team).captain is not None or match.squad(team).captain is not None


def evolve(match: Match, fact: LineUpGiven) -> Match:
    """Put the six on court; the liberos of the sheet where they are named on it."""
    if match.phase in PLAYING or match.finished:
        return found(match, "line_up_in_set", f"A line-up of {fact.team} was written out of place.")
    team = fact.team
    points = match.court(team).points
    placed = OnCourt(points=points, line_up=fact.positions, order=fact.positions, captain=fact.captain)
    barred = match.court(team).barred
    match = with_court(match, team, **structs.asdict(structs.replace(placed, barred=barred)))
    if match.profile.libero.named_on is Sheet.LINE_UP_SHEET and not match.squad(team).libero_named:
        match = with_squad(match, team, liberos=fact.liberos)
    return structs.replace(match, phase=prepared_phase(match))


def evolve_list(match: Match, fact: TeamListed) -> Match:
    """Take the list."""
    liberos = match.squad(fact.team).liberos
    if match.profile.libero.named_on is Sheet.SCORE_SHEET:
        liberos = fact.sheet.liberos
    return with_squad(match, fact.team, sheet=fact.sheet, captain=fact.sheet.captain, liberos=liberos)


def evolve_captain(match: Match, fact: CaptainNamed) -> Match:
    """Keep who is captain on court."""
    if not on_list(match.squad(fact.team), fact.number):
        match = found(match, "not_on_list", f"Captain {fact.number} of {fact.team} is not on the team list.")
    return with_court(match, fact.team, acting=fact.number)
