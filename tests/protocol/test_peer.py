from __future__ import annotations

from dataclasses import replace

import pytest

from protocol import wire
from protocol.entry import VERSION, Kind, Malformed, private_text, text_of
from protocol.output import Drop, DropReason, Forked, PrivateCame, Refused
from protocol.peer import HolderHeard, MovedOn, NoMajority, NotAdmitted, NotHolder, Peer
from protocol.wire import Chunk, Packed, decode
from tests.protocol.hall import WALL, Hall, Keys, invitation


def test_a_founded_match_reaches_everybody() -> None:
    hall = Hall(4)
    for station in hall.stations:
        assert station.peer.log is not None
        assert station.peer.roster.opened is not None
        assert set(station.peer.roster.members) == {other.keys.device for other in hall.stations}
        assert station.peer.vector() == hall[0].peer.vector()


def test_a_record_entry_is_saved_here_then_stands_everywhere() -> None:
    hall = Hall(3)
    entry = hall[0].write("one")
    assert hall[0].own[-1].id != entry.id
    hall.settle()
    assert hall[0].own[-1].id == entry.id
    for station in hall.stations:
        assert station.chain() == ["one"]
        stands = station.peer.stands(entry.id)
        assert stands is not None and stands.yes and stands.on == 3


def test_nothing_leaves_before_it_is_saved() -> None:
    hall = Hall(2)
    hall[0].disk_works = False
    entry = hall[0].note("not yet")
    hall.sent.clear()
    hall.settle()
    hall.wait(3.0)
    chunks = [decode(frame) for sender, _, frame in hall.sent if sender == 0]
    assert not any(isinstance(message, Chunk) for message in chunks)
    assert entry.id not in hall[1].peer.journal
    assert entry.id not in {arrived.id for arrived in hall[0].arrived}
    hall[0].disk_works = True
    hall.settle()
    assert entry.id in hall[1].peer.journal


def test_only_the_holder_writes() -> None:
    hall = Hall(3)
    assert hall[0].peer.may_write() and not hall[1].peer.may_write()
    with pytest.raises(NotHolder) as caught:
        hall[1].write("mine")
    assert caught.value.holder == hall[0].peer.log


def test_a_stale_head_is_refused_with_the_head_as_it_is() -> None:
    hall = Hall(2)
    first = hall[0].write("one")
    payload = ("write", {"fact": "two", "index": 0})
    with pytest.raises(MovedOn) as caught:
        hall[0].author(Kind.RECORD, payload)
    assert caught.value.head == first.id
    with pytest.raises(MovedOn):
        hall[0].peer.author(Kind.RECORD, ("write", {"fact": "two"}), hall.now, WALL, anchor=b"x" * 32)
    assert hall[0].peer.standing().index == 1


def test_a_station_that_is_not_admitted_yet_says_so() -> None:
    keys = [Keys("a"), Keys("b")]
    peer = Peer(keys[1], invitation(keys), run=b"r" * 16, stored=[], wall_ms=0)
    with pytest.raises(NotAdmitted):
        peer.author(Kind.FREE, ("note", {}), 0.0, 0)


def test_entries_go_on_over_a_third_station() -> None:
    hall = Hall(3)
    hall.part({0, 1}, {1, 2})
    entry = hall[0].write("over R1")
    hall.settle()
    assert entry.id in hall[2].peer.journal
    assert hall[2].chain() == ["over R1"]


def test_a_restarted_station_goes_on_in_a_new_log() -> None:
    hall = Hall(3)
    hall[0].write("one")
    hall.settle()
    old = hall[0].peer.log
    hall.restart(0)
    assert hall[0].peer.log != old
    assert hall[0].peer.may_write()
    hall[0].write("two")
    hall.settle()
    for station in hall.stations:
        assert station.chain() == ["one", "two"]
        assert station.peer.standing().holder_log == hall[0].peer.log
    assert not hall[0].peer.standing().firm
    hall.wait(3.0)
    assert hall[0].peer.standing().firm  # it asked for a certificate by itself


def test_a_new_run_replaces_what_the_old_one_had_told() -> None:
    hall = Hall(2)
    hall[0].write("one")
    hall.settle()
    hall[1].disk = dict(list(hall[1].disk.items())[:2])  # an older copy of the disk
    hall.restart(1)
    hall.settle()
    assert hall[1].chain() == ["one"]


