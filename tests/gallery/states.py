"""The one invented match that all pictures and tests show: court 7, Harbour Kites against Northfield Lynx.

B won set 1; set 2 stands at 23:21 (or 22:21 just before it). All names are invented. Small functions build
snapshots for a post; the faces' own states are in `<face>_states.py` and start from these.
"""

from __future__ import annotations

from datetime import datetime

from msgspec.structs import replace

from crewlink.crew_view import CatchUp, DeviceView, Do, Offer, RecordView, WriterView
from crewlink.snapshot import (
    ClockView,
    DutyView,
    HistoryLine,
    LiberoView,
    NextPoint,
    NoticeView,
    PostLink,
    ProposalView,
    ReadyStop,
    ReadyView,
    ReceiptView,
    Saved,
    SignView,
    Snapshot,
    Spot,
    TeamView,
)

TAKEN = 1000.0
WORDS = {"R1": "R1", "R2": "R2", "scorer": "Table", "assistant": "Assistant", "site": "Supervisor"}
_CREW = ("R1", "R2", "scorer", "site")


def spots(order: tuple[int, ...], libero: int, replaced: int, captain: int) -> tuple[Spot, ...]:
    """Six spots from the numbers at positions 1 to 6, with the libero in for `replaced`."""
    return tuple(
        Spot(
            place,
            libero if number == replaced else number,
            number == replaced,
            number == captain,
            replaced if number == replaced else None,
        )
        for place, number in enumerate(order, start=1)
    )


def kites(points: int = 23, order: tuple[int, ...] = (7, 12, 2, 15, 4, 9)) -> TeamView:
    """Team A with the service."""
    return TeamView(
        "A",
        "Harbour Kites",
        "Kites",
        points=points,
        serves=True,
        server=order[0],
        next_server=order[1],
        spots=spots(order, 20, 4, 9),
        bench=(6, 11, 13, 16, 19),
        players=(2, 4, 6, 7, 9, 11, 12, 13, 15, 16, 19),
        liberos=(LiberoView(20, 4),),
        captain=9,
        time_outs=1,
        substitutions=4,
        substitutions_allowed=12,
    )


def lynx(points: int = 21, order: tuple[int, ...] = (3, 8, 1, 10, 5, 14)) -> TeamView:
    """Team B, receiving, one set ahead."""
    return TeamView(
        "B",
        "Northfield Lynx",
        "Lynx",
        points=points,
        sets=1,
        server=order[0],
        next_server=order[1],
        spots=spots(order, 18, 14, 10),
        bench=(2, 9, 17, 22, 23),
        players=(1, 2, 3, 5, 8, 9, 10, 14, 17, 22, 23),
        liberos=(LiberoView(18, 14),),
        captain=10,
        time_outs=2,
        substitutions=6,
        substitutions_allowed=12,
    )


def at(hour: int, minute: int) -> int:
    """A time of the match day in milliseconds of the wall clock."""
    local = datetime(2026, 11, 25, hour, minute)  # noqa: DTZ001 (the hall's own time)
    return int(local.timestamp() * 1000)


def history() -> tuple[HistoryLine, ...]:
    """The last lines of set 2 up to 23:21, newest first."""
    return (
        HistoryLine("06", at(14, 32), "23:21", "Wrong server B 9, point A", "B 9 served", "A"),
        HistoryLine("05", at(14, 31), "22:21", "Point B", "A 9 served", "B"),
        HistoryLine("04", at(14, 31), "22:20", "Point A", "A 9 served", "A"),
        HistoryLine("03", at(14, 30), "21:20", "Libero B, 18 in for 14"),
        HistoryLine("02", at(14, 30), "21:20", "Point A", "B 14 served", "A"),
        HistoryLine("01", at(14, 29), "20:20", "Point B", "B 14 served", "B"),
    )


def links(post: str) -> tuple[PostLink, ...]:
    """All posts of the crew in reach of `post`."""
    return tuple(PostLink(one, WORDS[one], "here" if one == post else "linked") for one in _CREW)


def writer(post: str) -> WriterView:
    """The table writes, as `post` sees it."""
    return WriterView("scorer", "Table", here=post == "scorer", since=1500.0)


