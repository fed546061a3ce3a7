from __future__ import annotations

import random
from itertools import permutations

import pytest

from protocol import acts
from protocol.entry import NONE, Entry, Kind, header_bytes, log_id, write
from protocol.journal import Journal, Place
from tests.protocol.hall import WALL, Hall, Keys

MATCH = b"m" * 16


def log_of(keys: Keys, admission: bytes | None = None, *, number: int = 1, **changes: object) -> list[Entry]:
    """A log with its header and three notes."""
    header = {
        "match": MATCH,
        "key": keys.public_key,
        "run": bytes([number]) * 16,
        "admission": admission,
        "closes": {},
    }
    payload = (acts.LOG, {**header, **changes})
    log = log_id(header_bytes(payload))  # type: ignore[arg-type]
    entries = [_write(keys, log, 0, NONE, Kind.ROSTER, payload)]
    for seq in range(1, 4):
        entries.append(_write(keys, log, seq, entries[-1].id, Kind.FREE, ("note", {"n": seq})))
    return entries


def _write(keys: Keys, log: bytes, seq: int, prev: bytes, kind: str, payload: object) -> Entry:
    return write(
        keys,
        log=log,
        seq=seq,
        prev=prev,
        anchor=NONE,
        time=0,
        stamp=0,
        kind=kind,
        payload=payload,  # type: ignore[arg-type]
    )


def after(keys: Keys, entry: Entry, word: str) -> Entry:
    """Another entry that continues this one."""
    return _write(keys, entry.log, entry.seq + 1, entry.id, Kind.FREE, ("note", {"word": word}))


OPENER = Keys("opener")


def journal() -> Journal:
    return Journal(MATCH, OPENER.device)


def state(held: Journal) -> object:
    """What two journals with equal sets must agree in."""
    for log in held.logs.values():
        log.saved = len(log.entries)
    return {log.id: log.mark for log in held.logs.values() if log.entries or log.fork}


def test_entries_are_taken_in_the_order_of_their_log() -> None:
    held = journal()
    log = log_of(OPENER)
    assert held.add(log[1]) is Place.GAP
    assert [held.add(entry) for entry in log] == [Place.NEXT] * 4
    assert [held.add(entry) for entry in log] == [Place.KNOWN] * 4
    assert list(held.in_order()) == log


def test_a_log_without_admission_is_only_the_openers() -> None:
    assert journal().add(log_of(Keys("other"))[0]) is Place.STRANGE


def test_a_log_is_taken_once_its_admission_is_held_and_names_its_key() -> None:
    held = journal()
    log = log_of(OPENER)
    other = Keys("other")
    fields = {
        "device": other.device,
        "sign_key": other.public_key,
        "tls_cert": b"",
        "binding": b"",
        "post": "R1",
    }
    admit = _write(OPENER, log[0].log, 4, log[3].id, Kind.ROSTER, (acts.ADMIT, fields))
    theirs = log_of(other, admit.id)
    assert held.add(theirs[0]) is Place.STRANGE
    for entry in [*log, admit, *theirs]:
        assert held.add(entry) is Place.NEXT
    assert held.add(log_of(Keys("third"), admit.id)[0]) is Place.STRANGE
    assert held.add(log_of(other, log[1].id, number=2)[0]) is Place.STRANGE


@pytest.mark.parametrize(
    "change", [{"match": b"n" * 16}, {"run": b"short"}, {"closes": {b"x": 1}}, {"key": b"k"}]
)
def test_a_header_that_is_none_is_wrong(change: dict[str, object]) -> None:
    assert journal().add(log_of(OPENER, **change)[0]) is Place.WRONG


def test_a_log_id_is_the_hash_of_its_header() -> None:
    real, false = log_of(OPENER)[0], log_of(OPENER, number=2)[0]
    forged = _write(OPENER, real.log, 0, NONE, Kind.ROSTER, false.payload)
    assert journal().add(forged) is Place.WRONG


def test_two_entries_at_one_place_end_the_log_there() -> None:
    held = journal()
    log = log_of(OPENER)
    for entry in log:
        held.add(entry)
    rival = after(OPENER, log[0], "rival")
    assert held.add(rival) is Place.RIVAL
    kept = held.logs[log[0].log]
    assert [entry.id for entry in kept.entries] == [log[0].id]
    assert kept.fork is not None and {entry.id for entry in kept.fork} == {log[1].id, rival.id}
    assert log[2].id not in held
    assert held.add(log[2]) is Place.ENDED
    assert held.add(log[1]) is Place.KNOWN


