"""Finding each other by real multicast DNS on this machine, and what is said when there is no network."""

import socket
import subprocess
import sys
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from zeroconf import RecordUpdate, RecordUpdateListener, Zeroconf
from zeroconf.asyncio import AsyncServiceInfo, AsyncZeroconf

from protocol.address import Address
from protocol.beacon import SERVICE, Beacon, instance_name, instance_of
from protocol.discovery import ALONE_SECONDS, SEEK_SECONDS, Discovery
from protocol.interfaces import Interface
from protocol.near import near_name
from protocol.node_state import Finding
from tests.link.network import NEW_NETWORK, beside_network, ip, needs_namespaces
from tests.link.parts import MATCH, StandIn, Watch, identity, in_loop, running

EVENT = "an invented cup"
A, B, C = (identity(n) for n in range(3))


class Seen:
    """What one station's discovery tells."""

    def __init__(self, watch: Watch) -> None:
        self.addresses: dict[str, tuple[Address, ...]] = {}
        self.log: list[str] = []
        self._watch = watch

    def found(self, instance: str, addresses: tuple[Address, ...]) -> None:
        self.addresses[instance] = addresses
        self.log.append(instance)
        self._watch()


@asynccontextmanager
async def looking(
    number: int, watch: Watch, *, match: bytes = MATCH, event: str = EVENT
) -> AsyncIterator[tuple[Discovery, Seen]]:
    seen = Seen(watch)
    discovery = Discovery(Beacon.of(bytes([number]) * 32, match, event))
    await discovery.start(5000 + number, seen.found, watch)
    try:
        yield discovery, seen
    finally:
        await discovery.close()


def wired() -> frozenset[Interface]:
    """A device on a cable, wherever the tests run."""
    return frozenset([Interface(2, "v0", "10.9.9.1", 24)])


def name(number: int, match: bytes = MATCH) -> str:
    """What this device is called in a match."""
    return instance_name(bytes([number]) * 32, match)


def test_the_announcement_is_small_and_tells_no_secrets() -> None:
    beacon = Beacon.of(A.device, MATCH, "Cup of Someplace, court 3")
    txt = b"".join(key.encode() + b"=" + value.encode() for key, value in beacon.properties.items())
    assert len(txt) <= 200
    assert b"Cup" not in txt
    assert MATCH.hex().encode() not in txt
    assert set(beacon.properties) == {"v", "m", "e"}


@pytest.mark.parametrize("change", [{"v": "2"}, {"m": "0" * 16}, {"e": "0" * 16}])
def test_other_versions_matches_and_events_are_no_crew(change: dict[str, str]) -> None:
    beacon = Beacon.of(A.device, MATCH, EVENT)
    fits = {key.encode(): value.encode() for key, value in beacon.properties.items()}
    assert beacon.is_crew({**fits, b"more": b"x"})
    assert not beacon.is_crew({**fits, **{key.encode(): value.encode() for key, value in change.items()}})
    assert not beacon.is_crew({key: value for key, value in fits.items() if key.decode() not in change})


@pytest.mark.parametrize("text", ["x", f"x.{SERVICE}", f"{'g' * 16}.{SERVICE}", f"{'0' * 17}.{SERVICE}"])
def test_foreign_names_are_no_instances(text: str) -> None:
    assert instance_of(text) is None
    assert instance_of(f"{'0' * 16}.{SERVICE}") == "0" * 16


@in_loop
async def test_stations_find_each_other_and_hear_a_good_bye() -> None:
    watch = Watch()
    async with looking(1, watch) as (_, first):
        async with looking(2, watch) as (discovery, second):
            await watch.until(lambda: name(2) in first.addresses and name(1) in second.addresses, "found")
            assert {address.port for address in first.addresses[name(2)]} == {5002}
            assert discovery.finding in (Finding.WORKING, Finding.NO_NETWORK)
        await watch.until(lambda: first.addresses[name(2)] == (), "the good-bye")


class Ear(RecordUpdateListener):
    """Counts how often a name is said on the network."""

    def __init__(self, instance: str, watch: Watch) -> None:
        self.heard = 0
        self._name = f"{instance}.{SERVICE}"
        self._watch = watch

    def async_update_records(self, _zeroconf: Zeroconf, _now: float, records: list[RecordUpdate]) -> None:
        self.heard += any(record.new.name == self._name for record in records)
        self._watch()