def dead_ball(post: str) -> Snapshot:
    """23:21, A to serve, nothing waits."""
    return Snapshot(
        TAKEN,
        post,
        "Court 7",
        "Girls U16, quarter-final",
        phase="dead_ball",
        phase_word="Dead ball",
        phase_age=4.0,
        set_number=2,
        left="A",
        a=kites(),
        b=lynx(),
        server_team="A",
        server=7,
        next_points=(NextPoint("A", "24:21", "set point"), NextPoint("B", "23:22")),
        links=links(post),
        saved=Saved(True, 3, 3),
        writing=writer(post),
        history=history(),
        undo="23:21",
    )


def rally(post: str) -> Snapshot:
    """23:21, the ball is in play."""
    return replace(dead_ball(post), phase="rally", phase_word="Rally", phase_age=6.0)


def receipts(post: str, raiser: str, told: dict[str, tuple[str, float | None]]) -> tuple[ReceiptView, ...]:
    """Who has a notice: the raiser first, then the other filled posts as `told` says ("sent" if nothing)."""
    others = [one for one in _CREW if one != raiser and (one != "site" or one in told)]
    rows = [ReceiptView(one, WORDS[one], *told.get(one, ("sent", None))) for one in others]
    return (ReceiptView(raiser, WORDS[raiser], "raised"), *rows)


def wrong_server_notice(post: str) -> NoticeView:
    """NOW: B 9 hit though 3 was due, told by the table three seconds ago."""
    told: dict[str, tuple[str, float | None]] = {"R1": ("shown", 1.0), "R2": ("shown", 1.0)}
    return NoticeView(
        "n-server",
        "wrong_server",
        "now",
        "Wrong server",
        "Team B, 9 hit. Due: 3.",
        "open",
        "scorer",
        3.0,
        team="B",
        number=9,
        due=3,
        asked=post != "scorer",
        mine=post == "scorer",
        receipts=receipts(post, "scorer", told),
    )


def conduct_notice(post: str) -> NoticeView:
    """SOON: R2 reports a spectator on B's side; neutral at the table."""
    table = post == "scorer"
    told: dict[str, tuple[str, float | None]] = {"R1": ("answered", 4.0), "scorer": ("shown", 1.0)}
    return NoticeView(
        "n-conduct",
        "conduct",
        "soon",
        "R1 deals with it" if table else "Conduct",
        "Stay at the table." if table else "Spectator, side of B",
        "open",
        "R2",
        6.0,
        team="" if table else "B",
        asked=post != "R2",
        mine=post == "R2",
        neutral=table,
        receipts=receipts(post, "R2", told),
        puts_off=post in ("R1", "scorer"),
        closes=post == "R1",
        outcomes=("talked to them", "nothing to do", "supervisor takes over"),
    )


def help_notice(post: str) -> NoticeView:
    """SOON: the table asks the supervisor for the spare ball."""
    return NoticeView(
        "n-help",
        "help",
        "soon",
        "Help",
        "R2 asks for the spare ball",
        "open",
        "R2",
        62.0,
        asked=post == "scorer",
        receipts=receipts(post, "R2", {"site": ("shown", 2.0)}),
    )


def score_note(post: str) -> NoticeView:
    """NOTE: a look at the visible score."""
    return NoticeView(
        "n-score",
        "visible_score",
        "note",
        "Look at the visible score",
        "It should read A\u00a023, B\u00a021. If it does not, hold the service.",
        "open",
        "",
        12.0,
        asked=post == "R2",
    )


def hold_notice(post: str) -> NoticeView:
    """NOW: R2 holds the service."""
    told: dict[str, tuple[str, float | None]] = {"R1": ("answered", 2.0), "scorer": ("shown", 1.0)}
    return NoticeView(
        "n-hold",
        "hold",
        "now",
        "Hold service",
        "R2 holds. Wet floor, side of A.",
        "open",
        "R2",
        4.0,
        asked=post not in ("R2",),
        mine=post == "R2",
        receipts=receipts(post, "R2", told),
    )


def set_point_notice(post: str) -> NoticeView:
    """SOON, quiet: R2 tells that A has set point at 24:21."""
    return NoticeView(
        "n-set-point",
        "set_point",
        "soon",
        "Set point",
        "Team A, 24:21",
        "open",
        "R2",
        2.0,
        team="A",
        quiet=True,
        asked=post != "R2",
        mine=post == "R2",
        receipts=receipts(post, "R2", {}),
    )


def wrong_server(post: str) -> Snapshot:
    """22:21, B to serve: 9 hit though 3 was due."""
    a = replace(kites(22, (9, 7, 12, 2, 15, 4)), serves=False, server=9, next_server=7)
    b = replace(lynx(), serves=True, server=3, next_server=8)
    return replace(
        dead_ball(post),
        a=a,
        b=b,
        server_team="B",
        server=3,
        phase_age=19.0,
        history=history()[1:],
        next_points=(NextPoint("A", "23:21"), NextPoint("B", "22:22")),
        notices=(wrong_server_notice(post),),
    )


