"""A match file on a real disk that is full or read-only: told in a plain sentence, nothing saved is lost."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from queue import SimpleQueue

import pytest

from crewlink.charter import Charter, Names
from crewlink.match.setup import MatchSetup
from demo_session.event import prepare
from protocol import store as store_module
from protocol.roster import Invitation, InvitationError
from protocol.store import Store
from protocol.store_error import DiskFull, NotWritable, StoreError
from tests.link.crew import invite
from tests.link.disk import Ballast, make_read_only, make_writable, needs_mounts, small_disk
from tests.link.parts import identity
from tests.link.test_store import MATCH, WAIT, opened, row, save
from tests.live.test_bad_input import told

pytestmark = needs_mounts


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    with small_disk(tmp_path / "disk", 1024) as place:
        yield place


@pytest.fixture
def path(disk: Path) -> Path:
    return disk / "match.sqlite"


@pytest.fixture
def ballast(disk: Path) -> Ballast:
    return Ballast(disk)


def fill(path: Path, count: int) -> None:
    store = opened(path)
    save(store, *(row(n) for n in range(count)))
    store.close()


def held(path: Path) -> int:
    """How many rows the file holds: a true beginning of what was saved, without damage."""
    store = opened(path)
    rows = store.load()
    store.close()
    assert store.rescue is None
    assert rows == tuple(row(n) for n in range(len(rows)))
    return len(rows)


class Writing:
    """Saves row after row until the disk is full; what was answered, and the trouble that was told."""

    def __init__(self, path: Path) -> None:
        self.troubles: SimpleQueue[StoreError | None] = SimpleQueue()
        self.answered = 0
        self.asked = 0
        self._news = threading.Condition()
        self.store = Store.open(path, MATCH)
        self.asked = self.answered = len(self.store.load())
        self.store.start(self._trouble)

    def go_on_until_full(self) -> None:
        """One row after the other, each when the one before was answered."""
        while self.troubles.empty():
            assert self.asked < 20_000, "the disk never got full"
            self.ask()
            with self._news:
                self._news.wait_for(lambda: self.answered == self.asked or not self.troubles.empty(), WAIT)

    def ask(self) -> None:
        number, self.asked = self.asked, self.asked + 1
        if self.store.commit([row(number)], self._count):
            self._count()

    def _count(self) -> None:
        with self._news:
            self.answered += 1
            self._news.notify_all()

    def _trouble(self, trouble: StoreError | None) -> None:
        with self._news:
            self.troubles.put(trouble)
            self._news.notify_all()


@pytest.fixture(autouse=True)
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store_module, "RETRY_SECONDS", 0.01)


def test_a_disk_that_fills_up_is_told_and_the_rest_is_saved_once_there_is_room(
    path: Path, ballast: Ballast
) -> None:
    writing = Writing(path)
    ballast.fill(but=200_000)
    writing.go_on_until_full()
    trouble = writing.troubles.get(timeout=WAIT)
    assert isinstance(trouble, DiskFull)
    assert str(trouble) == f"{path}: The disk is full, nothing new is saved. Free some space on this device."
    assert 0 < writing.answered < writing.asked
    ballast.drop()
    assert writing.troubles.get(timeout=WAIT) is None
    writing.store.close()
    assert writing.answered == writing.asked == held(path)


def test_what_was_answered_is_there_after_an_end_on_a_full_disk(path: Path, ballast: Ballast) -> None:
    writing = Writing(path)
    ballast.fill(but=200_000)
    writing.go_on_until_full()
    with pytest.raises(DiskFull):
        writing.store.close()
    assert writing.answered < writing.asked
    ballast.drop()
    assert writing.answered <= held(path) <= writing.asked


def test_a_station_starts_on_a_full_disk_with_all_it_had(path: Path, ballast: Ballast) -> None:
    """It reads what is there, tells the trouble at the first entry, and goes on when there is room."""
    fill(path, 300)
    ballast.fill()
    writing = Writing(path)
    assert writing.answered == 300
    writing.ask()
    assert isinstance(writing.troubles.get(timeout=WAIT), DiskFull)
    ballast.drop()
    assert writing.troubles.get(timeout=WAIT) is None
    writing.store.close()
    assert held(path) == 301


def test_no_room_for_a_new_file(path: Path, ballast: Ballast) -> None:
    ballast.fill()
    with pytest.raises(DiskFull, match="The disk is full"):
        opened(path)
    assert [each.name for each in path.parent.iterdir()] == ["ballast"], "nothing half made is left"
    ballast.drop()
    fill(path, 10)
    assert held(path) == 10
    assert {each.name for each in path.parent.iterdir()} == {path.name}


def test_no_room_for_a_rescue_leaves_the_damaged_file_in_place(path: Path, ballast: Ballast) -> None:
    fill(path, 300)
    raw = path.read_bytes()
    damaged = raw.replace(row(250).body, bytes(200))
    path.write_bytes(damaged)
    ballast.fill()
    for _ in range(2):
        with pytest.raises(DiskFull):
            opened(path)
        assert path.read_bytes() == damaged
    ballast.drop()
    store = opened(path)
    assert store.rescue is not None and store.rescue.rescued == 250
    store.close()
    assert held(path) == 250


@pytest.mark.parametrize("room", range(0, 140_000, 4096))
def test_wherever_a_rescue_runs_out_of_room_it_can_be_done_again(
    path: Path, ballast: Ballast, room: int
) -> None:
    fill(path, 100)
    raw = path.read_bytes()
    path.write_bytes(raw.replace(row(80).body, bytes(200)))
    ballast.fill(but=room)
    try:
        opened(path).close()
    except DiskFull:
        assert path.exists()
    ballast.drop()
    assert held_after_rescue(path) == 80


def held_after_rescue(path: Path) -> int:
    opened(path).close()
    return held(path)


def test_a_read_only_disk(path: Path, disk: Path) -> None:
    fill(path, 50)
    before = path.read_bytes()
    make_read_only(disk)
    for target in (path, disk / "other" / "new.sqlite", disk / "new.sqlite"):
        with pytest.raises(NotWritable) as caught:
            opened(target)
        assert str(caught.value).startswith(f"{target}: The match file cannot be written (")
        assert str(caught.value).endswith("). Check the folder, its owner and the disk.")
    assert path.read_bytes() == before
    make_writable(disk)
    assert held(path) == 50


def test_a_damaged_file_on_a_read_only_disk_stays_as_it_is(path: Path, disk: Path) -> None:
    fill(path, 50)
    damaged = path.read_bytes().replace(row(30).body, bytes(200))
    path.write_bytes(damaged)
    make_read_only(disk)
    with pytest.raises(NotWritable):
        opened(path)
    assert path.read_bytes() == damaged
    make_writable(disk)
    assert held_after_rescue(path) == 30


def test_a_small_file_that_cannot_be_written_keeps_what_it_held(disk: Path, ballast: Ballast) -> None:
    path = disk / "court.json"
    one, two = identity(1), identity(2)
    invite([one], MATCH).save(path)
    ballast.fill()
    with pytest.raises(InvitationError, match=r"Cannot be written \(No space left on device\)"):
        invite([one, two], MATCH).save(path)
    assert Invitation.load(path) == invite([one], MATCH)
    ballast.drop()
    invite([one, two], MATCH).save(path)
    assert Invitation.load(path) == invite([one, two], MATCH)
    assert [each.name for each in disk.iterdir()] == ["court.json"]


def test_a_whole_station_says_it_in_one_sentence(disk: Path, ballast: Ballast) -> None:
    """`crewlink station` ends with the error's own words, no traceback, and its files stay as they are."""
    crew = prepare(disk, ["scorer", "R2"], Charter(MatchSetup()), Names())
    folder = crew.folders["scorer"]
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    ballast.fill()
    assert told("station", str(folder)).endswith(
        "match.db: The disk is full, nothing new is saved. Free some space on this device.\n"
    )
    ballast.drop()
    make_read_only(disk)
    assert "match.db: The match file cannot be written (" in told("station", str(folder))
    make_writable(disk)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
