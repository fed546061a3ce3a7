"""The acts as data: their words, whose team they are about, their boxes; and which are offered now."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from crewlink.crew.signed import SIGNED
from crewlink.match.terms import DelayCause, RallyFault, ReplayCause, RequestKind
from crewlink.snapshot import SignView
from ui.line.state import Act, Box, Takes
from ui.line.world import World

CHOICE = Takes.CHOICE


class Whose(StrEnum):
    """How the team of an act is found: it has none, the one to serve, or the person says which."""

    NONE = "none"
    SERVING = "serving"
    SAID = "said"


@dataclass(frozen=True, slots=True)
class Shape:
    """An act: the word of the line, its team, its boxes, what Enter does. `twice`: Enter is pressed twice."""

    word: str
    whose: Whose = Whose.NONE
    boxes: tuple[Box, ...] = ()
    enter: str = "Write it"
    note: str = ""
    twice: bool = False


def number(label: str = "number", name: str = "number", *, optional: bool = False) -> Box:
    """A box for a player's number."""
    return Box(name, label, optional=optional)


def choice(name: str, label: str, *choices: tuple[str, str], first: bool = True) -> Box:
    """A box of choices; `first` has the first one chosen at the start."""
    return Box(name, label, CHOICE, choices[0][0] if first else "", choices)


_FAULTS = (
    (RallyFault.NET, "net contact"),
    (RallyFault.CENTRE_LINE, "centre line"),
    (RallyFault.ANTENNA, "ball at antenna"),
    (RallyFault.BALL_OUTSIDE, "ball outside antenna"),
    (RallyFault.POSITION, "position"),
    (RallyFault.BACK_ROW, "back-row fault"),
    (RallyFault.LIBERO_ATTACK, "libero fault"),
    (RallyFault.OUTSIDE_OBJECT, "outside object"),
    (RallyFault.FOUR_HITS, "four hits"),
    (RallyFault.OTHER, "another fault"),
)
_CARDS = (
    ("warning", "yellow card"),
    ("penalty", "red card"),
    ("expulsion", "out for the set"),
    ("disqualification", "out for the match"),
)
_WHO = (
    ("player", "player"),
    ("coach", "coach"),
    ("assistant_coach", "assistant coach"),
    ("staff", "other on bench"),
)
_WATCHED = (("player", "player"), ("coach", "coach"), ("spectator", "spectator"), ("threat", "threat"))
_DELAYS = (
    (DelayCause.SLOW, "slow change"),
    (DelayCause.PROLONGED, "stop too long"),
    (DelayCause.NOT_READY, "not ready"),
    (DelayCause.ILLEGAL_REQUEST, "illegal request"),
    (DelayCause.LIBERO, "libero"),
    (DelayCause.OTHER, "other"),
)
_REQUESTS = (
    (RequestKind.TIME_OUT, "time-out"),
    (RequestKind.SUBSTITUTION, "substitution"),
    (RequestKind.LIBERO, "libero"),
    (RequestKind.OTHER, "other"),
)
_REPLAYS = (
    (ReplayCause.INTERFERENCE, "ball or person on court"),
    (ReplayCause.BOTH_TEAMS, "both teams at fault"),
    (ReplayCause.INJURY, "injury"),
    (ReplayCause.SERVED_BEFORE_WHISTLE, "served too early"),
    (ReplayCause.CALL_WITHDRAWN, "call taken back"),
    (ReplayCause.OTHER, "other"),
)
_REASONS = (
    ("wrong team", "wrong team"),
    ("not played", "it was not played"),
    ("written twice", "written twice"),
    ("wrong number", "wrong number"),
    ("R1 decided", "R1 decided"),
)
_WHYS = (
    ("still writing", "still writing"),
    ("wrong player on court", "wrong player on court"),
    ("libero not tracked", "libero not tracked"),
    ("visible score differs", "visible score differs"),
    ("line-up check", "line-up check"),
)
_STOPS = (("ball", "ball"), ("person", "person"), ("wet floor", "wet floor"))
_HELPS = (
    ("ball", "ball"),
    ("floor", "floor"),
    ("official", "an official"),
    ("security", "security"),
    ("facility", "the hall"),
)
_HURTS = (("other", "no"), ("head", "yes"))
_SHEETS = (("score", "score"), ("substitution", "substitution"), ("position", "position"))
_PLACES = tuple((str(place), f"position {place}") for place in range(1, 7))
_SERVERS = (("A", "Team A"), ("B", "Team B"))