@in_loop
async def test_a_station_announces_itself_again_while_a_known_one_is_missing() -> None:
    """Every five seconds then, so that a healed network is not deaf; seldom when all are there."""
    watch, shift = Watch(), [0.0]
    ear = Ear(name(1), watch)
    listening = AsyncZeroconf()
    listening.zeroconf.async_add_listener(ear, None)
    discovery = Discovery(Beacon.of(bytes([1]) * 32, MATCH, EVENT), clock=lambda: time.monotonic() + shift[0])
    await discovery.start(5001, lambda *_: None, watch)
    await watch.until(lambda: ear.heard >= 3, "the first announcements")
    discovery.seek(False)
    shift[0] += SEEK_SECONDS
    discovery._news.set()
    await watch.until(lambda: not discovery._news.is_set(), "it looked")
    heard = ear.heard
    discovery.seek(True)
    await watch.until(lambda: ear.heard > heard, "said again")
    await discovery.close()
    await listening.async_close()


def test_one_device_in_two_matches_has_two_names() -> None:
    assert len({name(1), name(2), name(1, b"x" * 16)}) == 3
    assert (name(1), near_name(bytes([1]) * 32)) == ("74fddcafc2febc9f", "c81f9e49eaaa503b")
    assert instance_of(f"{name(1)}.{SERVICE}") == name(1)


@in_loop
async def test_other_matches_and_events_are_not_reported() -> None:
    """Those of the other match and event see each other; the station between them reports neither."""
    watch = Watch()
    async with (
        looking(1, watch) as (_, mine),
        looking(3, watch, match=b"x" * 16) as (_, match_a),
        looking(4, watch, match=b"x" * 16) as (_, match_b),
        looking(5, watch, event="rehearsal") as (_, event_a),
        looking(6, watch, event="rehearsal") as (_, event_b),
        looking(2, watch) as (_, friend),
    ):
        await watch.until(
            lambda: set(match_a.log) == {name(4, b"x" * 16)}
            and set(match_b.log) == {name(3, b"x" * 16)}
            and set(event_a.log) == {name(6)}
            and set(event_b.log) == {name(5)}
            and set(mine.log) == {name(2)}
            and set(friend.log) == {name(1)},
            "each sees its own",
        )


@in_loop
async def test_malformed_announcements_are_ignored() -> None:
    watch = Watch()
    async with looking(1, watch) as (_, mine):
        shouting = AsyncZeroconf()
        good = Beacon.of(bytes([9]) * 32, MATCH, EVENT).properties
        for instance, properties in [("noise", good), (name(8), {}), (name(7), {"v": "\0", "m": "x" * 200})]:
            info = AsyncServiceInfo(
                SERVICE,
                f"{instance}.{SERVICE}",
                port=1,
                addresses=[socket.inet_aton("127.0.0.1")],
                properties=properties,
                server=f"{name(8)}.local.",
            )
            await (await shouting.async_register_service(info, cooperating_responders=True))
        async with looking(2, watch):
            await watch.until(lambda: name(2) in mine.addresses, "the real one")
        await shouting.async_close()
        assert set(mine.log) == {name(2)}


@in_loop
async def test_nodes_link_by_discovery_alone(tmp_path: Path) -> None:
    watch = Watch()
    a, b = StandIn(A, (A, B)), StandIn(B, (A, B))
    finders = [Discovery(Beacon.of(each.device, MATCH, f"{tmp_path}")) for each in (A, B)]
    async with (
        running(tmp_path, a, watch, finder=finders[0]) as node,
        running(tmp_path, b, watch, finder=finders[1]),
    ):
        await watch.until(lambda: bool(a.heard and b.heard), "linked")
        assert node.state().contacts[0].verified


@in_loop
async def test_an_announcement_that_lies_about_an_address_only_costs_a_call(tmp_path: Path) -> None:
    """Someone announces a member's name at a wrong place: nobody is let in, the true one is still found."""
    watch = Watch()
    a, b = StandIn(A, (A, B)), StandIn(B, (A, B))
    event = f"{tmp_path}"
    stranger = StandIn(C, (A, B, C))
    async with running(tmp_path, stranger, watch) as liar:
        lie = Beacon.of(B.device, MATCH, event)
        false_finder = Discovery(lie)
        await false_finder.start(liar.port, lambda *_: None, watch)
        async with running(tmp_path, a, watch, finder=Discovery(Beacon.of(A.device, MATCH, event))) as node:
            dialer = node._board._dialer
            await watch.until(lambda: dialer.answered(B.device) is True, "the false place was called")
            assert a.ups == 0
            await false_finder.close()
            async with running(tmp_path, b, watch, finder=Discovery(Beacon.of(B.device, MATCH, event))):
                await watch.until(lambda: bool(a.heard and b.heard), "the true one is linked")
        assert stranger.heard == []


