"""What a person can ask the match to do: one tagged frozen struct a kind. Commands are answered, never
stored.

On the wire a command is `[name, {fields}]`.
"""

from __future__ import annotations

from typing import Any

import msgspec
from msgspec import Struct

from crewlink.match.facts import LiberoBox, SimpleFact, Wire
from crewlink.match.teams import Person, Role, Score, Six, Team, TeamSheet
from crewlink.match.terms import (
    Card,
    Cause,
    Conduct,
    DelayCause,
    LiberoOutCause,
    Moment,
    RallyFault,
    RemarkKind,
    ReplayCause,
    RequestKind,
    Scope,
    StopCause,
    SubstitutionKind,
)


class ListTeam(Struct, frozen=True, omit_defaults=True, tag="list_team"):
    """Enter or correct a team list."""

    team: Team
    sheet: TeamSheet


class Toss(Struct, frozen=True, omit_defaults=True, tag="toss"):
    """Enter the toss: who serves first, which team is on the table's left."""

    first_server: Team
    left_team: Team


class LineUp(Struct, frozen=True, omit_defaults=True, tag="line_up"):
    """Hand in a line-up sheet: numbers by court position 1 to 6, libero boxes, captain, signature.

    `liberos`: each box a number, "X" or None (blank); no boxes at all where liberos stand on the score sheet.
    `warm_up_left`: seconds on the warm-up clock, where a profile allows free changes after hand-in.
    """

    team: Team
    positions: tuple[int | None, int | None, int | None, int | None, int | None, int | None]
    liberos: tuple[LiberoBox, ...] = ()
    captain: int | None = None
    signed: bool = True
    warm_up_left: int | None = None


class BeginSet(Struct, frozen=True, omit_defaults=True, tag="begin_set"):
    """Positions of both teams are checked: the set begins."""


class Point(Struct, frozen=True, omit_defaults=True, tag="point"):
    """The rally went to `team`. `fault`, `number`: the call and the player at fault, if it was called."""

    team: Team
    fault: RallyFault | None = None
    number: int | None = None


class PositionFault(Struct, frozen=True, omit_defaults=True, tag="position_fault"):
    """`team` stood wrongly at the service hit.

    `outside`: a player stood outside the own court. `service`: a fault of the service at the same time; made
    at the hit (foot, time, toss) it counts first, a ball that goes wrong later comes second.
    """

    team: Team
    outside: bool = False
    number: int | None = None
    service: RallyFault | None = None


class Replay(Struct, frozen=True, omit_defaults=True, tag="replay"):
    """The rally is played again."""

    reason: ReplayCause = ReplayCause.OTHER


class TimeOut(Struct, frozen=True, omit_defaults=True, tag="time_out"):
    """A team asks for a time-out. `cost_time`: it was whistled by mistake, or really held up the game."""

    team: Team
    by: Role = Role.COACH
    moment: Moment = Moment.DEAD_BALL
    cost_time: bool = False


class TechnicalTimeOut(Struct, frozen=True, omit_defaults=True, tag="technical_time_out"):
    """The technical time-out that is due."""


class EndTimeOut(Struct, frozen=True, omit_defaults=True, tag="end_time_out"):
    """The time-out is over."""


class Pair(Struct, frozen=True, array_like=True):
    """One pair of a substitution request: who comes in, who goes out."""

    comes_in: int
    goes_out: int


class Substitute(Struct, frozen=True, omit_defaults=True, tag="substitute"):
    """A substitution request, one or more pairs.

    `same_request`: it goes on with the request just made (pairs made one after the other).
    `ready`: the substitutes are ready to play. `cost_time`: see `TimeOut`.
    """

    team: Team
    pairs: tuple[Pair, ...]
    kind: SubstitutionKind = SubstitutionKind.REGULAR
    same_request: bool = False
    ready: bool = True
    moment: Moment = Moment.DEAD_BALL
    cost_time: bool = False


class LiberoSwap(Struct, frozen=True, omit_defaults=True, tag="libero_swap"):
    """A libero replacement: `comes_in` for `goes_out`, one of them a libero (or both)."""

    team: Team
    comes_in: int
    goes_out: int
    moment: Moment = Moment.DEAD_BALL


class LiberoOut(Struct, frozen=True, omit_defaults=True, tag="libero_out"):
    """A libero can play no longer."""

    team: Team
    number: int
    cause: LiberoOutCause = LiberoOutCause.INJURY


