"""An event pass over real sockets: two courts take it; one site sees both, messages them, writes nothing."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import pytest
from msgspec.structs import replace

from crewlink.cli import main
from crewlink.crew.commands import Raise, TakeWriting
from crewlink.folder import FORMAT, StationFile, StationFolder
from crewlink.home import Home, member_of
from crewlink.match.commands import Point, Toss
from crewlink.match.teams import Team
from crewlink.opening import charter_of
from crewlink.running import RunningStation
from crewlink.site.hall import Hall, courts_of_today, make_pass, passes, read_pass
from crewlink.snapshot import BoardSnapshot, Snapshot
from crewlink.whereabouts import read
from protocol.event_pass import EventPass, PassError
from protocol.roster import Invitation
from tests.link.parts import Watch, in_loop
from tests.opening.desk_process import PLAN
from ui.board_source import BoardSource
from ui.hall_source import HallDoor


def nothing() -> None:
    """Nobody listens: the tests ask."""


@dataclass
class Site:
    """A site's home, its hall and the stations of its courts."""

    home: Home
    stations: dict[Path, RunningStation] = field(default_factory=dict)

    def begin(self, folder: Path) -> int:
        station = RunningStation(folder, nothing)
        station.start()
        self.stations[folder] = station
        return station.port

    def courts(self) -> dict[str, Snapshot]:
        return {shot.court: shot for shot in (one.snapshot() for one in list(self.stations.values()))}

    def stop(self) -> None:
        for station in self.stations.values():
            station.stop()
        self.stations.clear()


@asynccontextmanager
async def court(home: Path, name: str) -> AsyncIterator[RunningStation]:
    """A court opened by its scorer, running."""
    folder = Home(home).open_court(replace(PLAN, court=name))
    async with running(folder) as station:
        yield station


@asynccontextmanager
async def running(folder: Path) -> AsyncIterator[RunningStation]:
    station = RunningStation(folder, nothing)
    await asyncio.to_thread(station.start)
    try:
        yield station
    finally:
        await asyncio.to_thread(station.stop)


@asynccontextmanager
async def hall(site: Site) -> AsyncIterator[Hall]:
    opened = Hall(site.home, site.begin)
    await opened.open()
    try:
        yield opened
    finally:
        await opened.close()
        await asyncio.to_thread(site.stop)


async def until(condition: Callable[[], bool], what: str) -> None:
    await Watch().until(condition, what)


def sees(station: RunningStation, post: str) -> bool:
    return any(link.post == post and link.state == "linked" for link in station.snapshot().links)


def test_a_pass_is_made_kept_and_read_again(tmp_path: Path) -> None:
    home = Home(tmp_path)
    made, file = make_pass(home, "Girls U16", 12, now=1000.0)
    assert read_pass(file) == made == passes(home)[0]
    assert (made.event, made.expires) == ("Girls U16", 1000 + 12 * 3600)
    assert made.site.device == home.identity().device
    second, _ = make_pass(home, "Boys U16", 12, now=1000.0)
    assert second.addresses[0].port == made.addresses[0].port
    (home.passes / "noise.pass").write_bytes(b"\xff\x00")
    assert {one.event for one in passes(home)} == {"Girls U16", "Boys U16"}


@in_loop
async def test_two_courts_and_one_board(tmp_path: Path) -> None:
    site = Site(Home(tmp_path / "site"))
    given, _ = make_pass(site.home, "Girls U16", 8)
    async with court(tmp_path / "a", "3") as third, court(tmp_path / "b", "4") as fourth, hall(site):
        for station in (third, fourth):
            station.use_pass(given.text).result(10)
        await until(lambda: set(site.courts()) == {"Court 3", "Court 4"}, "both on the board, by name")
        await until(lambda: sees(third, "site") and sees(fourth, "site"), "linked")

        third.submit(Toss(Team.A, Team.B))
        await until(lambda: site.courts()["Court 3"].phase == "line_ups", "the site sees what is written")
        assert site.courts()["Court 4"].phase == "before"

        of_third = next(one for one in site.stations.values() if one.snapshot().court == "Court 3")
        told = of_third.submit(Raise("site_message", to=("scorer",), level="soon", text="Ice is in hall 2"))
        assert told.done, told.sentence
        await until(lambda: bool(third.snapshot().notices), "the message is at the table")
        assert not fourth.snapshot().notices

        before = third.snapshot()
        for command in (Point(Team.A), TakeWriting()):
            answer = of_third.submit(command)
            assert answer.kind == "refused", (command, answer)
        peer = of_third._made().peer
        assert not peer.may_write() and given.site.device not in peer.standing().voters
        assert third.snapshot().writing.post == before.writing.post == "scorer"


@in_loop
async def test_a_site_that_starts_again_is_found_again(tmp_path: Path) -> None:
    """The board is closed and opened: the court asks at the door where its place is now."""
    site = Site(Home(tmp_path / "site"))
    given, _ = make_pass(site.home, "Girls U16", 8)
    async with court(tmp_path / "a", "3") as third:
        third.use_pass(given.text).result(10)
        async with hall(site):
            await until(lambda: sees(third, "site"), "linked")
        await until(lambda: not sees(third, "site"), "the site is gone")
        assert len(courts_of_today(site.home, time.time())) == 1
        async with hall(site):
            await until(lambda: sees(third, "site"), "linked again")
        assert len(courts_of_today(site.home, time.time())) == 1


