"""The audit of a record: does everything on it agree, and is nothing left undone?

Points are counted three ways: line by line as each says, over the set from the winners less what was
cancelled, and from the list of rallies that the match keeps. Pure; each finding names its entry.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from crewlink.match import timeout
from crewlink.match.chain import Chain, Line
from crewlink.match.facts import Corrected, Overruled, RallyWon
from crewlink.match.scoring import PLAYING, match_over, match_winner, set_winner
from crewlink.match.standing import Owed, owed
from crewlink.match.state import Match
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Cause, Phase, RemarkKind
from crewlink.record.tally import Tally


class AuditFinding(Struct, frozen=True):
    """Something that does not agree, or is left undone: stable code, one sentence, the entry it is about.

    `entry`: None where it is about the match before its first line.
    """

    code: str
    sentence: str
    entry: bytes | None = None


def audit(chain: Chain) -> tuple[AuditFinding, ...]:
    """All findings of a record, those about single lines first."""
    last = chain.line(len(chain) - 1).entry_id if len(chain) else None
    return (
        *(AuditFinding("does_not_fit", f.sentence, entry) for entry, f in chain.finding_entries()),
        *_points(chain),
        *_over_limits(chain),
        *_served_on(chain),
        *_sets(chain.match, last),
        *_result(chain.match, last),
        *_left_open(chain.match, last),
    )


def shown(score: Score) -> str:
    """ "25:23"."""
    return f"{score[0]}:{score[1]}"


def _points(chain: Chain) -> Iterator[AuditFinding]:
    """The three counts, after every line; only the first line from which they differ is named."""
    tally = Tally(chain.start_match)
    said = False
    for line in chain.lines:
        for fact in line.counts:
            tally.add(fact)
        problem = _counts_differ(tally, line.match)
        if problem is not None and not said:
            yield AuditFinding("points_differ", problem, line.entry_id)
        said = problem is not None


def _counts_differ(tally: Tally, match: Match) -> str | None:
    kept = [one.score for one in match.sets]
    if tally.sets != kept:
        counted = ", ".join(map(shown, tally.sets)) or "none"
        return (
            f"Finished sets by the lines: {counted}; in the match: {', '.join(map(shown, kept)) or 'none'}."
        )
    if not match.finished and tally.now != match.score:
        return f"By the lines it is {shown(tally.now)}, in the match {shown(match.score)}."
    if tally.ruled or match.phase not in PLAYING or _before_the_record(match):
        return None
    rallies = _by_rallies(match)
    if rallies != match.score:
        return f"By the rallies kept it is {shown(rallies)}, in the match {shown(match.score)}."
    return None


def _before_the_record(match: Match) -> bool:
    """True if a correction reached back before the moment at which this record was taken up."""
    return any(now < start for now, start in zip(match.score, match.start_score, strict=True))


def _by_rallies(match: Match) -> Score:
    winners = [line.winner for line in match.rallies]
    a, b = match.start_score
    return a + winners.count(Team.A), b + winners.count(Team.B)


def _over_limits(chain: Chain) -> Iterator[AuditFinding]:
    """A time-out or substitution more than the book allows, unless R1 let it stand."""
    before = chain.start_match
    for line in chain.lines:
        if not any(isinstance(fact, Overruled) for fact in line.counts):
            yield from _more_than_allowed(before, line)
        before = line.match


def _more_than_allowed(before: Match, line: Line) -> Iterator[AuditFinding]:
    rules = line.match.profile
    for team in Team:
        old, new = before.court(team), line.match.court(team)
        pairs = (
            ("time-outs", old.time_outs, new.time_outs, rules.time_outs.per_set),
            ("substitutions", old.substitutions, new.substitutions, rules.substitutions.per_set),
        )
        for name, was, used, allowed in pairs:
            if used > allowed and used > was:
                sentence = f"Team {team} has {used} {name}, allowed are {allowed}."
                yield AuditFinding("over_limit", sentence, line.entry_id)


def _served_on(chain: Chain) -> Iterator[AuditFinding]:
    """Points played while something was owed before the service."""
    before = chain.start_match
    for place, line in enumerate(chain.lines):
        if any(isinstance(fact, RallyWon) for fact in line.counts):
            for one in owed(before):
                if not _settled(chain, place, one):
                    sentence = f"Played on although this was due: {one.sentence}"
                    yield AuditFinding(f"owed_{one.code}", sentence, line.entry_id)
        before = line.match


def _settled(chain: Chain, place: int, one: Owed) -> bool:
    """True if it came to light and was dealt with: a remark for the courts, a correction for a player."""
    if one.code == "courts":
        return any(n.kind is RemarkKind.COURT_CHANGE_FORGOTTEN and n.line > place for n in chain.match.notes)
    causes = (Cause.ILLEGAL_LIBERO, Cause.RULED)
    later = (fact for at in range(place, len(chain)) for fact in chain.line(at).counts)
    return any(
        isinstance(fact, Corrected) and fact.cause in causes and (fact.team in (None, one.team))
        for fact in later
    )


def _sets(match: Match, last: bytes | None) -> Iterator[AuditFinding]:
    """Every finished set has a score that wins it; none is missing and none is one too many."""
    for place, one in enumerate(match.sets, 1):
        if one.number != place:
            yield AuditFinding("set_missing", f"Set {place} is missing: set {one.number} follows.", last)
        if set_winner(match.format, one.number, one.score) is not one.winner:
            yield AuditFinding("set_not_won", f"Set {one.number} cannot end {shown(one.score)}.", last)
    won = (0, 0)
    for place, one in enumerate(match.sets[:-1], 1):
        won = (won[0] + (one.winner is Team.A), won[1] + (one.winner is Team.B))
        if match_over(match.format, place, won):
            yield AuditFinding("set_too_many", f"The match was over after set {place}.", last)
    if match.phase in PLAYING and set_winner(match.format, match.set_number, match.score) is not None:
        yield AuditFinding("set_goes_on", f"The set is won at {shown(match.score)}, but it goes on.", last)


def _result(match: Match, last: bytes | None) -> Iterator[AuditFinding]:
    """Sets won, the end of the match and its winner follow from the sets."""
    winners = [one.winner for one in match.sets]
    won = (winners.count(Team.A), winners.count(Team.B))
    if match.sets_won != won:
        yield AuditFinding("sets_won", f"Sets won are {shown(won)}, kept are {shown(match.sets_won)}.", last)
    over = match_over(match.format, len(match.sets), won)
    if over is not match.finished:
        sentence = "The match is won, but it goes on." if over else "The match has ended before it was won."
        yield AuditFinding("match_end", sentence, last)
    if match.finished and match.winner is not match_winner(won):
        yield AuditFinding("winner", f"By the sets, {shown(won)}, the winner is another.", last)


def _left_open(match: Match, last: bytes | None) -> Iterator[AuditFinding]:
    """What must be done before the match goes on, or before it is signed."""
    if match.protest is not None:
        yield AuditFinding("protest_open", f"The protest of team {match.protest} is not decided.", last)
    if match.standstill is not None or match.phase is Phase.STOPPED:
        yield AuditFinding("stopped", "Play is stopped and was not resumed.", last)
    if match.phase is Phase.TIME_OUT:
        yield AuditFinding("time_out_runs", "A time-out is still running.", last)
    if timeout.technical_due(match) is not None:
        yield AuditFinding("technical_due", "A technical time-out is due.", last)
    for one in owed(match):
        yield AuditFinding(f"owed_{one.code}", one.sentence, last)