class NameLibero(Struct, frozen=True, omit_defaults=True, tag="name_libero"):
    """Name a new libero (re-designation), or one at the line-up check. `enters`: goes straight on court."""

    team: Team
    number: int
    enters: bool = False


class Sanction(Struct, frozen=True, omit_defaults=True, tag="sanction"):
    """R1 shows a card to a member of a team."""

    team: Team
    person: Person
    card: Card


class Misconduct(Struct, frozen=True, omit_defaults=True, tag="misconduct"):
    """Ask which card a misconduct leads to by the scale: answered by a proposal."""

    team: Team
    person: Person
    conduct: Conduct


class Delay(Struct, frozen=True, omit_defaults=True, tag="delay"):
    """A team holds up the game: warning or penalty by the ladder."""

    team: Team
    cause: DelayCause = DelayCause.OTHER


class ImproperRequest(Struct, frozen=True, omit_defaults=True, tag="improper_request"):
    """A request that was waved off: recorded once, then a delay. `cost_time`: a delay at once."""

    team: Team
    about: RequestKind = RequestKind.OTHER
    cost_time: bool = False


class WrongServer(Struct, frozen=True, omit_defaults=True, tag="wrong_server"):
    """`number` of `team` served and should not have: answered by a proposal.

    `rallies`: how many finished rallies ago the fault began (0: at this very service); None: nobody knows.
    `at_hit`: play was stopped at a service hit that no rally has been written for.
    """

    team: Team
    number: int
    rallies: int | None = 0
    at_hit: bool = True


class WrongPlayer(Struct, frozen=True, omit_defaults=True, tag="wrong_player"):
    """`number` is on court for `team` and should not be; `belongs` is the one who should: answered by a
    proposal.

    `rallies`, `at_hit`: as in `WrongServer`. `cause`: line-up, illegal substitution, or illegal libero
    replacement.
    """

    team: Team
    number: int
    belongs: int
    cause: Cause = Cause.LINE_UP
    rallies: int | None = 0
    at_hit: bool = False


class PlayedIn(Struct, frozen=True, array_like=True):
    """In set `number` an unlisted player came on when the score stood at `score` (A, B)."""

    number: int
    score: Score


class UnlistedPlayer(Struct, frozen=True, omit_defaults=True, tag="unlisted_player"):
    """`number` on court is not on the team list; `replacement` takes the place: answered by a proposal."""

    team: Team
    number: int
    replacement: int
    played: tuple[PlayedIn, ...]


class WrongInformation(Struct, frozen=True, omit_defaults=True, tag="wrong_information"):
    """The scorer told a team the wrong server `rallies` finished rallies ago: answered by a proposal."""

    team: Team
    rallies: int


class ChangeCourts(Struct, frozen=True, omit_defaults=True, tag="change_courts"):
    """The teams change courts in the set."""


class Stop(Struct, frozen=True, omit_defaults=True, tag="stop"):
    """Play stands still: injury, interference, protest, facility."""

    cause: StopCause
    team: Team | None = None
    number: int | None = None
    in_rally: bool = False


class Resume(Struct, frozen=True, omit_defaults=True, tag="resume"):
    """Play goes on."""


class RestartSet(Struct, frozen=True, omit_defaults=True, tag="restart_set"):
    """The set is played again from its start with the same line-ups (a long stop, another court)."""


class GiveRecovery(Struct, frozen=True, omit_defaults=True, tag="give_recovery"):
    """Recovery time for a hurt player."""

    team: Team
    number: int


class Incomplete(Struct, frozen=True, omit_defaults=True, tag="incomplete"):
    """Declare a team incomplete for the set or the match."""

    team: Team
    scope: Scope = Scope.SET


class Default(Struct, frozen=True, omit_defaults=True, tag="default"):
    """Declare a team in default for the set or the match (refuses, does not appear)."""

    team: Team
    scope: Scope = Scope.MATCH


class LateMinute(Struct, frozen=True, omit_defaults=True, tag="late_minute"):
    """A team is late by one more minute: a point for the opponent, where the event says so."""

    team: Team


class Protest(Struct, frozen=True, omit_defaults=True, tag="protest"):
    """A team protests at the moment."""

    team: Team


