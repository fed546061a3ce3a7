"""What a fuzzing process tells while it runs, in a mapped file that can be read after it has died."""

from __future__ import annotations

import mmap
import struct
from dataclasses import dataclass
from pathlib import Path

_COUNTS = struct.Struct("<QQQQQQ")


@dataclass(frozen=True, slots=True)
class Counts:
    """Inputs begun, accepted, refused; slowest (ns); most memory held at once for one input (bytes)."""

    inputs: int
    accepted: int
    refused: int
    slowest: int
    peak: int


class Board:
    """The file. `begin` before an input is run, `end` after it."""

    def __init__(self, path: Path, longest: int) -> None:
        self._size = _COUNTS.size + longest
        if not path.exists():
            path.write_bytes(bytes(self._size))
        with path.open("r+b") as file:
            self._map = mmap.mmap(file.fileno(), self._size)

    def begin(self, data: bytes) -> None:
        inputs, accepted, refused, slowest, peak, _ = _COUNTS.unpack_from(self._map)
        self._map[_COUNTS.size : _COUNTS.size + len(data)] = data
        _COUNTS.pack_into(self._map, 0, inputs + 1, accepted, refused, slowest, peak, len(data))

    def end(self, *, accepted: bool, nanoseconds: int, peak: int) -> None:
        inputs, taken, refused, slowest, most, size = _COUNTS.unpack_from(self._map)
        taken, refused = taken + accepted, refused + (not accepted)
        _COUNTS.pack_into(
            self._map, 0, inputs, taken, refused, max(slowest, nanoseconds), max(most, peak), size
        )

    def counts(self) -> Counts:
        return Counts(*_COUNTS.unpack_from(self._map)[:5])

    def last_input(self) -> bytes:
        size = _COUNTS.unpack_from(self._map)[5]
        return bytes(self._map[_COUNTS.size : _COUNTS.size + size])
