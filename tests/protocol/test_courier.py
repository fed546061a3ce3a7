"""Couriers in lossy air: what arrives, how soon, at what cost, and what nobody can make of it.

Nobody tells here what streams bring, unless a test does so: what is not urgent waits for that a little.
"""

from __future__ import annotations

import itertools
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from protocol.courier import ASKER_BURST, ASKER_RATE, Courier
from protocol.courier_lane import DEAF_COPIES, MOST_GREETINGS, MOST_OPEN, MOST_SENT
from protocol.courier_pace import EXTRA_BURST, EXTRA_RATE, PROBE_GAP, REPEAT_SECONDS, UNHEARD_SECONDS
from protocol.courier_words import MAX_CARRIED, Carry, encode
from tests.protocol.couriers import PORT, Hall, device, log_of, made


def percentile(values: list[float], part: float) -> float:
    return sorted(values)[min(len(values) - 1, int(len(values) * part))]


def stream(hall: Hall, count: int, gap: float) -> list[float]:
    """Latencies of entries that station 0 writes at this pace, to the last of the others."""
    wrote = []
    for _ in range(count):
        wrote.append((hall[0].write(urgent=True), hall.now))
        hall.run(gap)
    hall.run(REPEAT_SECONDS)
    return [hall.latency(entry, born) for entry, born in wrote]


def test_without_loss_one_copy_goes_to_each_and_nothing_stays_open() -> None:
    hall = Hall()
    latencies = stream(hall, 50, 0.1)
    assert max(latencies) <= 0.005
    assert [place.casts for place in hall.places] == [100, 50, 50]
    assert hall[0].courier.due(hall.now) is None and not hall[0].courier.parcels()


@pytest.mark.parametrize(("loss", "limit"), [(0.05, 0.015), (0.1, 0.030), (0.2, 0.065), (0.3, 0.100)])
def test_at_a_loss_nearly_all_arrive_within_the_limit_and_all_in_the_end(loss: float, limit: float) -> None:
    latencies = [one for seed in range(3) for one in stream(Hall(4, seed=seed, loss=loss), 300, 0.1)]
    assert percentile(latencies, 0.99) <= limit
    assert max(latencies) < 1.0


def test_the_budget_bounds_what_is_repeated() -> None:
    hall = Hall(4)
    hall.cut = {(0, other) for other in (1, 2, 3)}
    for _ in range(300):
        hall[0].write(900)
        hall.run(0.05)
    firsts = 300 * 3 * 1100
    assert hall[0].bytes_out <= firsts + EXTRA_BURST + EXTRA_RATE * 300 * 0.05


def test_past_twenty_entries_a_second_the_rest_is_left_to_the_stream() -> None:
    hall = Hall(2)
    stream(hall, 3, 0.1)
    hall[0].courier._lanes[device(1)].hedge.pause.beaten(hall.now)
    hall.stream, before = 0.01, hall[0].casts
    for _ in range(200):
        hall[0].courier._lanes[device(1)].hedge.pause.beaten(hall.now)
        hall[0].write()
        hall.run(0.01)
    hall[0].casts -= before
    assert 40 <= hall[0].casts <= 10 + 20 * 2 + 5


def test_a_full_way_puts_the_brake_on_and_urgent_entries_still_go_once() -> None:
    hall = Hall(2)
    hall.stream = 0.4
    stream(hall, 20, 0.05)
    hall.delay = lambda: 0.4
    stream(hall, 30, 0.3)
    before = hall[0].casts
    for _ in range(100):
        hall[0].write()
        hall.run(0.05)
    braked = hall[0].casts - before
    assert braked <= 2 * (5 + 2 * 5 + 2)
    for _ in range(100):
        hall[0].write(urgent=True)
        hall.run(0.05)
    assert hall[0].casts - before - braked >= 100
    hall.delay = lambda: 0.003
    hall.run(30)
    stream(hall, 40, 0.6)
    before = hall[0].casts
    stream(hall, 40, 0.05)
    assert hall[0].casts - before == 40


def test_a_long_entry_goes_by_stream_alone() -> None:
    hall = Hall(2)
    hall[0].write(MAX_CARRIED + 1, urgent=True)
    assert hall[0].casts == 0
    hall[0].write(MAX_CARRIED, urgent=True)
    assert hall[0].casts == 1


def test_a_third_station_hands_on_what_a_cut_pair_cannot_say_to_each_other() -> None:
    hall = Hall(3)
    stream(hall, 5, 0.1)
    hall.cut = {(0, 1), (1, 0)}
    latencies = []
    for _ in range(50):
        entry, born = hall[0].write(urgent=True), hall.now
        hall.run(0.1)
        latencies.append(hall.latency(entry, born))
    assert max(latencies) < 1.0 and percentile(latencies, 0.8) < 0.05
    hall.run(1.0)
    assert not hall[0].courier.parcels()  # the receipts came back the same way