SHAPES: dict[Act, Shape] = {
    Act.WRONG_SERVER: Shape("wrong server", Whose.SERVING, (number(),), "Tell all", "stops play"),
    Act.CHECK_SERVER: Shape("check server", Whose.SERVING, (), "Ask R2", "a quiet question to R2"),
    Act.HOLD: Shape(
        "Hold the service", Whose.NONE, (choice("why", "because", *_WHYS),), "Tell all", "R1 waits for you"
    ),
    Act.RELEASE: Shape("Let the service go", Whose.NONE, (), "Let go", "nothing holds it then"),
    Act.STOP: Shape(
        "Stop: on court", Whose.NONE, (choice("what", "what", *_STOPS),), "Tell all", "then it is replayed"
    ),
    Act.MEDICAL: Shape(
        "injury",
        Whose.SAID,
        (number(optional=True), choice("what", "head hurt", *_HURTS)),
        "Tell all",
        "whistle first; this is no emergency call",
    ),
    Act.CHECK_SHEET: Shape(
        "Check the score sheet", Whose.NONE, (choice("what", "what", *_SHEETS),), "Ask R2"
    ),
    Act.CONDUCT: Shape(
        "for R1", Whose.SAID, (number(optional=True), choice("who", "who", *_WATCHED, first=False)), "Tell R1"
    ),
    Act.SET_POINT: Shape("set point", Whose.SAID, (), "Tell all"),
    Act.HELP: Shape(
        "Help to court",
        Whose.NONE,
        (
            choice("what", "with", *_HELPS),
            choice("to", "from", ("site", "supervisor"), ("R2", "R2"), ("R1", "R1")),
        ),
        "Ask",
    ),
    Act.LATER: Shape("Not now", enter="Put it off", note="back at the next dead ball, all see it"),
    Act.DEALT: Shape("Dealt with", Whose.NONE, (choice("how", "", ("", ""), first=False),), "Close it"),
    Act.CLOCK: Shape("Clock", Whose.NONE, (choice("do", "", ("", ""), first=False),), "Do it"),
    Act.TICK: Shape("Done here", Whose.NONE, (choice("duty", "", ("", ""), first=False),), "Tick it"),
    Act.SIGN: Shape(
        "R1 by sign",
        Whose.NONE,
        (choice("sign", "R1", ("no", "says no"), first=False),),
        note="as R1 signalled",
        twice=True,
    ),
    Act.SIGN_OFF: Shape("Sign", enter="Sign"),
    Act.SIGN_FOR: Shape("By sign", enter="Enter the sign", note="Enter: the signature was given by a sign"),
    Act.NEXT_MATCH: Shape(
        "Next match", enter="Go on", note="Enter: all devices of this court go on with the next match"
    ),
    Act.ERASE_NAMES: Shape("Erase the names", enter="Erase", twice=True),
    Act.AGREE: Shape(
        "Change an old line?",
        Whose.NONE,
        (choice("say", "you", ("agree", "agree"), ("no", "say no"), first=False),),
        "Say so",
        note="then it is written, or not",
    ),
    Act.DIFFERS: Shape(
        "position differs", Whose.SAID, (number("on court"), choice("at", "at", *_PLACES)), "Tell all"
    ),
    Act.END_TIME_OUT: Shape("Time-out over", enter="End it"),
    Act.CHANGE_COURTS: Shape("Change of courts", enter="They changed", note="positions are checked again"),
    Act.SUBSTITUTION: Shape(
        "substitution",
        Whose.SAID,
        (number("in", "in"), number("out", "out")),
        note="Enter writes it; play waits for you",
    ),
    Act.TIME_OUT: Shape("time-out", Whose.SAID),
    Act.LIBERO: Shape("libero", Whose.SAID, (number("in", "in"), number("out", "out"))),
    Act.LINE_UP: Shape("line-up", Whose.SAID, enter="Accept"),
    Act.CORRECTION: Shape("Correction", enter="Choose a line", note="in the match history"),
    Act.CARD: Shape(
        "card by R1",
        Whose.SAID,
        (
            number(optional=True),
            choice("who", "who", *_WHO, first=False),
            choice("card", "card", *_CARDS, first=False),
        ),
    ),
    Act.DELAY: Shape("delay", Whose.SAID, (choice("cause", "cause", *_DELAYS),)),
    Act.IMPROPER: Shape(
        "improper request", Whose.SAID, (choice("about", "for", *_REQUESTS),), note="waved off"
    ),
    Act.CALL: Shape("fault called", Whose.SAID, (choice("fault", "fault", *_FAULTS), number(optional=True))),
    Act.REPLAY: Shape("Play the rally again", Whose.NONE, (choice("cause", "because", *_REPLAYS),)),
    Act.TOSS: Shape(
        "Toss",
        Whose.NONE,
        (
            Box("first", "serves first", Takes.TEAM, choices=_SERVERS),
            Box("left", "on your left", Takes.TEAM, choices=_SERVERS),
        ),
    ),
    Act.BEGIN_SET: Shape("Positions checked", enter="Begin the set"),
    Act.STRIKE: Shape(
        "Cross out", Whose.NONE, (choice("reason", "because", *_REASONS),), "Cross out", twice=True
    ),
    Act.CREW: Shape("Who writes, devices", enter="Open", note="also what to do about a lost device"),
    Act.ARRANGE: Shape("Who writes", Whose.NONE, (choice("do", "", ("", ""), first=False),), "Do it"),
}


