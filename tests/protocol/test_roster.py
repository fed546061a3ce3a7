from __future__ import annotations

import json
import random
from pathlib import Path

import pytest

from protocol import acts
from protocol.entry import Entry, Kind
from protocol.journal import Journal, Place
from protocol.membership import Roster, fold_roster
from protocol.roster import Invitation, InvitationError
from tests.protocol.hall import WALL, Hall, Keys, invitation


def given(path: Path) -> Path:
    invitation([Keys("a"), Keys("b")]).save(path)
    return path


def test_an_invitation_comes_back_as_it_was_saved(tmp_path: Path) -> None:
    made = invitation([Keys("a"), Keys("b"), Keys("c")])
    made.save(tmp_path / "match.json")
    assert Invitation.load(tmp_path / "match.json") == made


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.update(match="00"),
        lambda data: data.update(opener="zz"),
        lambda data: data.pop("members"),
        lambda data: data["members"].append(data["members"][0]),
        lambda data: data["members"][0].update(sign_key="00" * 32),
        lambda data: data["members"][0].pop("post"),
        lambda data: data.update(format="crewlink invitation 9"),
    ],
)
def test_a_bad_invitation_says_what_to_do(tmp_path: Path, change: object) -> None:
    path = given(tmp_path / "match.json")
    data = json.loads(path.read_text())
    assert callable(change)
    change(data)
    path.write_text(json.dumps(data))
    with pytest.raises(InvitationError) as caught:
        Invitation.load(path)
    assert str(path) in str(caught.value) and caught.value.advice.endswith(".")


def test_the_opener_may_have_been_taken_out_since(tmp_path: Path) -> None:
    path = given(tmp_path / "match.json")
    data = json.loads(path.read_text())
    data["members"] = [one for one in data["members"] if one["device"] != data["opener"]]
    path.write_text(json.dumps(data))
    known = Invitation.load(path)
    assert known.member(known.opener) is None and known.members


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff\xfe", b'{"format": 1}'])
def test_a_file_that_is_no_invitation_says_what_to_do(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "match.json"
    path.write_bytes(content)
    with pytest.raises(InvitationError):
        Invitation.load(path)
    with pytest.raises(InvitationError):
        Invitation.load(tmp_path / "missing.json")


def refolded(entries: list[Entry], journal: Journal) -> Roster:
    """The roster that these entries give when they come in this order, again and again until all are in."""
    other = Journal(journal.match, journal.opener)
    for _ in entries:
        entries = [entry for entry in entries if other.add(entry) in (Place.GAP, Place.STRANGE)]
    assert not entries
    return fold_roster(other)


def revoke_each_other(hall: Hall, one: int, other: int) -> None:
    hall.part(*({station.number} for station in hall.stations))
    hall[one].peer.revoke(hall[other].keys.device, hall.now, WALL)
    hall[other].peer.revoke(hall[one].keys.device, hall.now, WALL)
    hall.settle()


@pytest.mark.parametrize(("one", "other", "stays"), [(1, 2, 1), (2, 1, 1), (0, 2, 2), (0, 1, 1)])
def test_of_two_that_revoke_each_other_the_higher_post_stays(one: int, other: int, stays: int) -> None:
    hall = Hall(4)
    revoke_each_other(hall, one, other)
    entries = {e.id: e for station in hall.stations for e in station.peer.journal.in_order()}
    gone = other if stays == one else one
    few = list(entries.values())
    for seed in range(20):
        random.Random(seed).shuffle(few)
        roster = refolded(few, hall[3].peer.journal)
        assert hall[stays].keys.device in roster.members
        assert hall[gone].keys.device not in roster.members


def test_who_has_not_the_right_admits_and_revokes_nobody() -> None:
    hall = Hall(4)
    stranger = Keys("stranger").member("R1")
    hall[3].peer.admit(stranger, hall.now, WALL)  # the assistant may not
    hall.settle()
    assert stranger.device not in hall[0].peer.roster.members
    cuts = {"device": hall[1].keys.device, "admissions": [], "cuts": {}}
    hall[3].author(Kind.ROSTER, (acts.REVOKE, cuts))  # type: ignore[arg-type]
    hall.settle()
    assert hall[1].keys.device in hall[0].peer.roster.members


def test_what_was_written_before_the_cut_counts_and_what_came_after_does_not() -> None:
    hall = Hall(4)
    hall[1].peer.admit(Keys("early").member("site"), hall.now, WALL)
    hall.settle()
    hall.part({0, 2, 3}, {1})
    hall[1].peer.admit(Keys("late").member("site"), hall.now, WALL)
    hall.settle()
    hall[0].peer.revoke(hall[1].keys.device, hall.now, WALL)
    hall.settle()
    late = [e for e in hall[1].peer.journal.in_order() if e.id not in hall[0].peer.journal]
    entries = [*hall[0].peer.journal.in_order(), *late]
    roster = refolded(entries, hall[0].peer.journal)
    assert Keys("early").device in roster.members
    assert Keys("late").device not in roster.members
    assert hall[1].keys.device in roster.revoked


def test_a_revoked_device_comes_back_with_a_new_admission() -> None:
    hall = Hall(3)
    hall[0].peer.revoke(hall[2].keys.device, hall.now, WALL)
    hall.settle()
    assert hall[2].keys.device not in hall[0].peer.roster.members
    hall[0].peer.admit(hall[2].keys.member("R2"), hall.now, WALL)
    hall.join(0, 2)
    hall.join(2, 0)
    hall.settle()
    assert hall[2].keys.device in hall[0].peer.roster.members
    note = hall[2].note("back again")
    hall.settle()
    assert hall[0].peer.roster.counts(note)
