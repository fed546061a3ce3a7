"""Scenes of the supervisor's board: twelve courts of an invented hall."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from crewlink.crew_view import WriterView
from crewlink.site.board import board
from crewlink.snapshot import (
    BoardSnapshot,
    ClockView,
    CourtSight,
    HistoryLine,
    NoticeView,
    PlannedMatch,
    PostLink,
    ReceiptView,
    Snapshot,
    TeamView,
)
from tests.gallery.net_states import taps
from tests.gallery.scene import Scene
from tests.gallery.states import (
    TAKEN,
    WORDS,
    at,
    conduct_notice,
    dead_ball,
    help_notice,
    kites,
    links,
    lynx,
    wrong_server_notice,
)
from ui.stage import Stage

WALL = at(14, 32)
_NAMES = {
    1: ("Owls", "Foxes", 2, 18, 20),
    2: ("Terns", "Martens", 1, 9, 7),
    3: ("Ravens", "Otters", 1, 0, 0),
    4: ("Wasps", "Hares", 3, 11, 13),
    5: ("Gulls", "Elks", 2, 25, 17),
    6: ("Rooks", "Larks", 2, 22, 19),
    7: ("Kites", "Lynx", 2, 23, 21),
    8: ("Voles", "Stoats", 3, 2, 0),
    9: ("Ibis", "Newts", 2, 4, 4),
    10: ("Boars", "Crows", 1, 16, 12),
    11: ("Moths", "Hawks", 2, 14, 19),
    12: ("Toads", "Swifts", 1, 0, 0),
}
PLAN = (
    PlannedMatch(at(14, 45), 3, "Ravens", "Otters"),
    PlannedMatch(at(15, 0), 12, "Toads", "Swifts"),
    PlannedMatch(at(15, 10), 8, "Herons", "Bats"),
)


def site_links(**states: tuple[str, float]) -> tuple[PostLink, ...]:
    """The crew of a court as the supervisor's device hears it."""
    crew = ("R1", "R2", "scorer", "assistant")
    told = {post: states.get(post, ("linked", 0.0)) for post in crew}
    return (
        *(PostLink(post, WORDS[post], *told[post]) for post in crew),
        PostLink("site", "Supervisor", "here"),
    )


_SETS = {1: (0, 0), 2: (1, 0), 3: (1, 1)}
"""Sets won by A and B, by the set that is played."""


def court(number: int) -> Snapshot:
    """A court of the hall in an ordinary rally."""
    one, other, set_number, points_a, points_b = _NAMES[number]
    sets_a, sets_b = _SETS[set_number]
    return Snapshot(
        TAKEN,
        "site",
        f"Court {number}",
        "Girls U16, quarter-final",
        phase="rally",
        phase_word="Rally",
        set_number=set_number,
        a=TeamView("A", one, one, points=points_a, sets=sets_a),
        b=TeamView("B", other, other, points=points_b, sets=sets_b),
        links=site_links(),
    )


def clocked(snapshot: Snapshot, phase: str, clock: ClockView) -> Snapshot:
    """The court while a clock runs."""
    return replace(snapshot, phase=phase, phase_word=clock.title, clock=clock)


def late_crew() -> NoticeView:
    """SOON: court 3 has no scorer."""
    return NoticeView(
        "n-late",
        "late",
        "soon",
        "Crew late",
        "no scorer, due 14:45",
        "open",
        "",
        120.0,
        asked=True,
        receipts=(
            ReceiptView("R2", "R2", "shown", 4.0, shown=4.0),
            ReceiptView("site", "Supervisor", "sent"),
        ),
    )


def spare_ball() -> NoticeView:
    """SOON: court 6 asks for the spare ball."""
    return replace(help_notice("site"), title="Help to court", detail="the spare ball", age=41.0)


def server_seen() -> NoticeView:
    """NOW on court 7, nine seconds old, two of three have answered."""
    return replace(
        wrong_server_notice("site"),
        asked=False,
        age=9.0,
        receipts=(
            ReceiptView("scorer", "Table", "raised"),
            ReceiptView("R1", "R1", "answered", 3.0, shown=0.5),
            ReceiptView("R2", "R2", "answered", 5.0, shown=0.5),
            ReceiptView("assistant", "Assistant", "shown", 1.0, shown=1.0),
        ),
    )


