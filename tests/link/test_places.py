"""Addresses that stations tell each other: strict, bounded, private ones only, of use without multicast."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AsyncExitStack
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol import places, wire
from protocol.address import TOLD_PER_DEVICE, Address, AddressBook
from protocol.places import MOST_DEVICES, MOST_EACH, BadPlaces, Places, Spot, is_places, worth_a_try
from tests.link.parts import StandIn, Watch, identity, in_loop, running

A, B, C = sorted((identity(n) for n in range(60, 63)), key=lambda each: each.device)
CREW = (A, B, C)
WORK, HOME = Address("10.1.2.3", 5000), Address("10.1.2.4", 5000)


def test_a_frame_of_places_is_told_from_all_other_frames() -> None:
    frame = places.encode(4001, {A.device: (WORK,)})
    assert is_places(frame)
    assert places.decode(frame) == Places(4001, [Spot(A.device, [WORK])])
    assert frame.hex().startswith("83a174a6706c61636573a4706f7274cd0fa1a573706f7473")
    assert not is_places(wire.encode(wire.Pong(1, 2)))
    with pytest.raises(wire.UnknownMessage):  # a station of an earlier version passes it over
        wire.decode(frame)


def test_what_is_told_is_cut_to_its_bounds() -> None:
    many = {bytes([n]) * 32: [Address(f"10.0.0.{k}", 9) for k in range(1, 20)] for n in range(40)}
    told = places.decode(places.encode(4001, many))
    assert len(told.spots) == MOST_DEVICES
    assert {len(spot.at) for spot in told.spots} == {MOST_EACH}


@pytest.mark.parametrize(
    "frame",
    [
        b"",
        places.encode(1, {})[:-1],
        wire.encode(wire.Pong(1, 2)),
        places.encode(1, {}) + bytes(places.LONGEST_PLACES),
        places.encode(1, {}).replace(b"\x01", b"\x00"),
    ],
)
def test_what_does_not_fit_is_refused(frame: bytes) -> None:
    with pytest.raises(BadPlaces):
        places.decode(frame)


@given(st.binary(max_size=300))
def test_any_bytes_are_places_or_refused(tail: bytes) -> None:
    try:
        told = places.decode(b"\x83\xa1t\xa6places" + tail)
    except BadPlaces:
        return
    assert 0 < told.port < 65536


@pytest.mark.parametrize(
    ("host", "link", "kept"),
    [
        ("192.168.1.20", "10.0.0.1", True),
        ("fd00::20", "10.0.0.1", True),
        ("127.0.0.1", "127.0.0.1", True),
        ("127.0.0.1", "10.0.0.1", False),
        ("8.8.8.8", "10.0.0.1", False),
        ("224.0.0.1", "10.0.0.1", False),
        ("0.0.0.0", "10.0.0.1", False),
        ("fe80::1", "10.0.0.1", False),
        ("example.org", "10.0.0.1", False),
        ("10.0.0.1.", "10.0.0.1", False),
    ],
)
def test_only_literal_addresses_of_private_networks_are_tried(host: str, link: str, kept: bool) -> None:
    assert bool(worth_a_try(Spot(A.device, [(host, 5000)]), link)) is kept


def test_what_a_device_tells_of_itself_stands_before_what_others_say() -> None:
    book = AddressBook()
    assert book.told(A.device, [HOME], by_itself=False)
    assert book.told(A.device, [WORK], by_itself=True)
    assert not book.told(A.device, [HOME], by_itself=False)
    assert book.of(A.device) == (WORK,)
    assert not book.told(A.device, [WORK], by_itself=True)
    many = [Address("10.9.9.9", port) for port in range(1, 30)]
    assert book.told(A.device, many, by_itself=True)
    assert len(book.of(A.device)) == TOLD_PER_DEVICE
    book.learned(A.device, HOME)
    assert book.lasting(A.device)[0] == HOME


@in_loop
async def test_two_who_know_only_a_third_meet_without_multicast(tmp_path: Path) -> None:
    """B and C were given A's address. A tells each where the other is; with A gone they stay linked."""
    watch = Watch()
    a, b, c = (StandIn(each, CREW) for each in CREW)
    async with AsyncExitStack() as stack:
        first = AsyncExitStack()
        node_a = await first.enter_async_context(running(tmp_path, a, watch))
        for other in (b, c):
            await stack.enter_async_context(running(tmp_path, other, watch, manual=[node_a.port]))
        await watch.until(lambda: C.device in b.links.values(), "B and C met")
        await first.aclose()
        await watch.until(lambda: set(b.links.values()) == {C.device}, "A is gone")
        assert set(c.links.values()) == {B.device}


@in_loop
async def test_a_crew_that_starts_again_finds_itself_where_it_was(tmp_path: Path) -> None:
    """No multicast and nothing typed: kept addresses and kept ports bring all three together again."""
    watch = Watch()
    kept: dict[bytes, dict[bytes, tuple[Address, ...]]] = {each.device: {} for each in CREW}
    ports: dict[bytes, int] = {}

    def keep(device: bytes) -> Callable[[dict[bytes, tuple[Address, ...]]], None]:
        return lambda now: kept[device].update(now)

    for manual in (True, False):
        crew = [StandIn(each, CREW) for each in CREW]
        async with AsyncExitStack() as stack:
            for one in crew:
                own = one.own.device
                node = await stack.enter_async_context(
                    running(
                        tmp_path,
                        one,
                        watch,
                        manual=[ports[A.device]] if manual and ports else [],
                        wish=ports.get(own, 0),
                        known=dict(kept[own]),
                        keep=keep(own),
                    )
                )
                assert manual or node.port == ports[own]
                ports[own] = node.port
            await watch.until(
                lambda: all(len(set(one.links.values())) == 2 for one in crew)  # noqa: B023
                and all(len(known) == 2 for known in kept.values()),
                "all linked",
            )


@in_loop
async def test_a_member_that_talks_nonsense_about_places_is_cut_off(tmp_path: Path) -> None:
    watch = Watch()
    a, b = StandIn(A, (A, B)), StandIn(B, (A, B))
    async with (
        running(tmp_path, a, watch) as node_a,
        running(tmp_path, b, watch, manual=[node_a.port]) as node_b,
    ):
        await watch.until(lambda: bool(a.heard and b.heard), "linked")
        b.say(b"\x83\xa1t\xa6places" + bytes(40))
        node_b.touch()
        await watch.until(lambda: a.ups >= 2 and bool(a.links), "cut off, and linked anew")


@in_loop
async def test_a_wished_port_that_is_taken_is_no_trouble(tmp_path: Path) -> None:
    watch = Watch()
    a, b = StandIn(A, (A, B)), StandIn(B, (A, B))
    async with running(tmp_path, a, watch) as node_a, running(tmp_path, b, watch, wish=node_a.port) as node_b:
        assert node_b.port not in (0, node_a.port)