def test_private_text_reaches_its_readers_and_nobody_else() -> None:
    hall = Hall(4)
    digest, private = private_text("invented", b"s" * 16)
    payload = ("note", {"text": {"hash": digest, "readers": ["R1", "R2"]}})
    entry = hall[0].author(Kind.FREE, payload, private)
    hall.settle()
    held = [station.peer.journal.get(entry.id) for station in hall.stations]
    texts = [text_of(each.private) if each and each.private else None for each in held]
    assert texts == ["invented", "invented", "invented", None]


def test_private_text_that_came_by_a_way_round_is_asked_for() -> None:
    hall = Hall(4)
    hall.part({0, 3}, {3, 1})
    digest, private = private_text("invented", b"s" * 16)
    entry = hall[0].author(Kind.FREE, ("note", {"text": {"hash": digest, "readers": ["R1"]}}), private)
    hall.settle()
    held = hall[1].peer.journal.get(entry.id)
    assert held is not None and held.private is None
    hall.heal()
    hall.wait(2.5)
    held = hall[1].peer.journal.get(entry.id)
    assert held is not None and held.private == private
    assert any(isinstance(event, PrivateCame) for event in hall[1].events)
    assert hall[1].disk[entry.id].private == private


def test_erased_text_stays_away_and_the_chain_holds() -> None:
    hall = Hall(2)
    digest, private = private_text("invented", b"s" * 16)
    payload = ("note", {"text": {"hash": digest, "readers": ["R1"]}})
    entry = hall[0].author(Kind.FREE, payload, private)
    hall.settle()
    hall[1].peer.erase_private(entry.id)
    hall.settle()
    hall.wait(3.0)
    assert hall[1].disk[entry.id].private == b""
    hall.restart(1)
    hall.wait(3.0)
    held = hall[1].peer.journal.get(entry.id)
    assert held is not None and held.private == b""


def test_wrong_private_text_is_refused_here() -> None:
    hall = Hall(2)
    payload = ("note", {"text": {"hash": b"x" * 32, "readers": ["R1"]}})
    with pytest.raises(Malformed):
        hall[0].author(Kind.FREE, payload, b"s" * 20)


def test_unknown_kinds_and_fields_are_kept_and_forwarded() -> None:
    hall = Hall(3)
    hall.part({0, 1}, {1, 2})
    entry = hall[0].author("later", ("something", {"new": [1, {"deep": b"x"}]}))
    hall.settle()
    held = hall[2].peer.journal.get(entry.id)
    assert held is not None and held.body == entry.body and held.kind == "later"


def test_a_newer_entry_is_refused_in_plain_words_and_the_rest_goes_on() -> None:
    hall = Hall(2)
    entry = hall[0].note("from the future")
    newer = bytes([entry.body[0], VERSION + 1]) + entry.body[2:]
    frame = wire.encode(Chunk(0, [Packed(newer, entry.signature)]))
    hall[1].peer.receive(100, frame, hall.now, WALL)
    hall.settle()
    refused = [event for event in hall[1].events if isinstance(event, Refused)]
    assert refused and "Update crewlink" in refused[0].sentence
    later = hall[0].note("after that")
    hall.settle()
    assert later.id in hall[0].peer.journal
    assert not any(isinstance(event, Drop) for event in hall[1].events)


@pytest.mark.parametrize(
    "frame",
    [b"", b"\x00", b"\xc1", b"\x81\xa1t\x01", b"\xdd\xff\xff\xff\xff", b"\x81\xa1t\xa5chunk", b"\x91" * 5000],
)
def test_a_bad_frame_ends_the_link_and_nothing_else(frame: bytes) -> None:
    hall = Hall(2)
    hall[1].peer.receive(100, frame, hall.now, WALL)
    hall.settle()
    assert [event.reason for event in hall[1].events if isinstance(event, Drop)] == [DropReason.BROKEN]


def test_a_message_of_a_later_version_is_passed_over() -> None:
    hall = Hall(2)
    hall[1].peer.receive(100, b"\x81\xa1t\xa5music", hall.now, WALL)
    hall.settle()
    assert not hall[1].events


