"""Live stations as a stage for match scripts: each step is done at its post's own station, by its own
process.

After each act the stage waits until all stations hold the same state; that they do is part of what is shown.
A headless face shows a plate to nobody, so the stage says "shown" for each station as its face would.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping

from crewlink.acts import AnyCommand
from crewlink.control import Look
from crewlink.crew.commands import CrewCommand, GiveJob, NextMatch, PenCommand, Raise, Shown, TakeOut
from crewlink.crew.posts import Post
from crewlink.match.ruling import Ruling, Severity
from crewlink.script.seen import DONE, Answer, Seen, with_crew
from crewlink.snapshot import Snapshot
from crewlink.station import Answer as StationAnswer
from demo_session.station_process import StationProcess

SETTLE_S = 30.0
SHOWN_S = 0.4
SILENCE_S = 12.0
"""So long a device that reaches nobody waits until it may write alone."""
Fits = Callable[[dict[Post, Look]], bool]


class NotEqual(Exception):
    """The stations did not come to one state in time; the text says how they differ."""


def anything(looks: dict[Post, Look]) -> bool:
    """Any state will do, as long as all have the same."""
    return True


class LiveStage:
    """Stations by post. `pace` stretches (above 1) or shortens (below 1) the pauses of the script; `keep` is
    told of each act once all stations are equal; `newcomer(post, host)` starts the station of a new device
    that the host lets in.
    """

    def __init__(
        self,
        stations: Mapping[Post, StationProcess],
        pace: float = 1.0,
        keep: Callable[[AnyCommand, Post], None] = lambda command, post: None,
        newcomer: Callable[[Post, StationProcess], StationProcess] | None = None,
    ) -> None:
        self.stations = dict(stations)
        self.pace = pace
        self.keep = keep
        self._newcomer = newcomer
        self._cut: Post | None = None
        self._alone = False

    def act(self, post: Post, command: AnyCommand) -> Answer:
        """Let `post` do it at its own station, and wait until all stations are equal again."""
        if post not in self.stations:
            sentence = f"No {post} in this crew; there are {', '.join(self.stations)}."
            return Answer(Ruling("no_such_post", Severity.REFUSE, sentence))
        self._let_run(post)
        first = self.stations[post].look().snapshot
        made = self.stations[post].submit(command)
        looks = self.settle(_awaited(command) if made.done else anything)
        if isinstance(command, GiveJob):
            looks = self._jobs()
        self.keep(command, post)
        if isinstance(command, CrewCommand | PenCommand):
            return _crew_answer(command, made, first, looks)
        if made.kind == "refused":
            decision = self.stations[post].ask(command)
            if decision.facts:  # the rules allow it, the crew does not
                return Answer(Ruling(made.code, Severity.REFUSE, made.sentence, made.reference))
            return Answer(decision.ruling, decision.proposal)
        refusal = looks[post].snapshot.refusal
        ruling = Ruling(made.code or made.kind, Severity.FINE, made.sentence, made.reference)
        if made.kind == "failed":
            ruling = Ruling(made.kind, Severity.REFUSE, made.sentence)
        elif made.kind == "requested" and refusal is not None and refusal.at >= first.taken:
            ruling = Ruling("refused", Severity.REFUSE, refusal.sentence, refusal.reference)
        lines = _new_lines(first, looks[post].snapshot)
        return Answer(ruling, lines=lines, proposal_id=_asked_for(looks))

    def look(self, post: Post) -> Seen:
        """The match as `post` sees it; a post that nobody holds sees with the first one."""
        if post in self.stations:
            self._let_run(post)
        running = self.running()
        look = running.get(post, next(iter(running.values()))).look()
        assert look.seen is not None
        return with_crew(look.seen, look.snapshot)

    def pass_time(self, seconds: float, *, exactly: bool = False) -> None:
        """A pause, as the people would take it; `exactly`: as long as it is."""
        until = time.monotonic() + seconds * (1.0 if exactly else self.pace)
        while (left := until - time.monotonic()) > 0:
            time.sleep(min(left, 1.0))
            for post, station in self.running().items():
                self._show(post, station.look())
        self.settle()

    def device(self, post: Post) -> str:
        """The id of the device that has a job."""
        devices = next(iter(self.running().values())).look().snapshot.devices
        return next((one.device for one in devices if one.post == post), "")

    def lose(self, post: Post) -> Answer:
        """The device of a post is pulled out (SIGKILL)."""
        self.stations.pop(post).kill()
        return Answer()

    def enrol(self, post: Post, by: Post) -> Answer:
        """A new device comes in for a job, let in by a station that is there."""
        assert self._newcomer is not None, "this stage has nobody to let in"
        self.stations[post] = self._newcomer(post, self.stations[by])
        self.settle(lambda looks: all(_linked(look, self.stations) for look in looks.values()))
        return Answer()

    def cut_off(self, post: Post) -> Answer:
        """The device of a post reaches nobody: from now on it and the others run by turns.

        Its process ends here and is started again, over its own file, when its post does something; the
        others stand still then. So neither has anything from the other, not even in a buffer.
        """
        self._cut = post
        self.stations[post].kill()
        self.settle()
        return Answer()

    def link_again(self, post: Post) -> Answer:
        """All run again; they find each other by themselves."""
        self._let_run(post)
        self._cut = None
        for station in self.stations.values():
            station.thaw()
        self.settle(lambda looks: all(_linked(look, self.stations) for look in looks.values()))
        return Answer()

    def running(self) -> dict[Post, StationProcess]:
        """The stations that run now."""
        if self._cut is None:
            return self.stations
        return {post: one for post, one in self.stations.items() if (post == self._cut) is self._alone}

    def _let_run(self, post: Post) -> None:
        """Make sure that the station of a post runs; one that was cut off first finds nobody there."""
        if self._cut is None or (post == self._cut) is self._alone:
            return
        self._alone = post == self._cut
        cut = self.stations[self._cut]
        others = [station for one, station in self.stations.items() if one != self._cut]
        for station in others if self._alone else [cut]:
            station.freeze()
        for station in [] if self._alone else others:
            station.thaw()
        if self._alone and cut.process.poll() is not None:
            cut.start()
            self.settle()
            time.sleep(SILENCE_S)

    def settle(self, fits: Fits = anything) -> dict[Post, Look]:
        """Wait until every station has saved all it knows and all are equal. Errors: NotEqual,
        StationGone.
        """
        until = time.monotonic() + SETTLE_S
        while True:
            looks = {post: station.look() for post, station in self.running().items()}
            for post, look in looks.items():
                self._show(post, look)
            if equal(looks) and fits(looks):
                return looks
            if time.monotonic() > until:
                raise NotEqual(_differ(looks))
            next(iter(self.running().values())).wait_change(0.05)

    def _jobs(self) -> dict[Post, Look]:
        """Find the stations by the posts that they have now."""
        looks = [(station, station.look()) for station in self.stations.values()]
        self.stations = {Post(look.snapshot.post): station for station, look in looks}
        return self.settle()

    def _show(self, post: Post, look: Look) -> None:
        if self.stations[post].window:
            return  # a window says by itself what it shows
        for notice in look.snapshot.notices:
            mine = next((receipt for receipt in notice.receipts if receipt.post == post), None)
            if (
                notice.asked
                and not notice.held
                and mine is not None
                and mine.state in ("sent", "unconfirmed")
            ):
                time.sleep(SHOWN_S * min(self.pace, 1.0))
                self.stations[post].submit(Shown(notice.id))


def _awaited(command: AnyCommand) -> Fits:
    """What all stations show once they have heard of a command that is no entry of the court."""
    match command:
        case NextMatch():
            return _anew
        case GiveJob(device, job):
            return lambda looks: all(_jobs(look).get(device) == job for look in looks.values())
        case TakeOut(device):
            return lambda looks: not any(device in _jobs(look) for look in looks.values())
        case _:
            return anything


def _jobs(look: Look) -> dict[str, str]:
    """The jobs of all devices as a station has them, by device."""
    return {one.device: one.post for one in look.snapshot.devices}


def _anew(looks: dict[Post, Look]) -> bool:
    """All have gone on with the next match."""
    return all(look.snapshot.phase == "before" and not look.snapshot.history for look in looks.values())


def _linked(look: Look, stations: Mapping[Post, StationProcess]) -> bool:
    """Whether a station is linked with all that are there."""
    others = {str(post) for post in stations} - {look.snapshot.post}
    return others <= {link.post for link in look.snapshot.links if link.state == "linked"}


def _crew_answer(
    command: CrewCommand | PenCommand, made: StationAnswer, first: Snapshot, looks: Mapping[Post, Look]
) -> Answer:
    """What the person is told about an act among people, and the notice that came of it."""
    told = Ruling(DONE, Severity.FINE, "Done.")
    if not made.done:
        told = Ruling(made.code or made.kind, Severity.REFUSE, made.sentence, made.reference)
    if not isinstance(command, Raise):
        return Answer(told)
    before = {notice.id for notice in first.notices}
    now = next((look for look in looks.values() if look.snapshot.post == first.post), None)
    raised = [one for one in now.snapshot.notices if one.id not in before] if now is not None else []
    return Answer(told, notice=raised[0].id if raised else "", proposal_id=_asked_for(looks))


def _asked_for(looks: Mapping[Post, Look]) -> str:
    """The suggested decision that somebody is asked for now, or ""."""
    asked = [one for look in looks.values() for one in look.snapshot.proposals if one.mine]
    first = next((one for look in looks.values() for one in look.snapshot.proposals), None)
    return asked[0].id if asked else "" if first is None else first.id


def equal(looks: Mapping[Post, Look]) -> bool:
    """Whether all stations have saved what they know and hold the same state."""
    return (
        len({(look.digest, look.held) for look in looks.values()}) == 1
        and all(look.digest and look.saved for look in looks.values())
        and not any(look.snapshot.waiting_requests for look in looks.values())
    )


def _new_lines(before: Snapshot, after: Snapshot) -> tuple[bytes, ...]:
    """Entry ids of the record lines that came in between, oldest first."""
    known = {line.entry for line in before.history}
    return tuple(bytes.fromhex(line.entry) for line in reversed(after.history) if line.entry not in known)


def _differ(looks: Mapping[Post, Look]) -> str:
    lines = [
        f"{post}: state {look.digest[:8] or 'none'}, {look.held} entries, saved {look.saved}, "
        f"waiting {look.snapshot.waiting_requests}, {look.snapshot.phase}"
        for post, look in looks.items()
    ]
    return "The stations did not come to one state: " + "; ".join(lines)
