"""What a face may know: one frozen picture of a court, taken for one post at one moment.

Plain values only: no bytes, no sockets, no Qt, no rules. `crewlink.views` makes it out of a court and its
link; `ui.bridge` turns it into view objects. Texts are ready to read (plain words, no left or right);
ages and seconds left are counted from `taken`, so a face adds its own elapsed time.
Teams are "A" and "B"; posts are "R1", "R2", "scorer", "assistant", "site".
"""

from __future__ import annotations

from msgspec import Struct

from crewlink.crew_view import CatchUp, DeviceView, WriterView


class Spot(Struct, frozen=True):
    """One player on court: `position` 1 to 6, the number worn, the marks beside it."""

    position: int
    number: int
    libero: bool = False
    captain: bool = False
    stands_for: int | None = None


class LiberoView(Struct, frozen=True):
    """A libero of a team: on court for `stands_for`, or waiting (None)."""

    number: int
    stands_for: int | None = None
    must_leave: bool = False


class ExchangeView(Struct, frozen=True):
    """A substitution that could be asked for: is it legal, and if not, why in one sentence."""

    comes_in: int
    goes_out: int
    legal: bool
    reason: str = ""


class TeamView(Struct, frozen=True):
    """One team as every face shows it. `name` has at most 16 letters, `short` at most 9.

    `asked`: it has made its request for a substitution in this interruption.
    """

    letter: str
    name: str
    short: str
    colour: str = ""
    points: int = 0
    sets: int = 0
    serves: bool = False
    server: int | None = None
    next_server: int | None = None
    spots: tuple[Spot, ...] = ()
    bench: tuple[int, ...] = ()
    players: tuple[int, ...] = ()
    liberos: tuple[LiberoView, ...] = ()
    captain: int | None = None
    time_outs: int = 0
    time_outs_allowed: int = 2
    substitutions: int = 0
    substitutions_allowed: int = 6
    conduct: tuple[str, ...] = ()
    set_points: tuple[int, ...] = ()
    exchanges: tuple[ExchangeView, ...] = ()
    asked: bool = False


class NextPoint(Struct, frozen=True):
    """What one more point for `team` would make of the score, and the words that go with it."""

    team: str
    score: str
    hint: str = ""


class PostLink(Struct, frozen=True):
    """One post of the crew on the status rail.

    `state`: "here" (this station), "linked", "late" (silent 5 s), "lost" (silent 10 s), "unfilled".
    """

    post: str
    word: str
    state: str
    silent: float = 0.0


class Saved(Struct, frozen=True):
    """How safe this station's newest entry is: written here, and held by `on` of `of` voters. `waiting`: own
    entries that are not on the disk, the oldest of them for `waited` seconds.
    """

    here: bool = True
    on: int = 1
    of: int = 1
    waiting: int = 0
    waited: float = 0.0


class HistoryLine(Struct, frozen=True):
    """One line of the match history. `lane` is the team that won the point, or ""."""

    entry: str
    time: int
    score: str
    text: str
    detail: str = ""
    lane: str = ""
    struck: bool = False
    restricted: bool = False


class ReceiptView(Struct, frozen=True):
    """How far a notice has come at one post.

    `state`: "raised", "sent", "received", "shown", "answered", "relayed", "unconfirmed", "unfilled".
    `seconds` from raised to that state; `by` names who entered a relayed answer; `shown` seconds from
    raised to the plate on an awake face, if it was.
    """

    post: str
    word: str
    state: str
    seconds: float | None = None
    by: str = ""
    shown: float | None = None


class NoticeView(Struct, frozen=True):
    """One notice on one station's face.

    `level`: "now", "soon", "note". `state`: "open", "answered", "closed", "withdrawn", "lapsed".
    `asked`: this post must still answer. `mine`: this post raised it. `held`: waits for the dead ball.
    `team`/`number`/`due` are what it is about; empty where the plate is neutral. `lasted`: seconds from
    raised to its end, once it was ended. `outcome`: what was decided about it, in words; `line`: the entry of
    the record that holds it. `entered_by`: who entered it, where `raised_by` gave a sign. `waits`: words of
    the posts that hold it to the next dead ball. `text`: free words, where this post may read them, and
    `erasable` where it may erase them. `puts_off`: this post may hold it to the next dead ball. `closes`:
    this post may say how it ended; `outcomes`: the usual words for that, also for what R1 signals.
    """

    id: str
    kind: str
    level: str
    title: str
    detail: str
    state: str
    raised_by: str
    age: float
    team: str = ""
    number: int | None = None
    due: int | None = None
    asked: bool = False
    mine: bool = False
    held: bool = False
    quiet: bool = False
    neutral: bool = False
    late: float = 0.0
    repeated: int = 0
    count: int = 1
    reason: str = ""
    told: str = ""
    receipts: tuple[ReceiptView, ...] = ()
    lasted: float | None = None
    outcome: str = ""
    line: str = ""
    entered_by: str = ""
    waits: tuple[str, ...] = ()
    text: str = ""
    erasable: bool = False
    puts_off: bool = False
    closes: bool = False
    outcomes: tuple[str, ...] = ()