def set_point(post: str) -> Snapshot:
    """24:21, A to serve for the set."""
    return replace(
        dead_ball(post),
        a=kites(24),
        next_points=(NextPoint("A", "25:21", "wins the set"), NextPoint("B", "24:22")),
        history=(HistoryLine("07", at(14, 33), "24:21", "Point A, set point", "A 7 served", "A"), *history()),
    )


SIGNERS = (
    ("scorer", "Table"),
    ("captain_a", "Captain A"),
    ("captain_b", "Captain B"),
    ("R2", "R2"),
    ("R1", "R1"),
)


def signing(snapshot: Snapshot, given: int, *, relayed: bool = False) -> Snapshot:
    """A finished match of which the first `given` of five have signed; `relayed`: R2 by sign."""
    posts = ("scorer", "scorer", "scorer", "R2", "R1")
    states = ["signed"] * given + ["due"] + ["waits"] * 5
    views = tuple(
        SignView(
            signer,
            word,
            state,
            by="Table" if state == "signed" and (signer[0] == "c" or (relayed and signer == "R2")) else "",
            can=state == "due" and (post == snapshot.post or (post == signer and snapshot.post != "R1")),
            own=signer == snapshot.post,
        )
        for (signer, word), state, post in zip(SIGNERS, states, posts, strict=False)
    )
    return replace(snapshot, signing=views)


def with_notices(snapshot: Snapshot, *notices: NoticeView) -> Snapshot:
    """The same moment with these notices, most urgent first."""
    return replace(snapshot, notices=notices)


def ready_held() -> ReadyView:
    """The table holds the service while it writes."""
    stops = (
        ReadyStop("Table", "holds", "holds"),
        ReadyStop("Assistant", "done", "tracked"),
        ReadyStop("R2", "waiting", "not yet"),
        ReadyStop("R1", "waiting"),
    )
    return ReadyView(
        "held", "The table holds the service", "Writing Team B, 17 in for 8", 8.0, stops, person=True
    )


def ready_clear() -> ReadyView:
    """Nothing holds the service."""
    done = (("Table", "written"), ("Assistant", "tracked"), ("R2", "ready"), ("R1", ""))
    stops = tuple(ReadyStop(word, "done", detail) for word, detail in done)
    return ReadyView("clear", "Clear", "table, R2 ready", 0.0, stops)


def time_out(post: str) -> Snapshot:
    """The second time-out of B, 17 seconds left."""
    clock = ClockView("time_out", "Time-out B", 17.0, 30.0, "B")
    return replace(dead_ball(post), phase="time_out", phase_word="Time-out", clock=clock)


def ready_asked() -> ReadyView:
    """A card has been written; R2 reads that R2 is the last one."""
    stops = (
        ReadyStop("Table", "done", "written"),
        ReadyStop("Assistant", "done", "tracked"),
        ReadyStop("R2", "waiting", "not yet"),
        ReadyStop("R1", "waiting"),
    )
    return ReadyView("held", "You: tap when ready", "Red card B 3, point A", 8.0, stops)


def ready_unchecked() -> ReadyView:
    """The set has begun, R2 has not checked the positions."""
    stops = (
        ReadyStop("Table", "waiting", "still writing"),
        ReadyStop("Assistant", "waiting", "not tracked yet"),
        ReadyStop("R2", "waiting", "positions not checked yet"),
        ReadyStop("R1", "waiting"),
    )
    return ReadyView("held", "You: check the positions", "positions not checked yet", 12.0, stops)


_WORD = {"scorer": "Table", "R2": "R2", "R1": "R1"}
POSITION_FAULT = "11 stands at position 4, line-up sheet 12"


def checks(post: str, table: str = "open", r2: str = "open", team: str = "A") -> tuple[DutyView, ...]:
    """Both checks of the positions as `post` sees them; "wrong" has a fault of `team`."""
    found = []
    for whose, state in (("scorer", table), ("R2", r2)):
        wrong = state == "wrong"
        found.append(
            DutyView(
                "positions",
                "Positions checked",
                _WORD[whose],
                state,
                mine=whose == post,
                team=team if wrong else "",
                fault=POSITION_FAULT if wrong else "",
            )
        )
    return tuple(found)