class DecideProtest(Struct, frozen=True, omit_defaults=True, tag="decide_protest"):
    """The protest is decided. `back_to`: entry id of the last line that stands, if it is upheld."""

    upheld: bool
    back_to: bytes | None = None


class NameCaptain(Struct, frozen=True, omit_defaults=True, tag="name_captain"):
    """Name the captain on court."""

    team: Team
    number: int


class Remark(Struct, frozen=True, omit_defaults=True, tag="remark"):
    """Write a remark; `text` is the salted hash of its words."""

    kind: RemarkKind = RemarkKind.OTHER
    team: Team | None = None
    number: int | None = None
    text: bytes | None = None


class Adjust(Struct, frozen=True, omit_defaults=True, tag="adjust"):
    """R1 sets score, service and orders by decision, with a reason; None keeps what is."""

    reason: str
    score: Score | None = None
    serving: Team | None = None
    orders: tuple[Six, Six] | None = None


class Choose(Struct, frozen=True, omit_defaults=True, tag="choose"):
    """Take one option of the proposal that `question` leads to."""

    question: Question
    option: str
    reason: str = ""


class Overrule(Struct, frozen=True, omit_defaults=True, tag="overrule"):
    """R1 lets stand what the engine refuses for `command`."""

    command: PlainCommand
    reason: str


class Undo(Struct, frozen=True, omit_defaults=True, tag="undo"):
    """Cross out the last line that counts."""

    reason: str = ""


class Strike(Struct, frozen=True, omit_defaults=True, tag="strike"):
    """Cross out the line with entry id `target`."""

    target: bytes
    reason: str


class Change(Struct, frozen=True, omit_defaults=True, tag="change"):
    """Let `instead` count in place of the line with entry id `target`, decided as the match stood there."""

    target: bytes
    instead: PlainCommand | Choose
    reason: str


class Insert(Struct, frozen=True, omit_defaults=True, tag="insert"):
    """Write what was `missing` before the line with entry id `before`, decided as the match stood there."""

    before: bytes
    missing: PlainCommand | Choose
    reason: str


class Amend(Struct, frozen=True, omit_defaults=True, tag="amend"):
    """Replace the line with entry id `target` by `facts`."""

    target: bytes
    facts: tuple[SimpleFact, ...]
    reason: str


Question = (
    WrongServer
    | WrongPlayer
    | UnlistedPlayer
    | WrongInformation
    | Misconduct
    | TimeOut
    | Substitute
    | LiberoSwap
    | ImproperRequest
    | PositionFault
)
PlainCommand = (
    ListTeam
    | Toss
    | LineUp
    | BeginSet
    | Point
    | PositionFault
    | Replay
    | TimeOut
    | TechnicalTimeOut
    | EndTimeOut
    | Substitute
    | LiberoSwap
    | LiberoOut
    | NameLibero
    | Sanction
    | Misconduct
    | Delay
    | ImproperRequest
    | WrongServer
    | WrongPlayer
    | UnlistedPlayer
    | WrongInformation
    | ChangeCourts
    | Stop
    | Resume
    | RestartSet
    | GiveRecovery
    | Incomplete
    | Default
    | LateMinute
    | Protest
    | DecideProtest
    | NameCaptain
    | Remark
    | Adjust
)
MatchCommand = PlainCommand | Choose | Overrule
"""What `engine.decide` answers."""
HistoryCommand = Undo | Strike | Change | Insert | Amend
"""What needs the lines of the match: answered by `history.decide`, which answers all others too."""
Command = MatchCommand | HistoryCommand


class UnknownCommand(ValueError):
    """A command that this version cannot read: `name` and what is wrong with it."""

    def __init__(self, name: str, problem: str) -> None:
        super().__init__(f"{name}: {problem}")
        self.name = name
        self.problem = problem


def to_wire(command: Command) -> Wire:
    """`[name, {fields}]` of plain values (bytes stay bytes)."""
    fields = msgspec.to_builtins(command, builtin_types=(bytes,))
    return fields.pop("type"), fields


def from_wire(wire: tuple[str, dict[str, Any]] | list[Any]) -> Command:
    """Read `[name, {fields}]`.

    Errors: `UnknownCommand`.
    """
    name, fields = wire
    try:
        command: Command = msgspec.convert({**fields, "type": name}, _ALL, builtin_types=(bytes,))
    except msgspec.ValidationError as error:
        raise UnknownCommand(str(name), str(error)) from error
    return command


_ALL: Any = Command
