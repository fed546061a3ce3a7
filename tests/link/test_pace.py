"""Addresses, pace of dialling, slow-down of bad callers, choice between two links: all without sockets."""

import itertools
import random
from collections.abc import Iterable
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.address import KEPT_PER_DEVICE, Address, AddressBook, AddressError, plain_host
from protocol.dialer import MOST_STRANGERS, Dialer
from protocol.dialing import KEPT_CALLERS, LONGEST_PAUSE, CallerGuard, DialPlan
from protocol.interfaces import Change, Interface, InterfaceWatch, addresses
from protocol.link import Link
from protocol.link_table import FRESH_SECONDS, MOST_LINKS, LinkTable
from protocol.ports import PortOwner

A, B, C = (bytes([n]) * 32 for n in (1, 2, 3))
HOME, WORK = Address("10.0.0.1", 5000), Address("10.0.0.2", 5000)


@pytest.mark.parametrize(
    ("text", "address"),
    [
        ("10.0.0.1:5000", HOME),
        (" scorer.local:80 ", Address("scorer.local", 80)),
        ("[fe80::1]:65535", Address("fe80::1", 65535)),
    ],
)
def test_typed_address(text: str, address: Address) -> None:
    assert Address.parse(text) == address
    assert Address.parse(str(address)) == address


@pytest.mark.parametrize(
    "text",
    ["", ":", "10.0.0.1", "a:", ":80", "a b:80", "a:0", "a:65536", "a:x", "a:-1", "fe80::1:80", "a:²"],
)
def test_bad_address_is_named(text: str) -> None:
    with pytest.raises(AddressError, match="is not an address"):
        Address.parse(text)


def test_ipv4_inside_ipv6_is_shown_plainly() -> None:
    assert plain_host("::ffff:10.0.0.1") == "10.0.0.1"
    assert plain_host("fe80::1") == "fe80::1"
    assert plain_host("name") == "name"


def test_found_addresses_come_and_go_learned_ones_stay() -> None:
    book = AddressBook()
    assert book.found(A, [HOME, WORK])
    assert not book.found(A, [WORK, HOME])
    book.learned(A, WORK)
    assert set(book.of(A)) == {HOME, WORK}
    assert book.found(A, [])
    assert book.of(A) == (WORK,)
    assert not book.is_heard(A)


def test_an_address_belongs_to_whom_we_met_there_last() -> None:
    book = AddressBook({HOME, WORK})
    assert book.unclaimed() == (HOME, WORK)
    book.learned(A, HOME)
    assert book.unclaimed() == (WORK,)
    book.learned(B, HOME)
    assert book.of(A) == ()
    assert book.of(B) == (HOME,)
    for port in range(1, 50):
        book.learned(B, Address("x", port))
    assert len(book.of(B)) == KEPT_PER_DEVICE


def test_pauses_grow_to_one_second_and_no_further() -> None:
    plan = DialPlan(random.Random(1).random)
    plan.want([A])
    assert plan.due(0.0) == [A]
    assert plan.due(0.0) == []
    now, pauses = 0.0, []
    for _ in range(30):
        plan.ended(A, now)
        due = plan.next_due()
        assert due is not None
        pauses.append(due - now)
        now = due
        assert plan.due(now) == [A]
    assert 0.25 <= pauses[0] <= 0.5
    assert all(LONGEST_PAUSE / 2 <= pause <= LONGEST_PAUSE for pause in pauses[2:])
    assert len({round(pause, 3) for pause in pauses}) > 20


def test_a_link_that_breaks_at_once_does_not_make_dialling_frantic() -> None:
    plan = DialPlan(lambda: 0.0)
    plan.want([A])
    dials = 0
    now = 0.0
    while now < 60.0:
        dials += len(plan.due(now))
        plan.ended(A, now)
        plan.want([])
        plan.want([A])
        now = plan.next_due() or now
    assert dials <= 60.0 / LONGEST_PAUSE + 2


def test_news_and_success_end_the_waiting() -> None:
    plan = DialPlan(lambda: 0.0)
    plan.want([A, HOME])
    assert set(plan.due(0.0)) == {A, HOME}
    for target in (A, HOME):
        plan.ended(target, 0.0)
    assert plan.due(0.1) == []
    plan.hurry(HOME)
    assert plan.due(0.1) == [HOME]
    plan.settled(A)
    assert plan.due(0.1) == [A]
    plan.want([])
    assert plan.next_due() is None


def test_announcements_of_strangers_are_kept_within_bounds_and_hide_no_member() -> None:
    """Anyone in the hall can announce anything, as often as they like."""
    dialer = Dialer(
        cast(PortOwner, None),
        tuple,
        lambda _: None,
        manual=(),
        name_of=bytes.hex,
        random=lambda: 0.0,
        clock=lambda: 0.0,
    )
    for number in range(20 * MOST_STRANGERS):
        dialer.announced(f"{number:016x}", (HOME,))
    assert len(dialer._announced) == MOST_STRANGERS
    dialer.know([A])
    dialer.announced(A.hex(), (WORK,))
    assert dialer.is_heard(A) and dialer.address(A) == WORK
    assert not dialer.is_heard(B)