@pytest.mark.parametrize("what", ["match", "versions", "device"])
def test_a_hello_that_does_not_fit_is_refused(what: str) -> None:
    hall = Hall(2)
    hello = wire.Hello([1], b"m" * 16, hall[0].keys.device, b"r" * 16)
    changed = {"match": b"n" * 16, "versions": [7], "device": b"d" * 32}[what]
    bad = wire.Hello(**{**{f: getattr(hello, f) for f in hello.__struct_fields__}, what: changed})
    hall[1].peer.receive(100, wire.encode(bad), hall.now, WALL)
    hall.settle()
    drop = next(event for event in hall[1].events if isinstance(event, Drop))
    assert drop.reason is DropReason.REFUSED and drop.detail.endswith(".")


def test_a_forged_signature_ends_the_link() -> None:
    hall = Hall(2)
    entry = hall[0].note("true")
    forged = Packed(entry.body, bytes(64))
    hall[1].peer.receive(100, wire.encode(Chunk(0, [forged])), hall.now, WALL)
    hall.settle()
    assert entry.id not in hall[1].peer.journal
    assert any(isinstance(event, Drop) for event in hall[1].events)


def second_run(hall: Hall, number: int, wall_ms: int = WALL) -> Peer:
    """The device of a station once more, from the disk as it is: a copy of it."""
    station, run = hall[number], b"t" * 16
    stored = list(station.disk.values())
    return Peer(station.keys, hall.invitation, run=run, stored=stored, wall_ms=wall_ms, now=hall.now)


def test_two_entries_at_one_place_end_the_log_everywhere_and_a_new_one_begins() -> None:
    hall = Hall(3)
    hall[1].note("a")
    hall.settle()
    old = hall[1].peer.log
    assert old is not None
    twin = second_run(hall, 1)
    twin._book.log = old  # a copy of the running process: it writes on in the same log
    rival = twin.author(Kind.FREE, ("note", {"said": "b from the twin"}), hall.now, WALL)
    real = hall[1].note("b")
    hall.settle()
    frame = wire.encode(Chunk(0, [Packed(rival.body, rival.signature)]))
    hall[2].peer.receive(201, frame, hall.now, WALL)
    hall.settle()
    hall.wait(2.5)
    for station in hall.stations:
        log = station.peer.journal.logs[old]
        assert log.fork is not None
        assert {each.id for each in log.fork} == {rival.id, real.id}
        assert len(log.entries) == rival.seq
        assert any(isinstance(event, Forked) for event in station.events)
    assert hall[1].peer.log != old
    hall[1].note("in the new log")
    hall.settle()
    assert hall[0].peer.vector() == hall[2].peer.vector()


def test_a_long_backlog_goes_in_bounded_pieces() -> None:
    hall = Hall(2)
    hall.part({0}, {1})
    for number in range(1000):
        hall[0].note(f"number {number}")
    hall.settle()
    hall.sent.clear()
    hall.heal()
    assert hall[0].peer.vector() == hall[1].peer.vector()
    sizes = [len(frame) for _, _, frame in hall.sent]
    chunks = [message for _, _, frame in hall.sent if isinstance(message := decode(frame), Chunk)]
    assert max(sizes) <= wire.MAX_FRAME
    assert all(len(chunk.entries) <= wire.MAX_CHUNK_ENTRIES for chunk in chunks)
    assert sum(len(chunk.entries) for chunk in chunks) == 1000 + 0  # each once


def test_a_dead_link_is_given_up_and_a_silent_station_is_suspect() -> None:
    hall = Hall(2)
    hall.cut = {(0, 1), (1, 0)}  # nothing comes through, and nobody is told
    hall.wait(3.25)
    state = hall[0].peer.peers(hall.now)[hall[1].keys.device]
    assert state.suspect and not state.dead and state.linked
    hall.wait(0.5)
    assert [event.reason for event in hall[0].events if isinstance(event, Drop)] == [DropReason.SILENT]
    hall.wait(7.0)
    assert hall[0].peer.peers(hall.now)[hall[1].keys.device].dead