def test_who_asks_too_much_is_not_served() -> None:
    hall = Hall(3)
    hall.cut = {(0, 1), (1, 0)}
    asker = hall[0].courier
    lane = asker._lanes[device(2)]
    before = hall[2].bytes_out
    for seq in range(500):
        entry = made(0, seq, 600)
        asker._seal(lane, Carry(entry.signature, entry.body, device(1)))
        hall.move(hall[0])
        hall.run(0.01)
    receipts = 500 * 80
    assert hall[2].bytes_out - before <= ASKER_BURST + ASKER_RATE * 5 + 2 * receipts


def test_a_healed_way_brings_all_that_is_open_at_once() -> None:
    hall = Hall(2, loss=0.1)
    stream(hall, 20, 0.1)
    hall.cut = {(0, 1), (1, 0)}
    entries = []
    for _ in range(40):
        entries.append(hall[0].write())
        hall.run(0.2)
    hall.cut = set()
    healed = hall.now
    newest = hall[0].write()
    hall.run(0.2)
    assert hall[1].came[newest.id] - healed < 0.2
    hall.run(1.0)
    assert sum(entry.id in hall[1].came for entry in entries) >= MOST_OPEN - 1


def test_a_silent_station_costs_little() -> None:
    hall = Hall(2)
    stream(hall, 5, 0.1)
    hall.cut = {(0, 1), (1, 0)}
    hall[0].write()
    hall.run(3.0)
    before = hall[0].casts
    hall.run(10.0)
    assert hall[0].casts - before <= 10 / PROBE_GAP + 1
    hall.run(UNHEARD_SECONDS)
    assert hall[0].courier.due(hall.now) is None


def test_where_nothing_ever_comes_back_each_entry_goes_once() -> None:
    hall = Hall(2)
    hall.cut = {(0, 1), (1, 0)}
    hall[0].write()
    hall.run(5.0)
    assert hall[0].casts >= DEAF_COPIES
    before = hall[0].casts
    for _ in range(20):
        hall[0].write()
        hall.run(1.0)
    assert hall[0].casts - before == 20
    hall.cut = set()
    hall[0].write()
    hall.run(1.0)
    assert not hall[0].courier.parcels() and hall[0].courier._lanes[device(1)].heard


def test_what_the_stream_has_brought_is_not_repeated() -> None:
    hall = Hall(2)
    stream(hall, 5, 0.1)
    hall.cut = {(1, 0)}
    entry = hall[0].write(urgent=True)
    hall[0].told.add((device(1), entry.log, entry.seq))
    hall.run(5.0)
    assert hall[0].casts == 6


def test_nothing_is_sent_to_a_device_that_was_taken_out_nor_taken_from_it() -> None:
    hall = Hall(3)
    hall[1].courier.forget(device(0))
    hall[0].courier.forget(device(1))
    entry = hall[0].write()
    hall.run(1.0)
    assert entry.id in hall[2].came and entry.id not in hall[1].came
    assert all({a, b} != {0, 1} for _, a, b, _ in hall.seen)


def test_after_a_sleep_nothing_goes_until_a_link_stands_again() -> None:
    hall = Hall(2)
    hall[0].courier.forget_all()
    hall[0].write()
    assert hall[0].casts == 0 and hall[0].courier.due(hall.now) is None
    hall.agree(0, 1)
    entry = hall[0].write()
    hall.run(1.0)
    assert entry.id in hall[1].came


def test_no_answer_goes_to_what_is_not_authentic() -> None:
    hall = Hall(3)
    stream(hall, 5, 0.1)
    rng = random.Random(5)
    casts = [place.casts for place in hall.places]
    opened = [place.courier.opened for place in hall.places]
    for _, _, receiver, datagram in hall.seen:
        spoilt = bytearray(datagram)
        spoilt[rng.randrange(len(spoilt))] ^= 1 << rng.randrange(8)
        hall[receiver].receive(datagram)  # again
        hall[receiver].receive(bytes(spoilt))
        hall[receiver].receive(rng.randbytes(rng.randrange(1300)))
        hall[3 - receiver if receiver else 1].receive(datagram)
    assert [place.casts for place in hall.places] == casts
    assert [place.courier.opened for place in hall.places] == opened


def test_memory_stays_bounded_whatever_comes_and_goes() -> None:
    hall = Hall(3, loss=0.9)
    for _ in range(1000):
        hall[0].write()
        hall.run(0.06)
    for lane in hall[0].courier._lanes.values():
        assert len(lane._open) <= MOST_OPEN and len(lane._sent) <= MOST_SENT
        assert len(lane._doubts) <= MOST_OPEN + 1
    assert len(hall[1].courier._asked) <= 64 and len(hall[1].courier._askers) <= 3


def test_real_loss_brings_a_twin_and_its_end_ends_it() -> None:
    hall = Hall(2)
    stream(hall, 10, 0.1)
    hall.cut = {(0, 1)}
    hall[0].write(urgent=True)
    hall.run(0.02)
    hall.cut = set()
    hall.run(0.2)
    before = hall[0].casts
    hall[0].write(urgent=True)
    hall.run(0.2)
    assert hall[0].casts - before == 2
    hall.run(30.0)
    before = hall[0].casts
    hall[0].write(urgent=True)
    hall.run(0.2)
    assert hall[0].casts - before == 1


