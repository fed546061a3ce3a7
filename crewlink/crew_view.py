"""Who writes, the devices of the court and how far this one has caught up, as faces see them: plain, frozen.

Part of `crewlink.snapshot`. Seconds are counted at the moment the snapshot was taken.
"""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class Do(StrEnum):
    """What a post can do about who writes, or with a device."""

    TAKE = "take"
    STOP = "stop"
    ALONE = "alone"
    HAND = "hand"
    CHOOSE = "choose"
    TAKE_OUT = "take_out"
    JOB = "job"


class Offer(Struct, frozen=True):
    """Something this post can do now. `to`: a post, or the end of a record; `device`: whose, where it is
    about one. `words` name it; `warning`: what it leads to, where it is not done by one press.
    """

    do: Do
    words: str
    to: str = ""
    device: str = ""
    warning: str = ""


class RecordView(Struct, frozen=True):
    """One of several records that went apart: the score at its end, its entries since they parted, how many
    seconds ago the last of them was written (`ago`), and by whom. `counts`: it is the one that goes on now.
    """

    head: str
    set_number: int
    score: str
    entries: int
    ago: float | None = None
    by: str = ""
    counts: bool = False


class WriterView(Struct, frozen=True):
    """Who writes: the post and its word ("" while nobody does), for how many seconds, whether it is heard.

    `here`: this device. `silent`: seconds that nothing was heard of it. `gone`: its device was taken out, so
    nobody writes. `alone`: it writes without the others having agreed. `agreed` of `voters`, `needed` are
    enough: while this post asks to write (`voters` 0: it does not ask). `offers`: what this post can do.
    """

    post: str = ""
    word: str = ""
    here: bool = False
    since: float | None = None
    reached: bool = True
    silent: float = 0.0
    gone: bool = False
    alone: bool = False
    agreed: int = 0
    needed: int = 0
    voters: int = 0
    offers: tuple[Offer, ...] = ()
    records: tuple[RecordView, ...] = ()


class DeviceView(Struct, frozen=True):
    """A device of this court. `state`: "here", "linked", "late" (silent 5 s), "lost" (silent 10 s).

    `copied`: its data was copied or set back, so it may run twice; `word` says so too.
    """

    device: str
    post: str
    word: str
    state: str
    silent: float = 0.0
    writes: bool = False
    copied: bool = False
    offers: tuple[Offer, ...] = ()


class CatchUp(Struct, frozen=True):
    """This device gets what the others have: `had` of `total` entries are here."""

    had: int
    total: int