def test_offset_and_delay_are_measured_and_lag_counts_entries() -> None:
    hall = Hall(2)
    hall.wait(2.0)
    state = hall[0].peer.peers(hall.now)[hall[1].keys.device]
    assert state.offset_ms == 0.0 and state.delay_ms == 0.0 and state.lag == 0
    hall[1].disk_works = False
    hall[0].note("one")
    hall[0].note("two")
    hall.settle()
    assert hall[0].peer.peers(hall.now)[hall[1].keys.device].lag == 2


def test_a_second_link_takes_over_and_the_first_may_end() -> None:
    hall = Hall(2)
    device = hall[0].keys.device
    hall[1].peer.link_up(7, device, hall.now, WALL)
    hello = wire.encode(wire.Hello([1], b"m" * 16, device, bytes([0, 1]) * 8))
    hall[1].peer.receive(7, hello, hall.now, WALL)
    hall[1].peer.drain()
    hall[1].peer.link_down(7, hall.now)
    entry = hall[1].note("over the old link again")
    hall.settle()
    assert entry.id in hall[0].peer.journal


def test_pressing_take_again_does_not_void_the_votes_that_are_on_their_way() -> None:
    hall = Hall(3)
    hall[0].write("one")
    hall.settle()
    hall.part({0}, {1, 2})
    hall.wait(3.5)
    for _ in range(5):
        hall[2].peer.take_pen(hall.now, WALL)
    hall.settle()
    taken = [entry for entry in hall[1].peer.journal.in_order() if entry.act == "take"]
    assert len(taken) == 1
    assert hall[2].peer.may_write() and hall[2].peer.standing().firm


def test_the_pen_of_a_silent_holder_is_taken_by_a_majority() -> None:
    hall = Hall(3)
    hall[0].write("one")
    hall.settle()
    with pytest.raises(HolderHeard):
        hall[2].peer.take_pen(hall.now, WALL)
    hall.part({0}, {1, 2})
    hall.wait(3.5)
    hall[2].peer.take_pen(hall.now, WALL)
    hall.settle()
    assert hall[2].peer.may_write() and hall[2].peer.standing().firm
    hall[2].write("two")
    lonely = hall[0].write("not seen")
    hall.settle()
    stands = hall[0].peer.stands(lonely.id)
    assert stands is not None and not stands.yes
    hall.heal()
    for station in hall.stations:
        assert station.chain() == ["one", "two"]
        assert station.aside() == ["not seen"]
    assert not hall[0].peer.may_write()


def test_alone_the_pen_cannot_be_taken_but_forced() -> None:
    hall = Hall(3)
    hall[0].write("one")
    hall.settle()
    hall.part({0}, {1}, {2})
    hall.wait(3.5)
    with pytest.raises(NoMajority) as caught:
        hall[2].peer.take_pen(hall.now, WALL)
    assert (caught.value.reached, caught.value.needed) == (1, 2)
    hall[2].peer.force_pen(hall.now, WALL)
    entry = hall[2].write("two")
    hall.settle()
    stands = hall[2].peer.stands(entry.id)
    assert stands is not None and not stands.firm
    hall.part({0}, {1, 2})
    hall.join(1, 2)
    hall.join(2, 1)
    hall.wait(2.0)
    stands = hall[2].peer.stands(entry.id)
    assert stands is not None and stands.yes  # confirmed by itself, as soon as a majority was there


def test_a_take_over_is_done_within_ten_seconds_of_the_loss() -> None:
    hall = Hall(4)
    hall.settle()
    lost = hall.now
    hall.part({0}, {1, 2, 3})
    while not hall[1].peer.holder_silent(hall.now):
        hall.wait(0.25)
    hall[1].peer.take_pen(hall.now, WALL)
    while not hall[1].peer.may_write():
        hall.wait(0.25)
    assert hall.now - lost < 10.0


def test_stations_that_are_heard_over_others_are_not_silent() -> None:
    hall = Hall(3)
    hall.part({0, 1}, {1, 2})
    hall.wait(6.0)
    assert not hall[2].peer.holder_silent(hall.now)
    state = hall[2].peer.peers(hall.now)[hall[0].keys.device]
    assert not state.linked and not state.suspect