def test_the_first_gap_is_about_a_round_trip() -> None:
    hall = Hall(2)
    hall.delay = lambda: 0.020
    stream(hall, 40, 0.2)
    hall.cut = {(0, 1)}
    start = hall.now
    hall[0].write(urgent=True)
    hall.run(2.0)
    times = [at - start for at, sender, _, _ in hall.seen if sender == 0 and at >= start]
    assert times[0] == 0.0 and times[1] == pytest.approx(0.040, abs=0.003)
    gaps = [later - earlier for earlier, later in itertools.pairwise(times)]
    assert gaps[2] == pytest.approx(0.090, abs=0.01)


@settings(max_examples=60, deadline=None)
@given(
    st.integers(2, 5),
    st.integers(0, 10_000),
    st.floats(0.0, 0.6),
    st.lists(
        st.tuples(
            st.sampled_from(["write", "urgent", "cut", "heal", "wait", "again", "agree", "forget"]),
            st.integers(0, 99),
        ),
        max_size=40,
    ),
)
def test_whatever_happens_entries_come_whole_once_and_in_the_end(
    stations: int, seed: int, loss: float, steps: list[tuple[str, int]]
) -> None:
    """Acts, cuts, replays, new keys, lost ones: after a calm spell with links every late entry is there."""
    hall = Hall(stations, seed=seed, loss=loss)
    for what, number in steps:
        one = number % stations
        other = (one + 1 + number // stations % (stations - 1)) % stations
        if what in ("write", "urgent"):
            hall[one].write(urgent=what == "urgent")
        elif what == "cut":
            hall.cut.add((one, other))
        elif what == "heal":
            hall.cut.clear()
        elif what == "wait":
            hall.run(number / 50)
        elif what == "again" and hall.seen:
            _, _, receiver, datagram = hall.seen[number % len(hall.seen)]
            hall[receiver].receive(datagram)
        elif what == "agree":
            hall.agree(one, other)
        elif what == "forget":
            hall[one].courier.forget(device(other))
    hall.cut.clear()
    hall.loss = 0.0
    for a, b in itertools.combinations(range(stations), 2):
        hall.agree(a, b)
    hall.run(2.0)
    last = [(place.write(), hall.now) for place in hall.places]
    hall.run(130.0)
    for entry, born in last:
        assert hall.latency(entry, born) < 2.0
    for place in hall.places:
        assert place.courier.due(hall.now) is None and not place.courier.parcels()
        assert len(place.ids) == sum(len(bodies) for bodies in place.logs.values())


def test_a_device_with_port_0_takes_no_datagrams() -> None:
    hall = Hall(2)
    said = hall[1].courier.begin(device(0))
    assert said is not None
    hall[0].courier.hear(device(1), 0, said)
    hall[0].write()
    assert hall[0].casts == 0


def test_words_of_a_later_version_are_passed_over() -> None:
    hall = Hall(2)
    sender: Courier = hall[0].courier
    for words in (b"\x09later", encode(Carry(b"s" * 64, b"b"))[:64]):
        _, datagram = sender._seals.seal(device(1), words)
        assert hall[1].courier.receive(datagram, hall.now) is None
    assert hall[1].courier.drain(hall.now) == [] and hall[1].courier.opened == 2
    assert PORT and log_of(0) != log_of(1)


def test_stations_greet_each_other_so_that_a_cut_soon_after_is_no_riddle() -> None:
    """One that was never heard would count as behind a wall that lets no datagram through."""
    hall = Hall(2)
    for place in hall.places:
        for lane in place.courier._lanes.values():
            lane.greetings = 0
        hall.move(place)
    hall.run(1.0)
    assert [place.casts for place in hall.places] == [1, 1]
    hall.cut = {(0, 1), (1, 0)}
    entry = hall[0].write(urgent=True)
    hall.run(3.0)
    hall.cut, healed = set(), hall.now
    newest = hall[0].write(urgent=True)
    hall.run(0.2)
    assert max(hall[1].came[entry.id], hall[1].came[newest.id]) - healed < 0.1


def test_greetings_end_where_nothing_comes_back() -> None:
    hall = Hall(2)
    hall.cut = {(0, 1), (1, 0)}
    for lane in hall[0].courier._lanes.values():
        lane.greetings = 0
    for _ in range(100):
        hall.move(hall[0])
        hall.run(0.1)
    assert hall[0].casts == MOST_GREETINGS


def test_what_was_open_comes_at_once_after_a_cut_however_long_thirds_were_asked() -> None:
    """Asking others in vain must not eat up what the straight way needs when it is back."""
    hall = Hall(4)
    stream(hall, 5, 0.1)
    hall.cut = {(a, b) for a in range(4) for b in range(4) if (a < 2) != (b < 2)}
    entries = []
    for _ in range(8):
        entries.append(hall[0].write(urgent=True))
        hall.run(0.25)
    hall.cut, healed = set(), hall.now
    entries.append(hall[0].write(urgent=True))
    hall.run(0.5)
    assert max(hall[number].came[entry.id] for entry in entries for number in (2, 3)) - healed < 0.1