def test_a_three_way_fork_ends_the_same_in_every_order() -> None:
    log = log_of(OPENER)[:2]
    rivals = [after(OPENER, log[1], word) for word in ("a", "b", "c")]
    found = set()
    for order in permutations(rivals):
        held = journal()
        for entry in [*log, *order, *order]:
            held.add(entry)
        found.add(str(state(held)))
    assert len(found) == 1


def test_forks_at_two_places_end_at_the_lower_in_every_order() -> None:
    log = log_of(OPENER)
    low, high = after(OPENER, log[0], "low"), after(OPENER, log[2], "high")
    everything = [*log, low, high]
    found = set()
    for seed in range(60):
        order = everything * 4
        random.Random(seed).shuffle(order)
        held = journal()
        for _ in range(6):
            for entry in order:
                held.add(entry)
        found.add(str(state(held)))
    assert len(found) == 1
    assert "Mark(length=1" in found.pop()


def test_an_entry_that_does_not_continue_what_is_held_is_astray() -> None:
    held = journal()
    log = log_of(OPENER)
    for entry in log[:2]:
        held.add(entry)
    other = after(OPENER, after(OPENER, log[0], "unseen"), "on it")
    assert held.add(other) is Place.ASTRAY
    assert len(held) == 2


def test_only_what_is_saved_is_told_and_handed_on() -> None:
    held = journal()
    log = log_of(OPENER)
    for entry in log:
        held.add(entry)
    assert held.vector() == {} and held.missing({}, 10, 10_000) == []
    held.saved(log[1])
    assert held.vector()[log[0].log].length == 2
    assert held.missing({}, 10, 10_000) == log[:2]
    assert held.missing({log[0].log: 1}, 10, 10_000) == log[1:2]
    held.saved(log[0])
    assert held.vector()[log[0].log].length == 2


def test_what_is_handed_on_is_bounded_and_in_the_order_it_came() -> None:
    hall = Hall(3)
    for number in range(20):
        hall[number % 3].note(str(number))
        hall.settle()
    held = hall[1].peer.journal
    everything = held.missing({}, 1000, 10**9)
    assert [entry.id for entry in everything] == [entry.id for entry in held.in_order()]
    assert held.missing({}, 7, 10**9) == everything[:7]
    few = held.missing({}, 1000, 1500)
    assert sum(len(entry.body) for entry in few[:-1]) < 1500 and few == everything[: len(few)]


def test_a_log_has_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("protocol.journal.MAX_LOG_ENTRIES", 3)
    held = journal()
    assert [held.add(entry) for entry in log_of(OPENER)] == [Place.NEXT] * 3 + [Place.FULL]
    monkeypatch.setattr("protocol.journal.MAX_LOG_BYTES", 10)
    other = journal()
    assert other.add(log_of(OPENER)[0]) is Place.NEXT
    assert other.add(log_of(OPENER)[1]) is Place.FULL


def test_a_damaged_disk_gives_back_what_is_whole() -> None:
    hall = Hall(3)
    for number in range(10):
        hall[0].write(number)
    hall.settle()
    rows = list(hall[0].disk.values())
    cut = rows[-3]
    hall[0].disk[cut.id] = cut._replace(body=cut.body[:20])
    bent = rows[2]
    hall[0].disk[bent.id] = bent._replace(signature=bytes(64))
    hall.restart(0)
    hall.settle()
    assert hall[0].chain() == list(range(10))
    assert hall[0].peer.vector() == hall[1].peer.vector()
    assert WALL


def test_a_device_that_forks_a_log_is_told() -> None:
    held = journal()
    entries = log_of(OPENER)
    for entry in entries:
        held.add(entry)
    held.add(after(OPENER, entries[-1], "one"))
    assert held.doubled() == frozenset()
    held.add(after(OPENER, entries[-1], "two"))
    assert held.doubled() == {OPENER.device}


def test_a_device_whose_later_run_knew_less_is_told() -> None:
    """An honest run begins with all that the one before it has told anybody."""
    held, entries = journal(), log_of(OPENER)
    header = {"admission": None, "closes": {entries[0].log: 3}}
    for entry in (*entries[:3], *log_of(OPENER, number=2, **header)):
        assert held.add(entry) is Place.NEXT
    assert held.doubled() == frozenset()
    held.add(entries[3])
    assert held.doubled() == {OPENER.device}