def over() -> tuple[NoticeView, ...]:
    """What has ended on court 7."""
    told = server_seen().receipts[:3]
    return (
        replace(
            server_seen(),
            id="p-server",
            state="closed",
            age=200.0,
            lasted=21.0,
            receipts=(*told, ReceiptView("assistant", "Assistant", "answered", 9.0, shown=1.2)),
        ),
        replace(
            spare_ball(),
            id="p-ball",
            title="Help to court",
            state="closed",
            age=900.0,
            lasted=110.0,
        ),
        replace(late_crew(), id="p-late", title="Line-up late", state="lapsed", age=1500.0),
        replace(
            conduct_notice("site"),
            id="p-conduct",
            state="withdrawn",
            age=1800.0,
            reason="a slip",
            asked=False,
        ),
    )


def court_seven() -> Snapshot:
    """Court 7 as the supervisor opens it."""
    lines = (
        ("06", "23:21", "Wrong server B 9, point A", "A"),
        ("05", "22:21", "Point B", "B"),
        ("04", "22:20", "Point A", "A"),
        ("03", "21:20", "Libero B, 18 in for 14", ""),
        ("02", "21:20", "Point A", "A"),
        ("01", "20:20", "Point B", "B"),
        ("00", "20:19", "Point B, net touch 12", "B"),
        ("0f", "20:18", "Substitution B, 3 in for 22", ""),
        ("0e", "20:18", "Point B", "B"),
        ("0d", "20:17", "Time-out B, number 2", ""),
        ("0c", "20:17", "Point A", "A"),
        ("0b", "19:17", "Point A", "A"),
        ("0a", "18:17", "Yellow card B coach", ""),
        ("09", "18:17", "Point A", "A"),
    )
    history = tuple(
        HistoryLine(entry, at(14, 30), score, text, lane=lane) for entry, score, text, lane in lines
    )
    return replace(
        dead_ball("site"),
        a=kites(),
        b=lynx(),
        links=site_links(R2=("lost", 42.0)),
        writing=WriterView("scorer", "Table", since=1500.0),
        history=history,
        notices=(conduct_notice("site"),),
        past=over(),
    )


def sights() -> tuple[CourtSight, ...]:
    """The twelve courts: three with a notice, one that cannot be heard, others in every phase."""
    courts = {number: court(number) for number in _NAMES}
    courts[2] = clocked(courts[2], "time_out", ClockView("time_out", "Time-out A", 17.0, 30.0, "A"))
    before = replace(courts[3], phase="before", phase_word="Before the match", notices=(late_crew(),))
    courts[3] = replace(before, links=site_links(scorer=("unfilled", 0.0)))
    courts[5] = replace(
        courts[5],
        set_number=3,
        a=replace(courts[5].a, points=0, set_points=(22, 25), sets=1),
        b=replace(courts[5].b, points=0, set_points=(25, 17), sets=1),
    )
    courts[5] = clocked(courts[5], "between_sets", ClockView("between_sets", "Between sets", 100.0, 180.0))
    courts[6] = replace(courts[6], notices=(spare_ball(),))
    courts[7] = replace(court_seven(), links=site_links(), notices=(server_seen(),))
    courts[8] = replace(
        courts[8],
        phase="finished",
        phase_word="Finished",
        result="Team A wins 2:0",
        a=replace(courts[8].a, points=0, sets=2),
        b=replace(courts[8].b, points=0, sets=0),
    )
    courts[12] = replace(courts[12], phase="before", phase_word="Before the match")
    lost = dict.fromkeys(("R1", "R2", "scorer", "assistant"), ("lost", 48.0))
    courts[11] = replace(courts[11], links=site_links(**lost))
    silent = {11: 48.0}
    return tuple(CourtSight(number, one, silent.get(number, 0.0)) for number, one in courts.items())


def changed(number: int, snapshot: Snapshot, silent: float = 0.0) -> tuple[CourtSight, ...]:
    """The hall with another state of one court."""
    return tuple(
        CourtSight(number, snapshot, silent) if sight.court == number else sight for sight in sights()
    )


def hall(
    courts: tuple[CourtSight, ...] | None = None, plan: tuple[PlannedMatch, ...] = PLAN
) -> BoardSnapshot:
    """The hall's board at 14:32."""
    return board("Harbour Hall", sights() if courts is None else courts, TAKEN, WALL, plan, "18:40 to 19:05")


def calm() -> BoardSnapshot:
    """Nothing is open anywhere."""
    return hall(tuple(replace(one, snapshot=replace(one.snapshot, notices=())) for one in sights()))


def busy() -> BoardSnapshot:
    """Five open notices, one of them the supervisor's own to answer."""
    medical = NoticeView(
        "n-medical",
        "medical",
        "now",
        "Injury",
        "Team A, number 12",
        "open",
        "R2",
        2.0,
        team="A",
        number=12,
        asked=True,
        receipts=(
            ReceiptView("R2", "R2", "raised"),
            ReceiptView("R1", "R1", "answered", 1.0, shown=0.4),
            ReceiptView("site", "Supervisor", "sent"),
        ),
    )
    asked = replace(spare_ball(), id="n-sheet", kind="check_sheet", title="Check the score sheet", age=15.0)
    courts = {one.court: one for one in sights()}
    courts[1] = replace(courts[1], snapshot=replace(courts[1].snapshot, notices=(medical,)))
    courts[10] = replace(courts[10], snapshot=replace(courts[10].snapshot, notices=(asked,)))
    return hall(tuple(courts.values()))


