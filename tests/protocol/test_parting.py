"""A device that is taken out is told before its links end; then nobody links with it any more."""

from __future__ import annotations

from protocol import wire
from protocol.entry import Kind, private_text
from protocol.links import MAX_PARTINGS
from protocol.output import Drop, DropReason
from protocol.wire import Chunk, decode
from tests.protocol.hall import WALL, Hall, Station

SCORER, R1, R2, ASSISTANT = range(4)


def take_out(hall: Hall, by: int, whom: int) -> None:
    hall[by].peer.revoke(hall[whom].keys.device, hall.now, WALL)


def dropped(station: Station) -> list[DropReason]:
    return [event.reason for event in station.events if isinstance(event, Drop)]


def knows(station: Station) -> bool:
    return station.keys.device in station.peer.roster.revoked


def test_a_linked_device_learns_that_it_was_taken_out_before_its_links_end() -> None:
    hall = Hall(3)
    take_out(hall, R1, R2)
    assert dropped(hall[R1]) == []
    hall.settle()
    assert knows(hall[R2])
    out = hall[R2].peer.roster.revoked[hall[R2].keys.device]
    assert out.by == hall[R1].peer.log
    assert out.member is not None and out.member.post == "R2"
    assert dropped(hall[R1]) == dropped(hall[SCORER]) == [DropReason.REVOKED]
    assert not hall[R1].peer.peers(hall.now)[hall[R2].keys.device].linked


def test_a_device_that_says_nothing_is_let_go_all_the_same() -> None:
    hall = Hall(3)
    hall[R2].disk_works = False
    take_out(hall, R1, R2)
    hall.settle()
    assert dropped(hall[R1]) == []
    hall.wait(3.25)
    assert dropped(hall[R1]) == [DropReason.REVOKED]


def test_a_lost_device_that_comes_back_is_told_once_and_then_refused() -> None:
    hall = Hall(3)
    hall.part({SCORER, R1}, {R2})
    take_out(hall, R1, R2)
    hall[SCORER].write("after it")
    hall.settle()
    assert hall[R2].keys.member("R2").tls_cert in hall[R1].peer.members()
    hall.heal()
    assert knows(hall[R2])
    assert dropped(hall[R1]) == [DropReason.REVOKED]
    assert hall[R2].keys.member("R2").tls_cert not in hall[R1].peer.members()
    hall.join(R1, R2)
    hall.settle()
    assert dropped(hall[R1]) == [DropReason.REVOKED] * 2


def test_it_gets_nothing_that_came_after_it_was_taken_out_and_no_private_text() -> None:
    hall = Hall(2)
    hall.part({SCORER}, {R1})
    hall[SCORER].write("before")
    digest, private = private_text("invented", b"s" * 16)
    text = {"text": {"hash": digest, "readers": ["R1"]}}
    noted = hall[SCORER].author(Kind.FREE, ("note", text), private)
    take_out(hall, SCORER, R1)
    after = hall[SCORER].write("after")
    hall.settle()
    hall.heal()
    assert knows(hall[R1])
    assert hall[R1].chain() == ["before"]
    held = hall[R1].peer.journal.get(noted.id)
    assert held is not None and held.private is None
    assert after.id not in hall[R1].peer.journal


def test_one_that_never_says_that_it_knows_is_told_a_few_times_at_most() -> None:
    hall = Hall(2)
    hall[R1].disk_works = False
    take_out(hall, SCORER, R1)
    hall.settle()
    for _ in range(MAX_PARTINGS + 2):
        hall.wait(3.25)
        hall.join(SCORER, R1)
        hall.settle()
    hall.sent.clear()
    hall.join(SCORER, R1)
    hall.settle()
    chunks = [one for sender, _, one in hall.sent if sender == SCORER and isinstance(decode(one), Chunk)]
    assert chunks == []
    assert hall[SCORER].peer.members() == (hall[SCORER].keys.member("scorer").tls_cert,)


def test_a_stranger_is_told_nothing() -> None:
    hall = Hall(2)
    hall.sent.clear()
    hall[SCORER].peer.link_up(7, b"x" * 32, hall.now, WALL)
    outputs = hall[SCORER].peer.drain()
    assert [type(one) for one in outputs] == [Drop]


def test_two_sides_that_took_each_other_out_agree_that_the_higher_post_stays() -> None:
    hall = Hall(4)
    hall.part({SCORER, R2}, {R1, ASSISTANT})
    take_out(hall, R2, R1)
    take_out(hall, R1, R2)
    hall.settle()
    hall.heal()
    hall.wait(4.0)
    for number in (SCORER, R1, ASSISTANT):
        assert set(hall[number].peer.roster.revoked) == {hall[R2].keys.device}
    assert knows(hall[R2])
    assert hall[SCORER].peer.vector() == hall[R1].peer.vector() == hall[ASSISTANT].peer.vector()


def test_a_device_that_is_admitted_again_at_once_keeps_its_link() -> None:
    hall = Hall(2)
    hall[R1].disk_works = False
    take_out(hall, SCORER, R1)
    hall.settle()
    hall[SCORER].peer.admit(hall[R1].keys.member("R1"), hall.now, WALL)
    hall[R1].disk_works = True
    hall.settle()
    hall.wait(4.0)
    assert dropped(hall[SCORER]) == []
    assert hall[R1].peer.log is not None and not knows(hall[R1])
    hall[R1].note("here again")
    hall.settle()
    assert hall[SCORER].peer.vector() == hall[R1].peer.vector()


def test_a_parting_device_can_ask_for_nothing() -> None:
    hall = Hall(2)
    hall[R1].disk_works = False
    take_out(hall, SCORER, R1)
    hall.settle()
    hall.sent.clear()
    log = hall[SCORER].peer.log
    assert log is not None
    hall[SCORER].peer.receive(1, wire.encode(wire.Want(log, 0, 1)), hall.now, WALL)
    hall.settle()
    assert not any(sender == SCORER for sender, _, _ in hall.sent)


def test_taking_out_one_who_is_out_already_holds_when_the_first_taking_out_falls() -> None:
    """R2 and the scorer take each other out while apart, and R2 stays; but R1 has taken R2 out, too."""
    hall = Hall(4)
    hall.part({SCORER, R1, ASSISTANT}, {R2})
    take_out(hall, SCORER, R2)
    hall.settle()
    assert hall[R2].keys.device in hall[R1].peer.roster.revoked
    take_out(hall, R1, R2)
    take_out(hall, R2, SCORER)
    hall.settle()
    hall.heal()
    hall.wait(5.0)
    for station in (hall[R1], hall[ASSISTANT]):
        assert hall[R2].keys.device not in station.peer.roster.members