def test_bad_callers_wait_and_good_ones_do_not() -> None:
    guard = CallerGuard()
    admitted = 0
    now = 0.0
    while now < 30.0:
        if guard.admits("bad", now):
            admitted += 1
            guard.failed("bad", now)
        now += 0.01
    assert 15 <= admitted <= 25
    assert guard.admits("good", now)
    guard.welcomed("bad")
    assert guard.admits("bad", now)
    for n in range(2000):
        guard.failed(str(n), now)
    assert len(guard._callers) == KEPT_CALLERS


class Deaf:
    def link_made(self, link: Link) -> None: ...
    def link_frame(self, link: Link, frame: bytes) -> None: ...
    def link_read(self, link: Link) -> None: ...
    def link_lost(self, link: Link) -> None: ...


def link(device: bytes, *, dialled: bool, heard: float) -> Link:
    made = Link(Deaf(), "host", dialled=dialled, clock=lambda: heard)
    made.device = device
    return made


def survivors(own: bytes, other: bytes, calls: Iterable[tuple[bool, float]]) -> list[tuple[bool, float]]:
    """Dialled and heard times of the links that one end keeps, when they come up in this order."""
    table = LinkTable(own)
    for dialled, heard in calls:
        for loser in table.add(link(other, dialled=dialled, heard=heard)):
            table.remove(loser)
    return [(each.dialled, each.last_heard) for each in table.of(other)]


@given(st.lists(st.tuples(st.booleans(), st.floats(0, 1)), min_size=1, max_size=8), st.randoms())
def test_both_ends_keep_the_same_direction_whatever_the_order(
    calls: list[tuple[bool, float]], shuffle: random.Random
) -> None:
    there = [(not dialled, heard) for dialled, heard in calls]
    shuffle.shuffle(there)
    here_kept, there_kept = survivors(A, B, calls), survivors(B, A, there)
    assert here_kept
    assert len({dialled for dialled, _ in here_kept}) == 1
    assert {dialled for dialled, _ in here_kept} == {not dialled for dialled, _ in there_kept}
    assert len(here_kept) <= MOST_LINKS


def test_the_caller_keeps_its_first_link_and_the_called_one_waits() -> None:
    assert survivors(A, B, [(True, 0.1), (True, 0.2)]) == [(True, 0.1)]
    assert survivors(B, A, [(False, 0.1), (False, 0.2)]) == [(False, 0.1), (False, 0.2)]


def test_a_silent_link_is_no_rival() -> None:
    late = 0.1 + FRESH_SECONDS + 1
    assert survivors(A, B, [(True, 0.1), (False, late)]) == [(False, late)]
    assert survivors(A, B, [(True, 0.1), (True, late)]) == [(True, late)]


def test_links_of_others_are_left_alone() -> None:
    table = LinkTable(B)
    assert table.add(link(A, dialled=True, heard=0)) == []
    assert table.add(link(C, dialled=True, heard=0)) == []
    assert table.devices() == {A, C}


LAN = frozenset({Interface(2, "wlan0", "10.0.0.5", 24), Interface(1, "lo", "127.0.0.1", 8)})
MOVED = frozenset({Interface(2, "wlan0", "10.0.9.9", 24), Interface(1, "lo", "127.0.0.1", 8)})
ANEW = frozenset({Interface(7, "wlan0", "10.0.0.5", 24), Interface(1, "lo", "127.0.0.1", 8)})


def test_a_change_counts_when_seen_twice() -> None:
    watch = InterfaceWatch(LAN)
    assert watch.feed(LAN, 0) is None
    assert watch.feed(MOVED, 2) is None
    assert watch.feed(MOVED, 4) is Change.ADDRESSES
    assert watch.feed(MOVED, 6) is None


def test_an_interface_made_anew_is_a_change_although_its_address_is_the_same() -> None:
    watch = InterfaceWatch(LAN)
    assert watch.feed(ANEW, 2) is None
    assert watch.feed(ANEW, 4) is Change.NUMBERS


def test_a_flapping_interface_is_acted_on_at_last_but_not_often() -> None:
    watch = InterfaceWatch(LAN)
    acted = [n for n in range(60) if watch.feed((MOVED, ANEW)[n % 2], float(n)) is not None]
    assert acted
    assert all(later - earlier >= 5 for earlier, later in itertools.pairwise(acted))


def test_a_short_gap_is_no_change() -> None:
    watch = InterfaceWatch(LAN)
    assert watch.feed(frozenset(), 2) is None
    assert watch.feed(LAN, 4) is None
    assert watch.feed(frozenset(), 6) is None
    assert watch.feed(LAN, 8) is None


def test_loopback_is_announced_only_when_there_is_nothing_else() -> None:
    assert addresses(LAN) == ("10.0.0.5",)
    assert addresses(LAN - {Interface(2, "wlan0", "10.0.0.5", 24)}) == ("127.0.0.1",)
    assert addresses(frozenset()) == ()