def hands(a: str = "open", b: str = "open") -> tuple[DutyView, ...]:
    """The captains' hands and what follows them, R2's own."""
    return (
        DutyView("captain_hand", "Captain raised a hand", "R2", a, team="A"),
        DutyView("captain_hand", "Captain raised a hand", "R2", b, team="B"),
        DutyView("liberos_in", "Liberos let in after the check", "R2"),
        DutyView("first_ball", "Ball to the first server", "R2"),
    )


def before_match(post: str) -> tuple[DutyView, ...]:
    """What is to do before the match: the own list, the first one late, and a late one of R1."""
    others = tuple(one for one in ("R1", "R2", "scorer") if one != post)
    return (
        DutyView("talk", "Talk: ball handling, signals, line judges, benches", _WORD[post], "open", 40.0),
        DutyView("roll_call", "Everybody is here", _WORD[post], "late", -20.0),
        DutyView("table_told", "Table told: who serves, which bench", _WORD[post], "open", 60.0),
        DutyView("net", "Net height and antennae looked at", _WORD[others[0]], "late", -80.0, mine=False),
    )


def old_line(post: str, asks: str = "R2", said: str = "") -> ProposalView:
    """The table wants to cross out a line that three rallies follow."""
    return ProposalView(
        "01d1",
        "older",
        "Crossed out: Substitution B, 17 in for 8",
        "Table: written twice. 1 later line(s) no longer fit.",
        asks,
        "23:21",
        "22:21",
        "B 14",
        mine=post == asks,
        said=said,
    )


def medical_notice(post: str) -> NoticeView:
    """NOW: the table calls for help; nobody has answered for 15 seconds."""
    told: dict[str, tuple[str, float | None]] = {"R1": ("shown", 1.0), "R2": ("unconfirmed", None)}
    return NoticeView(
        "n-medical",
        "medical",
        "now",
        "Injury",
        "Team B, number 9, head",
        "open",
        "scorer",
        16.0,
        team="B",
        number=9,
        asked=post != "scorer",
        mine=post == "scorer",
        repeated=1,
        told="R1, R2, Supervisor not answered: send a person, phone",
        receipts=receipts(post, "scorer", {**told, "site": ("sent", None)}),
    )


def put_off(post: str) -> NoticeView:
    """SOON, joined by two: R1 signed it, R2 entered it; the table holds it to the next dead ball."""
    notice = conduct_notice(post)
    rows = (
        ReceiptView("R1", "R1", "raised", by="R2"),
        ReceiptView("R2", "R2", "answered", 4.0),
        ReceiptView("scorer", "Table", "shown", 1.0),
    )
    mine = post in ("R1", "R2")
    return replace(
        notice,
        count=3,
        raised_by="R1",
        entered_by="R2",
        waits=("Table",),
        receipts=rows,
        asked=not mine,
        mine=mine,
        team="" if post == "scorer" else "B",
    )


def taken_back(post: str) -> NoticeView:
    """A wrong server that the table took back for all."""
    rows = tuple(
        replace(one, state="shown") if one.post == post and one.state == "sent" else one
        for one in wrong_server_notice(post).receipts
    )
    return replace(
        wrong_server_notice(post),
        state="withdrawn",
        asked=False,
        reason="9 was right, read as 6",
        receipts=rows,
        number=None,
    )


def shirts(snapshot: Snapshot) -> Snapshot:
    """The same moment with the colours of the shirts known."""
    return replace(snapshot, a=replace(snapshot.a, colour="#1d4f91"), b=replace(snapshot.b, colour="#e8e3d0"))


LOST = "Another device has the job of this one now."


def devices(post: str, **states: tuple[str, float]) -> tuple[DeviceView, ...]:
    """The devices of the court as `post` sees them, those named in another state; offers as its rights."""
    found = []
    for one in ("R1", "R2", "scorer", "site"):
        state, silent = states.get(one, ("here" if one == post else "linked", 0.0))
        offers: list[Offer] = []
        if post == "scorer" and one in ("R1", "R2") and state == "linked":
            offers.append(Offer(Do.HAND, f"Let {one} write", one, f"d-{one}"))
        if one != post and post in ("R1", "R2", "scorer"):
            warning = "It gets nothing more and can't come back by itself."
            offers.append(Offer(Do.TAKE_OUT, "Lost: take it out", device=f"d-{one}", warning=warning))
        if one != "site" and post in ("R1", "R2", "scorer"):
            jobs = [job for job in ("R1", "R2", "scorer") if job != one]
            named = {"scorer": "the table"}
            offers += [
                Offer(Do.JOB, f"Make it {WORDS[job]}, swap with {named.get(job, job)}", job, f"d-{one}")
                for job in jobs
            ]
            offers.append(Offer(Do.JOB, "Make it Assistant", "assistant", f"d-{one}"))
        found.append(
            DeviceView(
                f"d-{one}", one, WORDS[one], state, silent, writes=one == "scorer", offers=tuple(offers)
            )
        )
    return tuple(found)