@in_loop
async def test_what_the_site_says_to_a_court_it_refuses_is_shown_there(tmp_path: Path) -> None:
    site = Site(Home(tmp_path / "site"))
    given, file = make_pass(site.home, "Girls U16", 8)
    make_pass(site.home, "Boys U16", 8)
    file.unlink()
    sentence = "The supervisor does not know this pass. Ask for a new one."
    async with court(tmp_path / "a", "3") as third, hall(site):
        third.use_pass(given.text).result(10)
        await until(lambda: sentence in third.snapshot().findings, "told")
        assert site.stations == {}


@in_loop
async def test_a_court_refuses_a_pass_that_is_not_for_it(tmp_path: Path) -> None:
    home = Home(tmp_path / "site")
    wrong, _ = make_pass(home, "Another Cup", 8)
    old, _ = make_pass(home, "Girls U16", -1)
    async with court(tmp_path / "a", "3") as third:
        for text, words in (
            (wrong.text, "This pass is for “Another Cup”; this court plays for “Girls U16”."),
            (old.text, "The pass is too old. Ask the supervisor for a new one."),
            ("hello", "This is no event pass."),
        ):
            with pytest.raises(PassError) as caught:
                third.use_pass(text).result(10)
            assert str(caught.value) == words
        assert {member.post for member in third.members().result(10)} == {"scorer"}


def test_the_text_of_a_pass_fits_a_square(tmp_path: Path) -> None:
    made, _ = make_pass(Home(tmp_path), "Girls U16", 12)
    assert EventPass.parse(made.text) == made
    assert len(made.text) < 2000


def test_a_board_takes_courts_in_while_it_is_open(tmp_path: Path) -> None:
    """The program's own parts: the board starts empty, a court comes with the pass and stands on it; a second
    start finds it again.
    """
    home = Home(tmp_path / "site")
    given, _ = make_pass(home, "Girls U16", 8)
    folder = Home(tmp_path / "a").open_court(replace(PLAN, court="3"))
    station = RunningStation(folder, nothing)
    station.start()
    try:
        station.use_pass(given.text).result(10)
        for _ in range(2):
            board = BoardSource([])
            door = HallDoor(home, board)
            shown: list[BoardSnapshot] = []
            board.listen(shown.append)
            door.begin()
            assert door.port == given.addresses[0].port
            seen = partial(on_board, board, shown)
            asyncio.run(until(lambda: seen() == ["Court 3"], "on the board"))  # noqa: B023
            asyncio.run(until(lambda: sees(station, "site"), "and is linked"))
            door.end()
            board.stop()
    finally:
        station.stop()


def on_board(board: BoardSource, shown: list[BoardSnapshot]) -> list[str]:
    board.refresh()
    return [sight.snapshot.court for sight in shown[-1].sights] if shown else []


def test_passes_from_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    home, square = tmp_path / "site", tmp_path / "pass.svg"
    assert main(["pass", "make", "Girls U16", "--home", str(home), "--square", str(square)]) == 0
    told, path, text = capsys.readouterr().out.splitlines()
    assert told.startswith("Girls U16: good until ")
    assert EventPass.parse(text) == read_pass(Path(path))
    assert square.read_text().startswith("<?xml")
    assert main(["pass", "show", path]) == 0
    assert capsys.readouterr().out.splitlines() == [told]
    Path(path).write_text("CREWPASS1:AAAA")
    assert main(["pass", "show", path]) == 2
    assert capsys.readouterr().err == f"crewlink: {path}: The pass is damaged. Scan it or copy it again.\n"
    assert main(["pass", "make", "x", "--home", str(home), "--square", str(tmp_path / "pass.xyz")]) == 2
    assert "Name a .svg or .png file." in capsys.readouterr().err


@in_loop
async def test_a_crew_that_starts_again_without_multicast_finds_itself(tmp_path: Path) -> None:
    """Three devices that neither announce nor look: kept addresses and ports bring all together again."""
    match = bytes(range(16))
    posts = ("scorer", "R1", "R2")
    homes = [Home(tmp_path / post) for post in posts]
    members = tuple(member_of(home.identity(), post) for home, post in zip(homes, posts, strict=True))
    invitation = Invitation(match, members[0].device, members)
    folders = [
        home.add(
            StationFile(FORMAT, post, quiet=True, charter=charter_of(PLAN) if post == "scorer" else None),
            home.identity(),
            invitation,
        )
        for home, post in zip(homes, posts, strict=True)
    ]
    async with running(folders[0]) as first:
        for folder in folders[1:]:
            file = StationFolder(folder).read()
            StationFolder(folder).write(replace(file, addresses=(f"127.0.0.1:{first.port}",)))
        async with running(folders[1]) as second, running(folders[2]) as third:
            await until(lambda: sees(second, "R2") and sees(third, "R1"), "R1 and R2 met over the table")
            await until(lambda: all(len(read(folder).met) == 2 for folder in folders), "kept")
    for folder in folders[1:]:
        StationFolder(folder).write(replace(StationFolder(folder).read(), addresses=()))
    async with running(folders[2]) as third, running(folders[1]) as second, running(folders[0]) as first:
        crew = ((first, ("R1", "R2")), (second, ("scorer", "R2")), (third, ("scorer", "R1")))
        await until(lambda: all(sees(one, post) for one, others in crew for post in others), "all linked")