def all_answered(notice: NoticeView) -> NoticeView:
    """The notice with everybody's answer; it is not closed."""
    rows = tuple(
        one if one.state in ("raised", "answered") else replace(one, state="answered", seconds=4.0)
        for one in notice.receipts
    )
    return replace(notice, state="answered", asked=False, receipts=rows)


def undecided() -> BoardSnapshot:
    """A wrong server and conduct that all have answered and R1 has not decided; one notice is open."""
    courts = {one.court: one for one in calm().sights}
    for number, notices in (
        (2, (all_answered(conduct_notice("site")),)),
        (6, (spare_ball(),)),
        (7, (all_answered(server_seen()),)),
    ):
        courts[number] = replace(courts[number], snapshot=replace(courts[number].snapshot, notices=notices))
    return hall(tuple(courts.values()))


def few(count: int) -> BoardSnapshot:
    """A small hall: its first courts, the last one with a notice."""
    courts = [CourtSight(number, court(number)) for number in range(1, count + 1)]
    courts[-1] = replace(courts[-1], snapshot=replace(courts[-1].snapshot, notices=(spare_ball(),)))
    return hall(tuple(courts), ())


def large() -> BoardSnapshot:
    """A hall of thirty courts: three pages."""
    many = [replace(court(1 + (number - 1) % 12), court=f"Court {number}") for number in range(1, 31)]
    return hall(tuple(CourtSight(number, one) for number, one in enumerate(many, start=1)))


def opened(number: int) -> Callable[[Stage], None]:
    """Open a court."""

    def act(stage: Stage) -> None:
        assert stage.board is not None
        stage.board.open(number)

    return act


def pressed(*names: str, number: int = 0) -> Callable[[Stage], None]:
    """Open a court (0: none), then press what has these object names, one after the other."""

    def act(stage: Stage) -> None:
        assert stage.board is not None
        if number:
            stage.board.open(number)
        taps(*names)(stage)

    return act


def worded() -> BoardSnapshot:
    """Court 7 with a report that has words, and a call for help that the supervisor closes."""
    report = replace(
        conduct_notice("site"), text="Shouted at the line judge twice, was asked to sit down.", erasable=True
    )
    call = replace(
        spare_ball(), closes=True, asked=False, state="answered", outcomes=("done", "not needed any more")
    )
    courts = {one.court: one for one in calm().sights}
    courts[7] = replace(courts[7], snapshot=replace(courts[7].snapshot, notices=(report, call)))
    return hall(tuple(courts.values()))


def ended() -> BoardSnapshot:
    """Court 8 is over and its names may be erased."""
    courts = {one.court: one for one in calm().sights}
    courts[8] = replace(courts[8], snapshot=replace(courts[8].snapshot, names_erasable=True))
    return hall(tuple(courts.values()))


_SITE = replace(dead_ball("site"), links=links("site"))
_SEVEN = hall(changed(7, court_seven()))

SCENES: dict[str, Scene] = {
    "courts": Scene(_SITE, board=hall()),
    "calm": Scene(_SITE, board=calm()),
    "busy": Scene(_SITE, board=busy()),
    "undecided": Scene(_SITE, board=undecided()),
    "large": Scene(_SITE, board=large()),
    "two": Scene(_SITE, board=few(2)),
    "four": Scene(_SITE, board=few(4)),
    "one": Scene(_SITE, board=hall((CourtSight(1, court(1)),), ())),
    "empty": Scene(_SITE, board=hall((), ())),
    "open_court": Scene(_SITE, opened(7), board=_SEVEN),
    "open_now": Scene(_SITE, opened(7), board=hall()),
    "open_medical": Scene(_SITE, opened(1), board=busy()),
    "open_undecided": Scene(_SITE, opened(7), board=undecided()),
    "message": Scene(_SITE, pressed("board.rail.message"), board=calm()),
    "message_court": Scene(_SITE, pressed("board.rail.message", number=7), board=_SEVEN),
    "open_words": Scene(_SITE, opened(7), board=worded()),
    "open_help": Scene(_SITE, pressed("board.notice.1", number=7), board=worded()),
    "open_ended": Scene(_SITE, opened(8), board=ended()),
    "open_lost": Scene(_SITE, opened(11), board=hall()),
}