CHILD = """
import asyncio, sys
from protocol.beacon import Beacon
from protocol.discovery import Discovery
from tests.link.parts import Watch
from tests.link.test_discovery import Seen, name

async def main():
    watch, stations = Watch(), {}

    async def begin(number):
        seen, discovery = Seen(watch), Discovery(Beacon.of(bytes([number]) * 32, bytes(16), "e"))
        stations[number] = (discovery, seen)
        await discovery.start(5000 + number, seen.found, watch)

    def hosts(number, other):
        return [address.host for address in stations[number][1].addresses.get(name(other, bytes(16)), ())]

    def settled():
        now = discovery._snapshot()
        return now and discovery._watch.settled == now

    loop = asyncio.get_running_loop()
    while line := await loop.run_in_executor(None, sys.stdin.readline):
        word, number, *rest = line.split()
        number = int(number)
        if word == "begin":
            await begin(number)
        discovery = stations[number][0]
        if word == "finding":
            await watch.until(lambda: discovery.finding.value == " ".join(rest), line)
        elif word == "found":
            await watch.until(lambda: rest[1] in hosts(number, int(rest[0])), line)
        elif word == "settled":
            await watch.until(settled, line)
        print("yes", flush=True)
    for discovery, _ in stations.values():
        await discovery.close()

asyncio.run(main())
"""


class Namespace:
    """A process in a network of its own, whose interfaces the test makes and breaks."""

    def __init__(self, beside: "Namespace | None" = None) -> None:
        enter = beside_network(beside.child.pid) if beside else NEW_NETWORK
        self.child: subprocess.Popen[str] = subprocess.Popen(
            [*enter, sys.executable, "-c", CHILD], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )

    def ask(self, line: str) -> None:
        assert self.child.stdin is not None and self.child.stdout is not None
        self.child.stdin.write(line + "\n")
        self.child.stdin.flush()
        assert self.child.stdout.readline() == "yes\n"

    def ip(self, *commands: str) -> None:
        ip(self.child.pid, *commands)

    def close(self) -> None:
        with self.child:
            assert self.child.stdin is not None
            self.child.stdin.close()
            assert self.child.wait(60) == 0


@pytest.mark.slow
@needs_namespaces
def test_networks_come_and_go_and_addresses_change() -> None:
    space = Namespace()
    for number in (1, 2):
        space.ask(f"begin {number}")
    space.ask("finding 1 no network")
    space.ip("link add v0 type veth peer name v1", "addr add 10.9.9.1/24 dev v0")
    space.ip("link set v0 up", "link set v1 up")
    space.ask("finding 1 working")
    space.ask("found 1 2 10.9.9.1")
    space.ip("addr del 10.9.9.1/24 dev v0", "addr add 10.9.9.2/24 dev v0")
    space.ask("found 1 2 10.9.9.2")
    space.ip("link del v0")
    space.ask("finding 1 no network")
    space.close()


@pytest.mark.slow
@needs_namespaces
def test_an_interface_made_anew_with_its_old_address_is_not_deaf() -> None:
    """Two devices on one cable. At one of them the interface is destroyed and made again, same address."""
    here = Namespace()
    here.ask("begin 1")  # it runs, so the second can be put beside it
    there = Namespace(here)
    for number in (2, 3):
        there.ask(f"begin {number}")
        here.ip("link add v0 type veth peer name v1", "addr add 10.9.9.1/24 dev v0", "link set v0 up")
        here.ip(f"link set v1 netns {there.child.pid}")
        there.ip("addr add 10.9.9.2/24 dev v1", "link set v1 up")
        here.ask("settled 1")
        there.ask(f"settled {number}")
        here.ask(f"found 1 {number} 10.9.9.2")
        there.ask(f"found {number} 1 10.9.9.1")
        here.ip("link del v0")
    here.close()
    there.close()


@in_loop
async def test_a_station_that_hears_nobody_for_long_says_so_until_it_does() -> None:
    """Its own announcements come back all the while."""
    watch, now = Watch(), 0.0
    discovery = Discovery(Beacon.of(bytes([1]) * 32, MATCH, "alone"), clock=lambda: now, snapshot=wired)
    seen = Seen(watch)
    await discovery.start(5001, seen.found, watch)
    try:
        await watch.until(lambda: discovery.finding is Finding.WORKING, "begun")
        await watch.until(lambda: discovery._alone_since is not None, "it listens")
        now += ALONE_SECONDS
        await watch.until(lambda: discovery.finding is Finding.ALONE, "it says that it is alone")
        async with looking(2, watch, event="alone"):
            await watch.until(lambda: discovery.finding is Finding.WORKING, "it is not")
    finally:
        await discovery.close()


@in_loop
async def test_nobody_is_alone_who_misses_nobody() -> None:
    watch, now = Watch(), 0.0
    discovery = Discovery(Beacon.of(bytes([1]) * 32, MATCH, "calm"), clock=lambda: now, snapshot=wired)
    await discovery.start(5001, Seen(watch).found, watch)
    try:
        await watch.until(lambda: discovery._alone_since is not None, "it listens")
        discovery.seek(False)
        now += 10 * ALONE_SECONDS
        await watch.until(lambda: discovery._alone_since is None, "it does not mind")
        assert discovery.finding is Finding.WORKING
    finally:
        await discovery.close()
