"""One station as a process of its own: commands on standard input, reports on standard output, a line each.

`python -m tests.link.station_process FOLDER [--port N] [--event NAME] [--manual HOST:PORT ...]`. The folder
holds an identity and an invitation. Everything real: keys, TLS, sockets, mDNS, SQLite, threads.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import sys
import threading
from collections.abc import Callable, Sequence
from pathlib import Path

from protocol.address import Address
from protocol.beacon import Beacon
from protocol.discovery import Discovery
from protocol.driving import Event
from protocol.entry import SALT_SIZE, Entry, Fields, Kind, Payload, private_text
from protocol.identity import Identity
from protocol.link_thread import LinkThread
from protocol.node import Node, wall_milliseconds
from protocol.output import Arrived
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation
from protocol.store import Store

_one_at_a_time = threading.Lock()


def report(**facts: object) -> None:
    """One line out, whole, even when several threads report."""
    with _one_at_a_time:
        os.write(1, (json.dumps(facts) + "\n").encode())


class Station:
    """A peer, its file and its node, and what the tests ask of them."""

    def __init__(self, options: argparse.Namespace) -> None:
        self.options = options
        self.identity = Identity.load(options.folder)
        self.invitation = Invitation.load(options.folder / "invitation.json")
        self.store = Store.open(options.folder / "match.sqlite", self.invitation.match)
        voters = tuple(member.device for member in self.invitation.members)
        self.peer = Peer(
            self.identity,
            self.invitation,
            run=os.urandom(16),
            stored=self.store.load(),
            wall_ms=wall_milliseconds(),
            found=FoundingCharter(voters, {}) if self.identity.device == self.invitation.opener else None,
        )

    async def build(self, on_change: Callable[[tuple[Event, ...]], None]) -> Node:
        event = self.options.event
        beacon = Beacon.of(self.identity.device, self.invitation.match, event) if event else None
        return Node(
            self.peer,
            self.store,
            self.identity,
            random=random.SystemRandom().random,
            on_change=on_change,
            finder=Discovery(beacon) if beacon else None,
            port=self.options.port,
            manual=[Address.parse(text) for text in self.options.manual],
        )

    def changed(self, events: tuple[Event, ...]) -> None:
        """On the link's thread: tell what is saved."""
        for event in events:
            if isinstance(event, Arrived):
                report(told="own" if event.own else "others", ids=[entry.id.hex() for entry in event.entries])

    def saved(self) -> list[Entry]:
        logs = self.peer.journal.logs.values()
        return [entry for log in logs for entry in log.entries[: log.saved]]


def write(node: Node, count: int) -> list[str]:
    """Author entries of about the size a match has."""
    return [
        node.author("free", ("note", {"number": number, "words": "x" * 60})).id.hex() for number in
        range(count) ]


def play(node: Node, station: Station, count: int) -> list[str]:
    """What a match writes: notes, some with private text; the one who writes the record adds lines to it."""
    wrote = []
    for number in range(count):
        fields: Fields = {"number": number, "words": "x" * 60}
        private = None
        if number % 8 == 0:
            digest, private = private_text(f"note {number}", os.urandom(SALT_SIZE))
            fields = {"number": number, "text": {"hash": digest, "readers": ["R1", "R2"]}}
        wrote.append(node.author(Kind.FREE, ("note", fields), private).id.hex())
        if station.peer.may_write():
            line: Payload = ("write", {"fact": ["point", {"number": number}], "because": None})
            wrote.append(node.author(Kind.RECORD, line).id.hex())
    return wrote


def obey(line: str, thread: LinkThread[Node], station: Station) -> bool:
    """Carry out one command; whether to go on."""
    word, _, rest = line.strip().partition(" ")
    if word == "write":
        thread.submit(lambda node: report(wrote=write(node, int(rest)))).result()
    elif word == "play":
        count, bursts = map(int, rest.split())
        turns = [thread.submit(lambda node: play(node, station, count)) for _ in range(bursts)]
        report(wrote=[each for turn in turns for each in turn.result()])
    elif word == "dial":
        thread.submit(lambda node: node.dial(Address.parse(rest))).result()
    elif word == "vector":
        report(vector=thread.submit(lambda _: digest(station)).result())
    elif word == "ids":
        report(ids=thread.submit(lambda _: [entry.id.hex() for entry in station.saved()]).result())
    elif word == "state":
        state = thread.state().result()
        contacts = {each.device.hex(): each.reach.value for each in state.contacts}
        report(finding=state.finding.value, storage=state.storage, contacts=contacts)
    return word != "quit"


def digest(station: Station) -> list[object]:
    """Number of logs and of entries saved here, a hash of which they are, and one of the record they make."""
    vector = sorted((log, mark) for log, mark in station.peer.vector().items())
    stand = station.peer.standing()
    aside = sorted(entry.id for entry in stand.set_aside)
    record = (stand.head, stand.epoch, stand.holder_log, [entry.id for entry in stand.chain], aside)
    return [len(vector), len(station.saved()), _short_hash(vector), _short_hash(record)]


def _short_hash(value: object) -> str:
    return hashlib.sha256(repr(value).encode()).hexdigest()[:16]


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--port", type=int, default=0)
    parser.add_argument("--event", default="")
    parser.add_argument("--manual", nargs="*", default=[])
    station = Station(parser.parse_args(arguments))
    thread = LinkThread(station.build, station.changed)
    thread.start()
    report(port=thread.submit(lambda node: node.port).result(), pid=os.getpid())
    for line in sys.stdin:
        if not obey(line, thread, station):
            break
    thread.stop()
    report(ended=True)


if __name__ == "__main__":
    main()
