"""What a node needs around it: the station it drives, and someone who looks for others. Shapes only."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Protocol, TypeAlias

from protocol.address import Address
from protocol.courier import Arrival, Courier
from protocol.courier_seal import RandomBytes
from protocol.entry import Entry, Payload
from protocol.node_state import Finding
from protocol.output import Arrived, Forked, Output, PrivateCame, Refused
from protocol.peer import PeerState

Event: TypeAlias = Arrived | PrivateCame | Forked | Refused
"""Outputs of a peer that concern the floors above."""

Found: TypeAlias = Callable[[str, tuple[Address, ...]], None]
"""Told an instance name and its addresses; no addresses: it is gone."""


class Driven(Protocol):
    """What a node drives: `protocol.peer.Peer`, or a station that holds one."""

    def receive(self, link: int, frame: bytes, now: float, wall_ms: int) -> None: ...
    def link_up(self, link: int, device: bytes, now: float, wall_ms: int) -> None: ...
    def link_down(self, link: int, now: float) -> None: ...
    def tick(self, now: float, wall_ms: int) -> None: ...
    def next_tick(self) -> float | None: ...
    def committed(self, batch: int, now: float, wall_ms: int) -> None: ...
    def steps(self) -> Iterator[list[Output]]:
        """What to do now. Each step is carried out before the next is asked for: it may bring more."""

    def start_courier(self, port: int, random_bytes: RandomBytes) -> Courier | None:
        """Take datagrams at this UDP port from now on; None when the station does without."""

    def carried(self, arrival: Arrival, now: float, wall_ms: int) -> None:
        """An entry came by datagram."""

    @property
    def receipts(self) -> int:
        """Counts up when others are linked, or are not any more, or say to have saved something else."""

    def peers(self, now: float | None = None) -> dict[bytes, PeerState]: ...
    def members(self) -> tuple[bytes, ...]: ...
    def author(
        self, kind: str, payload: Payload, now: float, wall_ms: int, private: bytes | None = None
    ) -> Entry: ...


class Finder(Protocol):
    """Looks for other stations; `protocol.discovery.Discovery` does it by multicast DNS."""

    @property
    def finding(self) -> Finding: ...

    def name_of(self, device: bytes) -> str:
        """The instance name of a device."""

    async def start(self, port: int, found: Found, changed: Callable[[], None]) -> None:
        """Announce this port, report others to `found`, tell when `finding` changes."""

    def seek(self, missing: bool) -> None:
        """Whether a known station is missing, so that announcing often is worth it."""

    def doubt(self, instance: str) -> None:
        """An instance does not answer calls: make sure that it is still there, else report it gone."""

    def refresh(self) -> None:
        """The network may have changed: begin anew."""

    async def close(self) -> None: ...