def sign_act(sign: SignView) -> Act:
    """How the table enters a signature: its own or a mark made here at once, a sign of R1 or R2 as a form."""
    return Act.SIGN_OFF if sign.own or sign.signer.startswith(("captain", "coach")) else Act.SIGN_FOR


def tells(world: World) -> tuple[Act, ...]:
    """What Up steps through now."""
    acts = [Act.WRONG_SERVER, Act.CHECK_SERVER, Act.RELEASE if world.holding else Act.HOLD, Act.STOP]
    acts += [Act.MEDICAL, Act.CHECK_SHEET, Act.CONDUCT]
    if point_for(world):
        acts.append(Act.SET_POINT)
    if world.put_off is not None:
        acts.append(Act.LATER)
    return (*acts, Act.HELP)


def point_for(world: World) -> dict[str, str]:
    """Teams that are one point away, with the kind of notice."""
    snapshot = world.snapshot
    return dict.fromkeys(snapshot.standing_team, snapshot.standing) if snapshot.standing else {}


_TO_DO = ("open", "late", "wrong")


def duties(world: World) -> tuple[tuple[str, str], ...]:
    """What this post has still to tick, as choices: "code/team" and the words."""
    mine = (one for one in world.snapshot.duties if one.mine and one.code != SIGNED)
    todo = (one for one in mine if one.state in _TO_DO)
    return tuple((f"{one.code}/{one.team}", f"{one.team} {one.text}".strip()) for one in todo)


def outcomes(world: World) -> tuple[tuple[str, str], ...]:
    """How the notice that is to be ended ended, as choices; a neutral one says no more than that."""
    notice = world.to_end
    if notice is None:
        return ()
    words = ("dealt with",) if notice.neutral else notice.outcomes
    by = "" if notice.closes else "R1 by sign: "
    return tuple((word, f"{by}{word}") for word in words)


_HELD = ("warm_up", "time_out", "between_sets", "recovery")
"""Clocks that people may hold and let go on."""


def clock_choices(world: World) -> tuple[tuple[str, str], ...]:
    """What can be done with clocks now, as choices: "kind/do" and the words."""
    snapshot = world.snapshot
    running = {one.kind: one for one in snapshot.clocks}
    warm_up = snapshot.phase in ("before", "line_ups") and snapshot.set_number == 1
    found = [("warm_up/start", "start the warm-up")] if warm_up and "warm_up" not in running else []
    for kind in (kind for kind in _HELD if kind in running):
        title = running[kind].title[:1].lower() + running[kind].title[1:]
        held = running[kind].held
        found.append((f"{kind}/run", f"{title} goes on") if held else (f"{kind}/hold", f"hold the {title}"))
        found += [("warm_up/end", "end the warm-up")] if kind == "warm_up" else []
    return tuple(found)


def dead_ball_acts(world: World) -> tuple[Act, ...]:
    """What Down steps through now."""
    snapshot = world.snapshot
    first = [Act.SIGN] if world.decision is not None else []
    first += [Act.AGREE] if world.asked_older is not None else []
    first += [Act.DEALT] if world.to_end is not None else []
    if snapshot.phase == "time_out":
        first.append(Act.END_TIME_OUT)
    if snapshot.courts_due:
        first.append(Act.CHANGE_COURTS)
    first += [Act.TICK] if duties(world) else []
    last = [Act.CLOCK] if clock_choices(world) else []
    last += [Act.CREW] if snapshot.devices else []
    erase = [Act.ERASE_NAMES] if snapshot.names_erasable else []
    if snapshot.phase == "before":
        return (*first, Act.TOSS, Act.CARD, *last)
    if snapshot.phase in ("line_ups", "check", "between_sets"):
        begin = [] if world.found else [Act.BEGIN_SET]
        ready = [*begin, Act.DIFFERS] if snapshot.phase == "check" else []
        toss = [Act.TOSS] if snapshot.toss_due else []
        return (*first, *toss, *ready, Act.LINE_UP, Act.CORRECTION, Act.CARD, Act.DELAY, *last)
    if snapshot.phase == "finished":
        sign = [] if world.signature is None else [sign_act(world.signature)]
        return (*sign, *first, Act.CORRECTION, *last, *erase)
    if snapshot.phase == "sealed":
        return (Act.NEXT_MATCH, *first, *last, *erase)
    usual = (Act.SUBSTITUTION, Act.TIME_OUT, Act.LIBERO, Act.LINE_UP, Act.CORRECTION, Act.CARD, Act.DELAY)
    return (
        *first,
        *(act for act in usual if act is not Act.LINE_UP),
        Act.IMPROPER,
        Act.CALL,
        Act.REPLAY,
        *last,
    )
