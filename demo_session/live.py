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
from crewlink.crew.commands import CrewCommand, Raise, Shown
from crewlink.crew.posts import Post
from crewlink.match.ruling import Ruling, Severity
from crewlink.script.seen import Answer, Seen, with_crew
from crewlink.snapshot import Snapshot
from demo_session.station_process import StationProcess

SETTLE_S = 15.0
SHOWN_S = 0.4


class NotEqual(Exception):
    """The stations did not come to one state in time; the text says how they differ."""


class LiveStage:
    """Stations by post. `pace` stretches (above 1) or shortens (below 1) the pauses of the script; `keep` is
    told of each act once all stations are equal.
    """

    def __init__(
        self,
        stations: Mapping[Post, StationProcess],
        pace: float = 1.0,
        keep: Callable[[AnyCommand, Post], None] = lambda command, post: None,
    ) -> None:
        self.stations = stations
        self.pace = pace
        self._keep = keep

    def act(self, post: Post, command: AnyCommand) -> Answer:
        """Let `post` do it at its own station, and wait until all stations are equal again."""
        first = self.stations[post].look().snapshot
        before = {notice.id for notice in first.notices}
        made = self.stations[post].submit(command)
        looks = self.settle()
        self._keep(command, post)
        if isinstance(command, CrewCommand):
            return self._crew_answer(post, command, before, looks)
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
        """The match as `post` sees it."""
        look = self.stations[post].look()
        assert look.seen is not None
        return with_crew(look.seen, look.snapshot)

    def pass_time(self, seconds: float) -> None:
        """A pause, as the people would take it."""
        time.sleep(seconds * self.pace)

    def settle(self, fits: Callable[[dict[Post, Look]], bool] = lambda looks: True) -> dict[Post, Look]:
        """Wait until every station has saved all it knows and all are equal. Errors: NotEqual,
        StationGone.
        """
        until = time.monotonic() + SETTLE_S
        while True:
            looks = {post: station.look() for post, station in self.stations.items()}
            for post, look in looks.items():
                self._show(post, look)
            if equal(looks) and fits(looks):
                return looks
            if time.monotonic() > until:
                raise NotEqual(_differ(looks))
            next(iter(self.stations.values())).wait_change(0.05)

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

    def _crew_answer(
        self, post: Post, command: CrewCommand, before: set[str], looks: Mapping[Post, Look]
    ) -> Answer:
        if not isinstance(command, Raise):
            return Answer()
        raised = [notice for notice in looks[post].snapshot.notices if notice.id not in before]
        return Answer(notice=raised[0].id if raised else "", proposal_id=_asked_for(looks))


def _asked_for(looks: Mapping[Post, Look]) -> str:
    """The suggested decision that somebody is asked for now, or ""."""
    asked = [one for look in looks.values() for one in look.snapshot.proposals if one.mine]
    return asked[0].id if asked else ""


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
        f"waiting {look.snapshot.waiting_requests}"
        for post, look in looks.items()
    ]
    return "The stations did not come to one state: " + "; ".join(lines)
