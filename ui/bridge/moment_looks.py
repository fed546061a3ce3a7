"""The things of a moment as QML sees them: ready chain, running clock, suggestion, refusal, what is saved."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from crewlink.snapshot import ClockView, Explanation, ProposalView, ReadyStop, ReadyView, RefusalView
from ui.bridge.reading import clock_text
from ui.bridge.roles import ExplanationRole, StopRole
from ui.bridge.rows import RowModel

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

REFUSAL_SECONDS = 6.0
OLDER = "older"
"""The kind of a decision about a change that reaches behind the last rally."""
_WORDS = {"R1": "R1", "R2": "R2", "scorer": "Table", "assistant": "Assistant"}
_TOLD = {"still writing": "writes"}
_NO_PROPOSAL = ProposalView("", "", "", "", "")


@dataclass(frozen=True, slots=True)
class StopRow:
    """A stop of the ready chain; `stage` is "done", "holds" or "waiting", `told` a word or two more."""

    word: str
    stage: str
    told: str


def stop_row(stop: ReadyStop, post: str) -> StopRow:
    """A stop as the post that reads it sees it: its own is "you", R1 is told last."""
    own = stop.word == _WORDS.get(post, "")
    told = _TOLD.get(stop.detail, stop.detail)
    if own and stop.state == "waiting":
        told = "you: positions" if stop.detail.startswith("positions") else "you"
    elif stop.word == "R1" and stop.state == "waiting":
        told = "told last"
    elif stop.state == "holds":
        told = "you hold" if own else "holds"
    return StopRow(stop.word, stop.state, told)


@QmlElement
class ReadyLook(QObject):
    """The ready chain: `state` "none", "clear" or "held", and its stops."""

    changed = Signal()
    beaten = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._ready = ReadyView()
        self._taken = 0.0
        self._text = clock_text(0)
        self._stops: RowModel[StopRow] = RowModel(StopRole, lambda row: row.word, self)

    def update(self, ready: ReadyView, taken: float, now: float, post: str = "") -> None:
        """Show `ready` as of `taken` to `post`."""
        same = ready == self._ready
        self._ready, self._taken = ready, taken
        self._stops.show([stop_row(stop, post) for stop in ready.stops])
        if not same:
            self.changed.emit()
        self.beat(now)

    def beat(self, now: float) -> None:
        """Let time pass."""
        text = clock_text(self._ready.seconds + now - self._taken)
        if text != self._text:
            self._text = text
            self.beaten.emit()

    @Property(str, notify=changed)
    def state(self) -> str:
        return self._ready.state

    @Property(str, notify=changed)
    def sentence(self) -> str:
        return self._ready.sentence

    @Property(str, notify=changed)
    def reason(self) -> str:
        return self._ready.reason

    @Property(bool, notify=changed)
    def byPerson(self) -> bool:
        """A person holds the service, not only a stop that is not ready."""
        return self._ready.person

    @Property(bool, notify=changed)
    def r2Done(self) -> bool:
        """R2 has said ready in this interruption."""
        return any(stop.word == "R2" and stop.state == "done" for stop in self._ready.stops)

    @Property(QObject, constant=True)
    def stops(self) -> RowModel[StopRow]:
        return self._stops

    @Property(str, notify=beaten)
    def secondsText(self) -> str:
        return self._text


@QmlElement
class ClockLook(QObject):
    """A running clock; `present` is false when none runs."""

    changed = Signal()
    beaten = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._clock: ClockView | None = None
        self._taken = 0.0
        self._text = clock_text(0)
        self._share = 0.0

    def update(self, clock: ClockView | None, taken: float, now: float) -> None:
        """Show `clock` as of `taken`."""
        same = clock == self._clock
        self._clock, self._taken = clock, taken
        if not same:
            self.changed.emit()
        self.beat(now)

    def beat(self, now: float) -> None:
        """Let time pass."""
        left = 0.0 if self._clock is None else max(0.0, self._clock.left - now + self._taken)
        text = clock_text(left + 0.999)
        share = left / self._clock.total if self._clock and self._clock.total > 0 else 0.0
        if text != self._text or share != self._share:
            self._text, self._share = text, share
            self.beaten.emit()

    @Property(bool, notify=changed)
    def present(self) -> bool:
        return self._clock is not None

    @Property(str, notify=changed)
    def kind(self) -> str:
        return self._clock.kind if self._clock else ""

    @Property(str, notify=changed)
    def title(self) -> str:
        return self._clock.title if self._clock else ""

    @Property(str, notify=changed)
    def team(self) -> str:
        return self._clock.team if self._clock else ""

    @Property(str, notify=beaten)
    def leftText(self) -> str:
        """Seconds left, rounded up: 0:30 at the start, 0:00 only at the end."""
        return self._text

    @Property(float, notify=beaten)
    def share(self) -> float:
        """What is left of the whole, 1 to 0."""
        return self._share


@QmlElement
class ProposalLook(QObject):
    """A suggested decision; `present` is false when there is none."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._proposal = _NO_PROPOSAL
        self._explanations: RowModel[Explanation] = RowModel(ExplanationRole, lambda row: row.text, self)

    def update(self, proposal: ProposalView | None) -> None:
        """Show `proposal`, or nothing."""
        shown = proposal or _NO_PROPOSAL
        if shown == self._proposal:
            return
        self._proposal = shown
        self._explanations.show(shown.explanations)
        self.changed.emit()

    @Property(bool, notify=changed)
    def present(self) -> bool:
        return bool(self._proposal.id)

    @Property(str, notify=changed)
    def proposalId(self) -> str:
        return self._proposal.id

    @Property(str, notify=changed)
    def kind(self) -> str:
        return self._proposal.kind

    @Property(str, notify=changed)
    def title(self) -> str:
        return self._proposal.title

    @Property(str, notify=changed)
    def detail(self) -> str:
        return self._proposal.detail

    @Property(str, notify=changed)
    def asks(self) -> str:
        return self._proposal.asks

    @Property(str, notify=changed)
    def before(self) -> str:
        return self._proposal.before

    @Property(str, notify=changed)
    def after(self) -> str:
        return self._proposal.after

    @Property(str, notify=changed)
    def nextServer(self) -> str:
        return self._proposal.next_server

    @Property(bool, notify=changed)
    def mine(self) -> bool:
        return self._proposal.mine

    @Property(bool, notify=changed)
    def older(self) -> bool:
        """It is about a change of an old line: play goes on beside it."""
        return self._proposal.kind == OLDER

    @Property(str, notify=changed)
    def saidText(self) -> str:
        """What the one who decides has said: "R2 agrees", "R2 says no", or "" for nothing yet."""
        said = {"agree": "agrees", "no": "says no"}.get(self._proposal.said, "")
        return f"{self._proposal.asks} {said}" if said else ""

    @Property(QObject, constant=True)
    def explanations(self) -> RowModel[Explanation]:
        return self._explanations


@QmlElement
class RefusalLook(QObject):
    """Why the last act was not done; stands for 6 s."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._refusal: RefusalView | None = None
        self._since = 0.0
        self._seen: RefusalView | None = None

    def update(self, refusal: RefusalView | None, now: float) -> None:
        """Take over what the snapshot says, once."""
        if refusal is not None and refusal != self._seen:
            self.show(refusal, now)
        self._seen = refusal

    def show(self, refusal: RefusalView, now: float) -> None:
        """Show `refusal` from now on."""
        self._refusal, self._since = refusal, now
        self.changed.emit()

    def clear(self) -> None:
        """The reader has gone on."""
        if self._refusal is not None:
            self._refusal = None
            self.changed.emit()

    def beat(self, now: float) -> None:
        """Let time pass; the refusal goes after 6 s."""
        if self._refusal is not None and now - self._since >= REFUSAL_SECONDS:
            self._refusal = None
            self.changed.emit()

    @Property(bool, notify=changed)
    def present(self) -> bool:
        return self._refusal is not None

    @Property(str, notify=changed)
    def sentence(self) -> str:
        return self._refusal.sentence if self._refusal else ""

    @Property(str, notify=changed)
    def reference(self) -> str:
        return self._refusal.reference if self._refusal else ""