TAKE = Offer(Do.TAKE, "Write here")
STOP = Offer(Do.STOP, "Stop asking")
ALONE = Offer(
    Do.ALONE,
    "Write without the others",
    warning="If somebody else writes too, only one of the two will count.",
)


def crewed(snapshot: Snapshot, **states: tuple[str, float]) -> Snapshot:
    """The same moment with the devices of the court known."""
    return replace(snapshot, devices=devices(snapshot.post, **states))


def _silent(post: str, whose: str, seconds: float) -> tuple[PostLink, ...]:
    return tuple(
        replace(one, state="lost", silent=seconds) if one.post == whose else one for one in links(post)
    )


def table_lost(post: str, *offers: Offer, **writing: object) -> Snapshot:
    """The table writes and has been out of reach for 42 seconds."""
    lost = tuple(
        replace(one, state="lost", silent=42.0) if one.post == "scorer" else one for one in links(post)
    )
    writer_lost = WriterView("scorer", "Table", since=1500.0, reached=False, silent=42.0, offers=offers)
    snapshot = replace(
        dead_ball(post),
        links=lost,
        writing=replace(writer_lost, **writing),
        saved=Saved(True, 2, 3),
    )
    return crewed(snapshot, scorer=("lost", 42.0))


def r2_lost(post: str) -> Snapshot:
    """R2's device has been out of reach for 95 seconds."""
    lost = _silent(post, "R2", 95.0)
    offers = (Offer(Do.HAND, "Let R1 write", "R1"),) if post == "scorer" else ()
    snapshot = replace(dead_ball(post), links=lost, writing=replace(writer(post), offers=offers))
    return crewed(snapshot, R2=("lost", 95.0))


def went_apart(post: str) -> Snapshot:
    """R2 wrote without the others for a while; the table's record counts."""
    records = (
        RecordView("01", 2, "23:21", 4, 12.0, "Table", counts=True),
        RecordView("02", 2, "21:22", 3, 190.0, "R2"),
    )
    choose = Offer(Do.CHOOSE, "Go on with this one", "02", warning="Then the other one does not count.")
    offers = (choose,) if post in ("R1", "R2") else ()
    return replace(crewed(dead_ball(post)), writing=replace(writer(post), records=records, offers=offers))


def coming(snapshot: Snapshot) -> Snapshot:
    """The same moment on a device that has still to catch up."""
    return replace(snapshot, catching_up=CatchUp(1200, 3400))


def joining(post: str) -> Snapshot:
    """A device that joined a moment ago: the match is still on its way."""
    return Snapshot(TAKEN, post, "Court 7", here=False, catching_up=CatchUp(1200, 3400), links=links(post))


DISK_FULL = (
    "/home/table/.local/share/crewlink-officials/courts/court-7/match.sqlite: "
    "The disk is full, nothing new is saved. Free some space on this device."
)


def disk_full(post: str) -> Snapshot:
    """Nothing new is saved on this device."""
    return replace(crewed(dead_ball(post)), storage=DISK_FULL, saved=Saved(False, 1, 3, 2))


def not_counted(post: str) -> NoticeView:
    """SOON: two lines that R2 wrote without the others are not counted."""
    return NoticeView(
        "a51de0",
        "set_aside",
        "soon",
        "Entries not counted",
        "2 lines written without the others",
        "open",
        "Table",
        6.0,
        asked=True,
        receipts=receipts(post, "scorer", {}),
        outcomes=("enter again", "leave out"),
        closes=True,
    )


def opener(post: str) -> Snapshot:
    """A referee's device opened the court, so it writes; the table is linked."""
    hand = Offer(Do.HAND, "Let the table write", "scorer")
    own = WriterView(post, WORDS[post], here=True, since=40.0, offers=(hand,))
    snapshot = crewed(replace(dead_ball(post), phase="before", phase_word="Before the match"))
    return replace(snapshot, writing=own)
