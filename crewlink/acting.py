"""The station that acts, as its court must know it to say what becomes of a command."""

from __future__ import annotations

import hashlib

from msgspec import Struct

from crewlink.court import Line
from crewlink.crew.life import State
from crewlink.drafts import Refused
from crewlink.match.ruling import Ruling, Severity


class Aside(Struct, frozen=True):
    """A branch of the record that does not count: its last entry, its lines from the fork on, and how many
    lines of the counted record stand before the fork.
    """

    head: bytes
    lines: tuple[Line, ...]
    fork: int = 0


class Me(Struct, frozen=True):
    """The station that acts: its post, whether it writes, who else is there, and how the court stands for it.

    `filled`: posts that somebody holds; `unheard`: posts among table and R2 that cannot be heard now; `live`:
    the notices that are open or answered, by id; `steps`: what of their ladders comes next, as in `Outlook`;
    `sealed`: the record is locked; `stands`: its last line is safe on enough devices (asked at the end only).
    """

    post: str
    writes: bool
    head: bytes
    filled: tuple[str, ...]
    in_play: bool = False
    states: dict[bytes, State] = {}
    live: tuple[bytes, ...] = ()
    steps: tuple[tuple[float, bytes, str], ...] = ()
    epoch: bytes = b""
    unheard: tuple[str, ...] = ()
    aside: tuple[Aside, ...] = ()
    sealed: bool = False
    stands: bool = False


def no(code: str, sentence: str) -> Refused:
    """A refusal in one plain sentence."""
    return Refused(Ruling(code, Severity.REFUSE, sentence))


def notice_id(kind: str, subject: str, step: str = "") -> bytes:
    """The id of a notice that any station may raise: the same wherever it is raised first."""
    text = f"{kind}\0{subject}\0{step}"
    return hashlib.sha256(b"crewlink notice 1\0" + text.encode()).digest()