def test_the_pen_is_handed_over() -> None:
    hall = Hall(3)
    hall[0].write("one")
    hall[0].peer.grant_pen(hall[2].keys.device, hall.now, WALL)
    hall.settle()
    assert not hall[0].peer.may_write() and hall[2].peer.may_write()
    entry = hall[2].write("two")
    hall.settle()
    stands = hall[1].peer.stands(entry.id)
    assert stands is not None and stands.yes


def test_a_set_aside_branch_can_be_chosen() -> None:
    hall = Hall(3)
    hall[0].write("one")
    hall.settle()
    hall.part({0}, {1, 2})
    lonely = hall[0].write("better")
    hall.wait(3.5)
    hall[2].peer.take_pen(hall.now, WALL)
    hall.settle()
    hall[2].write("worse")
    hall.settle()
    hall.heal()
    assert hall[1].chain() == ["one", "worse"]
    hall[1].peer.choose(lonely.id, hall[0].keys.device, hall.now, WALL)
    hall.settle()
    for station in hall.stations:
        assert station.chain() == ["one", "better"]
    assert hall[0].peer.may_write()


def test_the_record_ends_at_its_seal() -> None:
    hall = Hall(3)
    hall[0].write("one")
    hall.settle()
    signed = hall[1].author(Kind.FREE, ("sign_off", {"number": 1}))
    hall.settle()
    hall[0].peer.seal(signed.id, hall.now, WALL)
    hall.settle()
    for station in hall.stations:
        assert station.peer.standing().sealed
    with pytest.raises(NotHolder):
        hall[0].write("too late")


def test_a_revoked_station_is_dropped_and_its_pen_can_be_taken() -> None:
    hall = Hall(4)
    hall[0].write("one")
    hall.settle()
    hall[1].peer.revoke(hall[0].keys.device, hall.now, WALL)
    hall.settle()
    drops = [event for event in hall[2].events if isinstance(event, Drop)]
    assert drops and drops[0].reason is DropReason.REVOKED
    assert hall[0].keys.member("scorer").tls_cert not in hall[2].peer.members()
    hall[2].peer.take_pen(hall.now, WALL)  # revoked counts as silent
    hall.settle()
    assert hall[2].peer.may_write()
    assert hall[1].chain() == ["one"]


def test_another_post_begins_another_log() -> None:
    hall = Hall(3)
    old = hall[2].peer.log
    member = replace(hall[2].keys.member("R2"), post="assistant")
    hall[0].peer.admit(member, hall.now, WALL)
    hall.settle()
    log = hall[2].peer.log
    assert log is not None and log != old
    for station in hall.stations:
        assert station.peer.roster.posts[log] == "assistant"


def test_old_entries_of_the_holder_that_come_late_do_not_stop_a_take() -> None:
    hall = Hall(4)
    hall.part({0, 1}, {2, 3})
    hall[0].write("only R1 has it")
    hall.settle()
    hall.part({0}, {1}, {2, 3})
    hall.wait(4.0)
    hall.part({0}, {1, 2, 3})
    for one in (1, 2, 3):
        for other in (1, 2, 3):
            if one != other:
                hall.join(one, other)
    hall.settle()  # R1 brings the entry: a sign of the past, not of life
    hall[2].peer.take_pen(hall.now, WALL)
    hall.settle()
    hall.wait(0.5)
    assert hall[2].peer.may_write() and hall[2].chain() == ["only R1 has it"]


def test_a_log_that_forks_at_its_beginning_ends_everywhere_also_where_none_of_it_was_held() -> None:
    hall = Hall(3)
    begins = []
    for wall in (WALL, WALL + 1):  # a device that runs twice, with one number for both runs
        run = second_run(hall, 1, wall)
        assert run.log is not None
        begins.append(run.journal.logs[run.log].entries[0])
    assert begins[0].log == begins[1].log and begins[0].id != begins[1].id
    hall.part({0, 1}, {2})
    both = [Packed(entry.body, entry.signature) for entry in begins]
    hall[0].peer.receive(1, wire.encode(Chunk(0, both)), hall.now, WALL)
    hall.settle()
    hall.heal()
    hall.wait(2.5)
    for station in hall.stations:
        log = station.peer.journal.logs[begins[0].log]
        assert log.fork is not None and not log.entries
    assert hall[0].peer.vector() == hall[2].peer.vector()