class Explanation(Struct, frozen=True):
    """One way to read what happened, with the score and server it leads to; `proposal` is for a consent."""

    text: str
    against: str
    score: str
    server: str
    ruled_out: bool = False
    chosen: bool = False
    proposal: str = ""


class ProposalView(Struct, frozen=True):
    """A decision that the program suggests and an official agrees to, or not.

    `asks` is the post whose word counts; `before` and `after` are scores; `mine` says that this post decides.
    `said`: what that post has said already: "agree", "no" or "".
    """

    id: str
    kind: str
    title: str
    detail: str
    asks: str
    before: str = ""
    after: str = ""
    next_server: str = ""
    explanations: tuple[Explanation, ...] = ()
    mine: bool = False
    said: str = ""


class ReadyStop(Struct, frozen=True):
    """One stop of the ready chain. `state`: "done", "holds", "waiting"; `detail`: what is done or missing."""

    word: str
    state: str
    detail: str = ""


class ReadyView(Struct, frozen=True):
    """The ready chain after an interruption. `state`: "none", "clear", "held"; `person`: by a person."""

    state: str = "none"
    sentence: str = ""
    reason: str = ""
    seconds: float = 0.0
    stops: tuple[ReadyStop, ...] = ()
    person: bool = False


class ClockView(Struct, frozen=True):
    """A running clock, seconds at `taken`.

    `kind`: "time_out", "between_sets", "warm_up", "recovery", "line_up", "service", "forfeit". `signal`: "",
    "warning", "end". `held`: it stands still.
    """

    kind: str
    title: str
    left: float
    total: float
    team: str = ""
    signal: str = ""
    held: bool = False


class DutyView(Struct, frozen=True):
    """A duty of this post in the present phase (duties.toml).

    `state`: "open", "done", "late", "not_needed", "wrong" (`fault`); `left`: seconds until it is due, None
    where nothing says when. `mine`: this post does it; else `word` names the post.
    """

    code: str
    text: str
    word: str
    state: str = "open"
    left: float | None = None
    mine: bool = True
    team: str = ""
    fault: str = ""


class SignView(Struct, frozen=True):
    """One signature under the finished record, in the order of the rule book.

    `signer`: "scorer", "captain_a", "coach_b", "R2" and so on. `state`: "signed", "due" (whose turn it is),
    "waits", "again" (signed before a change of the record), "left_out" (nobody of this crew). `by`: who
    entered it, where the signer did not. `can`: this post can enter it now; `own`: it is this post's own.
    """

    signer: str
    word: str
    state: str
    by: str = ""
    can: bool = False
    own: bool = False


class AuditView(Struct, frozen=True):
    """Something that the check of the finished record found; `entry`: the line of the history it is about."""

    code: str
    sentence: str
    entry: str = ""


class Defect(Struct, frozen=True):
    """A fault of a line-up sheet: the box it is in ("I" to "VI", "libero", "captain", "signature")."""

    box: str
    text: str


class SheetView(Struct, frozen=True):
    """A line-up sheet as far as it is written. `state`: "missing", "faulty", "complete", "accepted".

    `libero_boxes`: how many boxes for liberos the sheet has (0 where liberos stand on the score sheet).
    """

    team: str
    state: str = "missing"
    numbers: tuple[int | None, ...] = (None, None, None, None, None, None)
    liberos: tuple[str, ...] = ()
    captain: int | None = None
    signed: bool = False
    defects: tuple[Defect, ...] = ()
    libero_boxes: int = 0


class RefusalView(Struct, frozen=True):
    """Why the last act of this station was not done: what, the rule, and what to do."""

    sentence: str
    reference: str = ""
    at: float = 0.0


