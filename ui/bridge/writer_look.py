"""Who writes, the devices of the court, records that went apart, catching up: as QML sees them.

`WriterLook` is what every face shows of it; `open` chooses a device, whose offers then stand in `offers`.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.crew_view import CatchUp, DeviceView, Do, Offer, RecordView, WriterView
from crewlink.snapshot import Snapshot
from ui.bridge.reading import clock_text
from ui.bridge.roles import DeviceRole, OfferRole, RecordRole
from ui.bridge.rows import RowModel
from ui.bridge.submit import Door
from ui.line.crew import command_of, device_told, offer_key

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

_BOLD_SILENCE = 10.0


@dataclass(frozen=True, slots=True)
class OfferRow:
    """Something that can be done; `warning` is there if it is not done by one press."""

    key: str
    words: str
    warning: str


@dataclass(frozen=True, slots=True)
class DeviceRow:
    """A device: `told` says how it is reached, and whether it writes; `chosen`: its offers are shown."""

    device: str
    word: str
    reach: str
    told: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class RecordRow:
    """One of the records: its score as a title, its lines and the last one in words."""

    head: str
    title: str
    told: str
    counts: bool


def writer_text(writer: WriterView, elapsed: float = 0.0) -> str:
    """Who writes, in a few words."""
    if writer.gone or not writer.word:
        return "Nobody writes"
    who = "You write" if writer.here else f"{writer.word} writes"
    if not writer.reached:
        return f"{who}, out of reach {clock_text(writer.silent + elapsed)}"
    return f"{who}, taken without the others" if writer.alone else who


def asking_text(writer: WriterView) -> str:
    """How far asking to write has come, "" while this post does not ask."""
    if not writer.voters:
        return ""
    have = "has" if writer.agreed == 1 else "have"
    return f"{writer.agreed} of {writer.voters} {have} agreed, {writer.needed} are enough"


def device_row(device: DeviceView, elapsed: float, chosen: str) -> DeviceRow:
    """The words for a device."""
    told = device_told(device, elapsed)
    return DeviceRow(device.device, device.word, device.state, told, device.device == chosen)


def record_row(record: RecordView, elapsed: float) -> RecordRow:
    """The words for one of several records."""
    lines = f"{record.entries} line{'' if record.entries == 1 else 's'} since they went apart"
    last = "" if record.ago is None else f", the last {clock_text(record.ago + elapsed)} ago by {record.by}"
    return RecordRow(record.head, f"Set {record.set_number}, {record.score}", lines + last, record.counts)


def grouped(number: int) -> str:
    """A count as it is read: 1,200."""
    return f"{number:,}"


def catch_up_text(progress: CatchUp | None) -> str:
    """How far this device has caught up, "" while there is nothing to tell."""
    if progress is None:
        return ""
    return f"catching up {grouped(progress.had)} of {grouped(progress.total)}"


@QmlElement
class WriterLook(QObject):
    """`trouble`: the one who writes is missing, or wrote without the others; then it stands out."""

    changed = Signal()
    beaten = Signal()

    def __init__(self, door: Door, parent: QObject) -> None:
        super().__init__(parent)
        self._door = door
        self._snapshot = Snapshot(0.0, "", "")
        self._chosen = ""
        self._texts = ("", "")
        self._offers: RowModel[OfferRow] = RowModel(OfferRole, lambda row: row.key, self)
        self._devices: RowModel[DeviceRow] = RowModel(DeviceRole, lambda row: row.device, self)
        self._records: RowModel[RecordRow] = RowModel(RecordRole, lambda row: (row.head, row.counts), self)

    def update(self, snapshot: Snapshot, now: float) -> None:
        """Show `snapshot`."""
        same = (snapshot.writing, snapshot.devices, snapshot.catching_up, snapshot.here) == (
            self._snapshot.writing,
            self._snapshot.devices,
            self._snapshot.catching_up,
            self._snapshot.here,
        )
        self._snapshot = snapshot
        if not any(one.device == self._chosen for one in snapshot.devices):
            self._chosen = ""
        self._list()
        self.beat(now)
        if not same:
            self.changed.emit()

    def beat(self, now: float) -> None:
        """Let time pass."""
        writer, elapsed = self._snapshot.writing, now - self._snapshot.taken
        since = "" if writer.since is None else f"for {clock_text(writer.since + elapsed)}"
        texts = (writer_text(writer, elapsed), since)
        self._devices.show([device_row(one, elapsed, self._chosen) for one in self._snapshot.devices])
        self._records.show([record_row(one, elapsed) for one in writer.records])
        if texts != self._texts:
            self._texts = texts
            self.beaten.emit()

    def _list(self) -> None:
        self._offers.show([OfferRow(offer_key(one), one.words, one.warning) for one in self._offered()])

    def _offered(self) -> tuple[Offer, ...]:
        device = self._device()
        if device is not None:
            out = device.state in ("late", "lost")
            return tuple(sorted(device.offers, key=lambda one: out and one.do is not Do.TAKE_OUT))
        return self._snapshot.writing.offers

    def _device(self) -> DeviceView | None:
        return next((one for one in self._snapshot.devices if one.device == self._chosen), None)

    @Slot(str)
    def open(self, device: str) -> None:
        """Choose a device; "" goes back to who writes."""
        self._chosen = "" if device == self._chosen else device
        self._list()
        self._devices.show([device_row(one, 0.0, self._chosen) for one in self._snapshot.devices])
        self.changed.emit()

    @Slot(str, result=bool)
    def act(self, key: str) -> bool:
        """Do one of the offers."""
        offer = next((one for one in self._offered() if offer_key(one) == key), None)
        done = offer is not None and self._door.send(command_of(offer))
        if done and offer is not None and offer.device:
            self.open("")
        return done

    @Property(str, notify=beaten)
    def text(self) -> str:
        return self._texts[0]

    @Property(str, notify=beaten)
    def sinceText(self) -> str:
        """For how long it has written."""
        return self._texts[1]

    @Property(str, notify=changed)
    def post(self) -> str:
        return self._snapshot.writing.post

    @Property(str, notify=changed)
    def word(self) -> str:
        return self._snapshot.writing.word

    @Property(bool, notify=changed)
    def here(self) -> bool:
        return self._snapshot.writing.here

    @Property(bool, notify=changed)
    def alone(self) -> bool:
        return self._snapshot.writing.alone

    @Property(bool, notify=changed)
    def trouble(self) -> bool:
        writer = self._snapshot.writing
        return writer.alone or not writer.reached or bool(writer.voters or writer.records)

    @Property(str, notify=changed)
    def askingText(self) -> str:
        return asking_text(self._snapshot.writing)

    @Property(str, notify=changed)
    def brief(self) -> str:
        """In two words, for a small face, what is unlike the usual; "" while the table writes."""
        writer = self._snapshot.writing
        if self._snapshot.storage:
            return "not saved"
        if writer.gone:
            return "nobody writes"
        if not writer.word or (writer.post == "scorer" and not writer.alone and not writer.here):
            return ""
        who = "you" if writer.here else writer.word
        return f"{who} alone" if writer.alone else f"{who} write{'' if writer.here else 's'}"

    @Property(str, notify=changed)
    def handTo(self) -> str:
        """The key of the offer to let the table write, for a referee's device that writes; "" else."""
        writer = self._snapshot.writing
        found = (one for one in writer.offers if one.do is Do.HAND and one.to == "scorer")
        return next((offer_key(one) for one in found if self._snapshot.post in ("R1", "R2")), "")

    @Property(str, notify=changed)
    def firstKey(self) -> str:
        """The offer that helps first while the one who writes is missing; "" if there is none."""
        writer = self._snapshot.writing
        missing = writer.gone or not writer.reached or bool(writer.voters)
        return offer_key(writer.offers[0]) if missing and not writer.here and writer.offers else ""

    @Property(str, notify=changed)
    def firstWords(self) -> str:
        return self._snapshot.writing.offers[0].words if self.firstKey else ""

    @Property(str, notify=changed)
    def firstWarning(self) -> str:
        return self._snapshot.writing.offers[0].warning if self.firstKey else ""

    @Property(str, notify=changed)
    def chosen(self) -> str:
        """The device whose offers are shown; "" while they are about who writes."""
        return self._chosen

    @Property(str, notify=changed)
    def chosenWord(self) -> str:
        device = self._device()
        return "" if device is None else device.word

    @Property(str, notify=changed)
    def warning(self) -> str:
        """What the first offer that must be confirmed leads to."""
        return next((one.warning for one in self._offered() if one.warning), "")

    @Property(QObject, constant=True)
    def offers(self) -> RowModel[OfferRow]:
        return self._offers

    @Property(QObject, constant=True)
    def devices(self) -> RowModel[DeviceRow]:
        return self._devices

    @Property(QObject, constant=True)
    def records(self) -> RowModel[RecordRow]:
        return self._records

    @Property(str, notify=changed)
    def catchUpText(self) -> str:
        return catch_up_text(self._snapshot.catching_up)

    @Property(float, notify=changed)
    def catchUpShare(self) -> float:
        """How much is here, from 0 to 1."""
        progress = self._snapshot.catching_up
        return 0.0 if progress is None or not progress.total else progress.had / progress.total

    @Property(bool, notify=changed)
    def matchHere(self) -> bool:
        """The match has come to this device."""
        return self._snapshot.here
