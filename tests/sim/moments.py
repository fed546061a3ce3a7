"""What must hold at the very moment when a station sends or votes."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from protocol import acts, wire
from protocol.entry import TAG, decoded
from tests.sim.broken import Broken

if TYPE_CHECKING:
    from tests.sim.station import Station

HEARD_SECONDS = 2.9


def nothing_unsaved_is_sent(station: Station, frame: bytes) -> None:
    """saved-survives, at the moment of sending: entries and receipts only of what is on the disk."""
    if b"\xa5chunk" not in frame[:10] and b"\xa6vector" not in frame[:10]:
        return
    message = wire.decode(frame)
    if isinstance(message, wire.Chunk) and message.number:
        for item in message.entries:
            if hashlib.sha256(TAG + item.body).digest() not in station.disk:
                raise Broken("saved-survives", f"station {station.number} sent what it had not saved")
    elif isinstance(message, wire.Vector):
        for mark in message.logs:
            if mark.length and mark.head not in station.disk:
                raise Broken("saved-survives", f"station {station.number} gave a receipt before saving")


def what_was_written(station: Station) -> None:
    """Every entry that a station signs is noted by its place. A vote is not for one whose rival is heard."""
    peer = station.peer
    if peer is None or peer.log is None:
        return
    entries = peer.journal.logs[peer.log].entries
    seen = station.looked.get(peer.log, 0)
    if seen < len(entries):
        for entry in entries[seen:]:
            station.world.signed(station, entry)
            vote = decoded(entry.fields, acts.Vote) if entry.act == acts.VOTE else None
            take = peer.journal.get(vote.take) if vote else None
            if vote and take:
                _check_silence(station, vote.epoch, peer.journal.device_of(take.log))
        station.looked[peer.log] = len(entries)


def _check_silence(station: Station, epoch_id: bytes, taker: bytes | None) -> None:
    peer = station.peer
    assert peer is not None
    epoch = next((epoch for epoch in peer.epochs() if epoch.id == epoch_id), None)
    holder = peer.journal.device_of(epoch.holder) if epoch else None
    if epoch is None or holder is None or taker == holder or peer.member(holder) is None:
        return
    if any(epoch.holder in log.header.closes for log in peer.journal.logs_of(holder)):
        return
    if station.clock() - station.heard.get(holder, -HEARD_SECONDS) < HEARD_SECONDS:
        raise Broken("no-vote-while-heard", f"station {station.number} voted away a pen it could hear")
    station.world.count("vote for a taker")