class Snapshot(Struct, frozen=True):
    """A court as one post sees it, `taken` at a monotonic second.

    `phase`: "before", "line_ups", "check", "dead_ball", "rally", "time_out", "between_sets", "finished",
    "sealed".
    `left` is the team on the table's left now; a stand-side face shows it right.
    `last_served`: the team that served the last rally of the set. `standing`: "set_point", "match_point" or
    "", of `standing_team` ("A", "B" or "AB"). `past`: notices that have ended, newest first; for the
    supervisor only. `clocks`: all that run, `clock` first. `flood`: more than ten notices in ten minutes came
    here; then NOTEs are left out of `notices` and counted in `folded`. `lost`: why this device has no job any
    more. `expected`: by post that is not here, where it still works. `signing`: once the match is over, who
    has signed; `sign_wait`: why nobody can sign yet, or what it waits for when all have; `audit`: what the
    check of the record found. `writing`: who writes; `devices`: all of
    this court; `catching_up`: how far this one is, while that matters; `here`: whether the match has come.
    `storage`, `network`: what keeps this device from saving, or from finding the others, in a sentence.
    `names_erasable`: the match is over and this post may have its names erased, which they are not.
    """

    taken: float
    post: str
    court: str
    event: str = ""
    match: str = ""
    phase: str = "before"
    phase_word: str = ""
    phase_age: float = 0.0
    set_number: int = 1
    deciding: bool = False
    left: str = "A"
    a: TeamView = TeamView("A", "Team A", "Team A")
    b: TeamView = TeamView("B", "Team B", "Team B")
    server_team: str = ""
    server: int | None = None
    score_hidden: bool = False
    last_served: str = ""
    standing: str = ""
    standing_team: str = ""
    next_points: tuple[NextPoint, ...] = ()
    links: tuple[PostLink, ...] = ()
    saved: Saved = Saved()
    writing: WriterView = WriterView()
    history: tuple[HistoryLine, ...] = ()
    undo: str = ""
    notices: tuple[NoticeView, ...] = ()
    past: tuple[NoticeView, ...] = ()
    proposals: tuple[ProposalView, ...] = ()
    suggestion: ProposalView | None = None
    ready: ReadyView = ReadyView()
    clock: ClockView | None = None
    sheets: tuple[SheetView, ...] = ()
    refusal: RefusalView | None = None
    findings: tuple[str, ...] = ()
    waiting_requests: int = 0
    courts_changed: float | None = None
    courts_due: bool = False
    toss_due: bool = False
    result: str = ""
    clocks: tuple[ClockView, ...] = ()
    duties: tuple[DutyView, ...] = ()
    duty_phase: str = ""
    flood: bool = False
    folded: int = 0
    lost: str = ""
    expected: tuple[tuple[str, str], ...] = ()
    signing: tuple[SignView, ...] = ()
    sign_wait: str = ""
    audit: tuple[AuditView, ...] = ()
    devices: tuple[DeviceView, ...] = ()
    catching_up: CatchUp | None = None
    here: bool = True
    storage: str = ""
    network: str = ""
    names_erasable: bool = False


class CourtTile(Struct, frozen=True):
    """One court on the supervisor's board. `linked` False: figures are as of `as_of` (ms, wall clock).

    `phase` ("Set 2", "End", "15:00") and `state` ("Rally", "Time-out A") are ready to read; `clock` runs
    beside the state. `level` and `notice` are those of its most urgent open notice; one that all have
    answered has no level, `pending` says what is still to come ("R1 decides"). `scored` False: no points yet.
    `due`: when a match that has not begun is planned (ms, wall clock), 0 if it is not.
    """

    court: int
    a: TeamView | None = None
    b: TeamView | None = None
    phase: str = ""
    state: str = ""
    set_number: int = 0
    linked: bool = True
    as_of: int = 0
    level: str = ""
    notice: NoticeView | None = None
    clock: ClockView | None = None
    scored: bool = True
    due: int = 0
    pending: str = ""


class CourtSight(Struct, frozen=True):
    """What the supervisor's device knows of one court: its snapshot for post "site", and for how many seconds
    no device of that court had been heard when it was taken.
    """

    court: int
    snapshot: Snapshot
    silent: float = 0.0


class PlannedMatch(Struct, frozen=True):
    """A match of the day's plan: when it is due (ms, wall clock), on which court, who plays."""

    due: int
    court: int
    a: str
    b: str


class OpenNotice(Struct, frozen=True):
    """A notice that is not closed on a court; `answered` of `asked` posts have answered. `pending`: what is
    still to come where all have ("R1 decides"), else "".
    """

    court: int
    notice: NoticeView
    answered: int = 0
    asked: int = 0
    pending: str = ""


class Health(Struct, frozen=True):
    """How the hall's devices stand: `linked` of `devices`; courts with a flood of notices; when play may
    end.
    """

    linked: int = 0
    devices: int = 0
    floods: tuple[int, ...] = ()
    forecast: str = ""


class BoardSnapshot(Struct, frozen=True):
    """All courts as the supervisor sees them, `taken` at a monotonic second that was `wall` (ms) on the
    clock.

    Tiles lie in the order of court numbers and keep it; open notices NOW first, then by age. `late`:
    matches of the plan that are due and have not begun. `sights`: the courts behind the tiles, to open one.
    """

    taken: float
    wall: int
    hall: str = ""
    tiles: tuple[CourtTile, ...] = ()
    notices: tuple[OpenNotice, ...] = ()
    next: tuple[PlannedMatch, ...] = ()
    late: int = 0
    health: Health = Health()
    sights: tuple[CourtSight, ...] = ()
