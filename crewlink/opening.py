"""What a new court is made of: its names, rules, format and team lists, before anything is signed.

Pure. A plan is checked here, defect by defect with the place it is in; `crewlink.home` makes the folder.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct

from crewlink.charter import Charter, Names, Settings, TeamNames
from crewlink.crew.posts import CREW, Post
from crewlink.match.beginning import SetupError, begin
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import TeamSheet
from crewlink.rules.format import Format, FormatError, FormatOptions, resolve
from crewlink.rules.loading import SHIPPED, ProfileError, shipped
from crewlink.team_list import LEAST, MOST

NAME_LETTERS, SHORT_LETTERS, COURT_LETTERS, EVENT_LETTERS, RESPONSIBLE_LETTERS = 16, 9, 12, 32, 40
MOST_DAYS = 3650
NAME_WIDE, NAME_SIZE = 222, 28
SHORT_WIDE, SHORT_SIZE = 174, 32
"""Where a name must fit, px, and the type size it is set in there, bold (the table's bench, the board)."""

LEAST_PLAYERS = 6
MOST_LISTED = 20

Measure = Callable[[str, int], float]
"""Width of a text in bold letters of a size, px."""


class TeamPlan(Struct, frozen=True):
    """One team. `numbers`: the whole list, liberos included; empty: no list. `unread`: what was no number."""

    name: str = ""
    short: str = ""
    colour: str = ""
    numbers: tuple[int, ...] = ()
    liberos: tuple[int, ...] = ()
    captain: int | None = None
    unread: tuple[str, ...] = ()
    doubled: tuple[int, ...] = ()


class CourtPlan(Struct, frozen=True):
    """A court to be opened, and the job of the one who opens it.

    From `worn` to `responsible`: what the event decides (charter.Settings).
    """

    court: str = ""
    event: str = ""
    post: str = str(Post.SCORER)
    profile: str = SHIPPED[0]
    format: FormatOptions = FormatOptions()
    worn: bool = True
    names: bool = True
    retention_days: int = 0
    medical_post: str = str(Post.SITE)
    responsible: str = ""
    a: TeamPlan = TeamPlan()
    b: TeamPlan = TeamPlan()


class PlanDefect(Struct, frozen=True):
    """What is wrong, and where: "court", "event", "post", "format", or "a.name", "b.numbers" and so on."""

    place: str
    sentence: str


def profile_title(profile: str) -> str:
    """The name of a rule profile in words."""
    return shipped(profile).profile.title


def usual_format(profile: str) -> Format:
    """The format that a rule book plays."""
    return shipped(profile).profile.format()


def format_of(plan: CourtPlan) -> Format:
    """The format of a plan. Errors: FormatError, ProfileError."""
    return resolve(usual_format(plan.profile), plan.format)


def suggested_short(name: str) -> str:
    """A short name from a long one: its last word that fits, else its first nine letters."""
    fitting = [word for word in name.split() if len(word) <= SHORT_LETTERS]
    return fitting[-1] if fitting else name.strip()[:SHORT_LETTERS].strip()


def court_defects(plan: CourtPlan) -> tuple[PlanDefect, ...]:
    """What is wrong with the court itself; empty if it can be opened so."""
    return tuple(_court_defects(plan))


def team_defects(plan: CourtPlan, letter: str, measure: Measure) -> tuple[PlanDefect, ...]:
    """What is wrong with team "A" or "B"."""
    team = plan.a if letter == "A" else plan.b
    other = plan.b if letter == "A" else plan.a
    names = _name_defects(team, other, measure) if plan.names else ()
    found = (*names, *_list_defects(team, plan.profile))
    return tuple(PlanDefect(f"{letter.lower()}.{one.place}", one.sentence) for one in found)


def defects(plan: CourtPlan, measure: Measure) -> tuple[PlanDefect, ...]:
    """All that is wrong, in reading order; empty if the court can be opened."""
    found = (
        *court_defects(plan),
        *team_defects(plan, "A", measure),
        *team_defects(plan, "B", measure),
    )
    return found or tuple(_last_check(plan))


def charter_of(plan: CourtPlan) -> Charter:
    """What the opening entry signs: rules and numbers, no names."""
    setup = MatchSetup(
        profile=plan.profile,
        format=plan.format,
        team_a=_sheet("A", plan.a),
        team_b=_sheet("B", plan.b),
    )
    settings = Settings(
        worn=plan.worn,
        names=plan.names,
        retention_days=plan.retention_days,
        medical_post=plan.medical_post,
    )
    return Charter(setup, settings)


def names_of(plan: CourtPlan) -> Names:
    """The names of the match, which travel beside the signed entries; none of a team where the event wants
    none.
    """
    return Names(
        court=_court_name(plan.court),
        event=plan.event.strip(),
        a=_names("A", plan.a, plan.names),
        b=_names("B", plan.b, plan.names),
        responsible=plan.responsible.strip(),
    )


def _court_name(typed: str) -> str:
    """ "7" is said as "Court 7"."""
    name = typed.strip()
    return f"Court {name}" if name.isdigit() else name


def _sheet(letter: str, team: TeamPlan) -> TeamSheet:
    return TeamSheet(name=letter, players=team.numbers, captain=team.captain, liberos=team.liberos)


def _names(letter: str, team: TeamPlan, named: bool) -> TeamNames:
    if not named:
        return TeamNames(f"Team {letter}", f"Team {letter}", team.colour)
    return TeamNames(team.name.strip(), team.short.strip() or suggested_short(team.name), team.colour)


def _court_defects(plan: CourtPlan) -> Iterator[PlanDefect]:
    if not plan.court.strip():
        yield PlanDefect("court", "Say which court it is: a number, or a name.")
    elif len(_court_name(plan.court)) > COURT_LETTERS:
        yield PlanDefect("court", f"The court's name may have {COURT_LETTERS} letters.")
    if len(plan.event.strip()) > EVENT_LETTERS:
        yield PlanDefect("event", f"The line about the event may have {EVENT_LETTERS} letters.")
    if plan.post not in set(map(str, CREW)):
        yield PlanDefect("post", "A supervisor joins a court. Someone of the crew opens it.")
    yield from _event_defects(plan)
    try:
        format_of(plan)
    except ProfileError as error:
        yield PlanDefect("profile", f"Choose other rules: {error.problem}.")
    except FormatError as error:
        yield PlanDefect("format", f"{_OPTION_WORDS.get(error.option, error.option)}: {error.problem}.")


def _event_defects(plan: CourtPlan) -> Iterator[PlanDefect]:
    if len(plan.responsible.strip()) > RESPONSIBLE_LETTERS:
        yield PlanDefect("responsible", f"The responsible person may have {RESPONSIBLE_LETTERS} letters.")
    if not 0 <= plan.retention_days <= MOST_DAYS:
        yield PlanDefect("retention_days", f"Days to keep names and reports: 0 to {MOST_DAYS}.")
    if plan.medical_post not in set(map(str, Post)):
        yield PlanDefect("medical_post", "Say whose job it is to close a head injury.")


_OPTION_WORDS = {
    "cap": "Highest score",
    "deciding_cap": "Highest score, last set",
    "points": "Points",
    "deciding_points": "Points, last set",
    "best_of": "Sets",
    "all_sets": "Sets",
}


def _name_defects(team: TeamPlan, other: TeamPlan, measure: Measure) -> Iterator[PlanDefect]:
    name, short = team.name.strip(), team.short.strip() or suggested_short(team.name)
    if not name:
        yield PlanDefect("name", "The team needs a name.")
        return
    if len(name) > NAME_LETTERS or measure(name, NAME_SIZE) > NAME_WIDE:
        yield PlanDefect("name", "Too long for the screens: leave out a word.")
    if len(short) > SHORT_LETTERS or measure(short, SHORT_SIZE) > SHORT_WIDE:
        yield PlanDefect("short", f"{short} is too long for a short name: write one.")
    if name.casefold() == other.name.strip().casefold():
        yield PlanDefect("name", "Both teams have the same name.")


def _list_defects(team: TeamPlan, profile: str) -> Iterator[PlanDefect]:
    for text in team.unread[:2]:
        yield PlanDefect("numbers", f"“{_cut(text)}” is not a number.")
    for number in team.doubled:
        yield PlanDefect("numbers", f"{number} is on the list twice.")
    yield from _number_defects(team)
    yield from _libero_defects(team, profile)
    if team.captain is not None and team.numbers and team.captain not in team.numbers:
        yield PlanDefect("captain", f"Captain {team.captain} is not on the list.")


def _cut(text: str) -> str:
    return text if len(text) <= 12 else text[:11] + "…"


def _number_defects(team: TeamPlan) -> Iterator[PlanDefect]:
    for number in team.numbers:
        if not LEAST <= number <= MOST:
            yield PlanDefect("numbers", f"{number} can't be a player's number: {LEAST} to {MOST}.")
    players = [number for number in team.numbers if number not in team.liberos]
    if team.numbers and len(players) < LEAST_PLAYERS:
        missing = LEAST_PLAYERS - len(players)
        yield PlanDefect("numbers", f"{missing} more needed: six players who are no liberos.")
    if len(team.numbers) > MOST_LISTED:
        yield PlanDefect("numbers", f"{len(team.numbers)} numbers are too many: {MOST_LISTED} at most.")


def _libero_defects(team: TeamPlan, profile: str) -> Iterator[PlanDefect]:
    rules = shipped(profile).profile.libero
    for number in team.liberos:
        if team.numbers and number not in team.numbers:
            yield PlanDefect("liberos", f"Libero {number} is not on the list.")
    if len(team.liberos) > rules.most:
        yield PlanDefect("liberos", f"{len(team.liberos)} liberos: these rules allow {rules.most}.")
    if team.captain is not None and team.captain in team.liberos and not rules.may_be_captain:
        yield PlanDefect("captain", f"{team.captain} is a libero: these rules allow no libero as captain.")


def _last_check(plan: CourtPlan) -> Iterator[PlanDefect]:
    """The rules themselves have the last word."""
    try:
        begin(charter_of(plan).setup)
    except (SetupError, ProfileError, FormatError) as error:
        yield PlanDefect("format", f"This can't be played: {error}.")
