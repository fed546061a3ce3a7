"""Kills stations at random moments, again and again, and checks after each few kills that nothing is lost.

Run from the root: `python -m tests.link.soak --kills 1000 [--minutes M] [--seed 1] [--tally FILE]`. Three
stations in processes of their own write all the time: notes, private text, the record. One, two or all of
them are killed as a power cut would end them: while they write, while they open their file, while they catch
up. Checked:

- after each kill the dead station's file, read by SQLite alone, holds every entry that this station has shown
  as saved, its own and others';
- after every few kills all journals and the record they make are equal, and hold all that anybody has shown
  as saved; no file was damaged.

A match ends by itself when it is long, and a new one begins. A run that is stopped, by hand or by time, tells
what it has. With `--tally` the totals are kept in a file and the next run goes on from there.
"""

from __future__ import annotations

import argparse
import contextlib
import random
import shutil
import signal
import socket
import sqlite3
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import msgspec

from tests.link.crew import Crew, Process, crew_of
from tests.link.nursery import ROOT, Nursery

SIZE = 3
BURSTS = 12  # so often in a row a station writes some entries
KILLS_A_CHECK = 5
KILLS_A_MATCH = 100  # a journal takes a bounded number of runs from one device
ENTRIES_A_MATCH = 2500  # each of them is verified again whenever a station opens its file
PORTS = range(20_000, 32_000)  # below those that the system gives to calls, so nobody takes one meanwhile


class Lost(SystemExit):
    """Something was shown as saved and is gone, or stations differ. The text says what."""


class Tally(msgspec.Struct):
    """What happened so far. Seconds are of this machine as loaded as it was."""

    matches: int = 0
    kills: int = 0
    at_once: dict[int, int] = msgspec.field(default_factory=dict)
    phases: dict[str, int] = msgspec.field(default_factory=dict)
    checks: int = 0
    files_read: int = 0
    shown: int = 0
    worst_settling: float = 0.0
    openings: int = 0
    opening_seconds: float = 0.0
    seconds: float = 0.0

    def hit(self, phase: str) -> None:
        """A station died in this phase."""
        self.phases[phase] = self.phases.get(phase, 0) + 1

    @property
    def opening(self) -> float:
        """How long an opening takes here."""
        return self.opening_seconds / self.openings if self.openings else 0.3

    def lines(self) -> str:
        """The totals in words."""
        blows = ", ".join(f"{self.at_once[count]} of {count} at once" for count in sorted(self.at_once))
        phases = ", ".join(f"{self.phases[phase]} {phase}" for phase in sorted(self.phases))
        return (
            f"{self.kills} kills in {self.matches} matches and {self.seconds:.0f} s; blows: {blows}\n"
            f"stations hit: {phases}\n"
            f"{self.shown} entries shown as saved by their writers, none lost; {self.files_read} files of "
            f"the dead read; equal at {self.checks} checks, after at most {self.worst_settling:.2f} s; "
            f"an opening takes {self.opening * 1000:.0f} ms"
        )


class Aim:
    """After how many seconds to kill so as to hit the middle of something: later after a blow that came too
    early, sooner after one that came too late.
    """

    def __init__(self, seconds: float) -> None:
        self._seconds = seconds

    def wait(self, rng: random.Random) -> None:
        pass_time(self._seconds * rng.uniform(0.5, 1.5))

    def was(self, *, late: bool) -> None:
        self._seconds = max(0.002, self._seconds * (0.8 if late else 1.2))


class Aims:
    """One aim for each thing to be hit."""

    def __init__(self) -> None:
        self.writing = Aim(0.05)
        self.opening = Aim(0.1)
        self.catching_up = Aim(0.1)


class Match:
    """One match under blows."""

    def __init__(self, crew: Crew, rng: random.Random, tally: Tally, aims: Aims) -> None:
        self.crew = crew
        self.aims = aims
        self.rng = rng
        self.tally = tally
        self.ports = free_ports(rng, SIZE)
        self.shown: list[set[str]] = [set() for _ in range(SIZE)]
        self.in_file: list[set[str]] = [set() for _ in range(SIZE)]
        self.said = 0
        self.held = 0

    def start(self, index: int) -> Process:
        others = [f"127.0.0.1:{port}" for number, port in enumerate(self.ports) if number != index]
        options = ("--port", str(self.ports[index]), "--manual", *others)
        return self.crew.start(index, *options, ready=False)

    def start_ready(self, index: int) -> Process:
        begin = time.monotonic()
        process = self.start(index)
        process.wait_for("port")
        self.tally.openings += 1
        self.tally.opening_seconds += time.monotonic() - begin
        return process

    def kill(self, *indexes: int) -> list[Process]:
        """Kill, and read each file for what its station had shown as saved."""
        killed = self.crew.kill(*indexes)
        self.tally.kills += len(killed)
        self.tally.at_once[len(killed)] = self.tally.at_once.get(len(killed), 0) + 1
        for index, process in zip(indexes, killed, strict=True):
            self.shown[index] |= process.own | process.told
            self.tally.files_read += 1
            self.in_file[index] = check_file(self.crew.folders[index] / "match.sqlite", self.shown[index])
        return killed

    def while_writing(self) -> None:
        """All write; one, two or all die in the middle of it and come back."""
        for process in self.crew.running.values():
            process.say(f"play {self.rng.randrange(1, 8)} {BURSTS}")
        victims = self.rng.sample(range(SIZE), self.rng.choice((1, 1, 1, 2, 2, 3)))
        self.aims.writing.wait(self.rng)
        for process in self.kill(*victims):
            done = process.has_told("wrote") and set(process.wait_for("wrote")) <= process.own
            self.aims.writing.was(late=done)
            self.tally.hit("all saved" if done else "writing or saving")
        for process in self.crew.running.values():
            process.wait_for("wrote")
        for victim in victims:
            self.start_ready(victim)

    def while_opening(self) -> None:
        """One dies, and again once or twice before its file is open."""
        victim = self.rng.randrange(SIZE)
        self.kill(victim)
        self.tally.hit("at rest")
        for _ in range(self.rng.randrange(1, 4)):
            process = self.start(victim)
            self.aims.opening.wait(self.rng)
            self.kill(victim)
            opened = process.has_told("port")
            self.aims.opening.was(late=opened)
            self.tally.hit("just opened" if opened else "opening its file")
        self.start_ready(victim)

    def while_catching_up(self) -> None:
        """One was away while the others wrote; it dies in the middle of getting that."""
        victim = self.rng.randrange(SIZE)
        self.kill(victim)
        self.tally.hit("at rest")
        others = list(self.crew.running.values())
        missed = set[str]()
        for process in others:
            missed |= set(process.ask(f"play 20 {BURSTS}", "wrote"))
        others[0].until(lambda: missed <= self.crew.everything_said_to_be_saved(), "saved")
        process = self.start_ready(victim)
        self.aims.catching_up.wait(self.rng)
        self.kill(victim)
        got = len(self.in_file[victim] & missed)
        self.aims.catching_up.was(late=got == len(missed))
        phase = "just caught up" if got == len(missed) else "catching up" if got else "before catching up"
        self.tally.hit(phase)
        self.start_ready(victim)

    def check(self) -> None:
        """All agree, and hold whatever anyone said to be saved."""
        begin = time.monotonic()
        said = self.crew.everything_said_to_be_saved()  # before: stations write by themselves, too
        held = self.crew.settle()
        self.tally.worst_settling = max(self.tally.worst_settling, time.monotonic() - begin)
        self.tally.checks += 1
        if lost := said - held[0]:
            raise Lost(f"LOST: {len(lost)} of {len(said)} entries said to be saved: {sorted(lost)[:5]}")
        damaged = [file for folder in self.crew.folders for file in folder.glob("*.damaged-*")]
        if damaged:
            raise Lost(f"DAMAGED: {damaged}")
        self.tally.shown += len(said) - self.said
        self.said, self.held = len(said), len(held[0])

    def play(self, kills: int) -> Iterator[None]:
        """Blows until so many kills in all, or until the match is long enough; yields after each check."""
        first = self.rng.randrange(SIZE)
        self.start(first)
        self.aims.opening.wait(self.rng)
        self.kill(first)
        self.tally.hit("making its file")
        for index in range(SIZE):
            self.start_ready(index)
        self.crew.settle()
        end = min(kills, self.tally.kills + KILLS_A_MATCH)
        while self.tally.kills < end and self.held < ENTRIES_A_MATCH:
            until = min(end, self.tally.kills + KILLS_A_CHECK)
            while self.tally.kills < until:
                blows = (self.while_writing, self.while_opening, self.while_catching_up)
                self.rng.choices(blows, (6, 2, 2))[0]()
            self.check()
            yield


def pass_time(seconds: float) -> None:
    """A kill comes at a random moment, not on a condition."""
    threading.Event().wait(seconds)


def free_ports(rng: random.Random, count: int) -> list[int]:
    """Ports that nobody uses now."""
    held: list[socket.socket] = []
    while len(held) < count:
        with contextlib.suppress(OSError):
            held.append(socket.create_server(("127.0.0.1", rng.choice(PORTS))))
    ports = [int(each.getsockname()[1]) for each in held]
    for each in held:
        each.close()
    return ports


def check_file(file: Path, shown: set[str]) -> set[str]:
    """The entries in a copy of the file with its log; all that were shown are among them. Errors: Lost."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / file.name
        for ending in ("", "-wal"):
            with contextlib.suppress(FileNotFoundError):
                shutil.copyfile(f"{file}{ending}", f"{copy}{ending}")
        ids = set[str]()
        if copy.exists():
            with contextlib.closing(sqlite3.connect(copy)) as connection:
                ids = {row[0].hex() for row in connection.execute("SELECT id FROM entry")}
        if lost := shown - ids:
            raise Lost(f"LOST: {file} lacks {len(lost)} of {len(shown)} entries it was said to hold")
    return ids


def soak(
    kills: int, seed: int, tally: Tally, told: Callable[[Tally], None], minutes: float | None = None
) -> None:
    """Go on until so many kills in all, or until the time is over; `told` gets the totals at each check."""
    aims = Aims()
    end = float("inf") if minutes is None else time.monotonic() + 60 * minutes
    with Nursery() as nursery:
        while tally.kills < kills and time.monotonic() < end:
            rng = random.Random(seed + tally.matches)
            tally.matches += 1
            with (
                tempfile.TemporaryDirectory() as folder,
                crew_of(Path(folder), SIZE, seed=seed + tally.matches, nursery=nursery) as crew,
            ):
                last = time.monotonic()
                try:
                    for _ in Match(crew, rng, tally, aims).play(kills):
                        now = time.monotonic()
                        tally.seconds, last = tally.seconds + now - last, now
                        told(tally)
                        if now >= end:
                            break
                except (Exception, Lost):
                    keep_evidence(Path(folder), tally.matches)
                    raise


def keep_evidence(folder: Path, match: int) -> None:
    """The files of a match that went wrong."""
    kept = ROOT / "build" / "soak" / f"match-{match}"
    shutil.rmtree(kept, ignore_errors=True)
    shutil.copytree(folder, kept)
    print(f"the files of match {match} are kept in {kept}", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--kills", type=int, default=100)
    parser.add_argument("--minutes", type=float, help="stop after so long, at the next check")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tally", type=Path, help="keep the totals here; go on from them if they are there")
    options = parser.parse_args()
    tally = Tally()
    if options.tally and options.tally.exists():
        tally = msgspec.json.decode(options.tally.read_bytes(), type=Tally, strict=False)

    def told(now: Tally) -> None:
        if options.tally:
            options.tally.write_bytes(msgspec.json.encode(now))
        print(
            f"{now.kills} kills, match {now.matches}: {now.shown} shown as saved, none lost; "
            f"equal at check {now.checks}; {now.seconds:.0f} s",
            flush=True,
        )

    signal.signal(signal.SIGTERM, signal.default_int_handler)  # as if it were stopped by hand
    with contextlib.suppress(KeyboardInterrupt):
        soak(options.kills, options.seed, tally, told, options.minutes)
    print(tally.lines())


if __name__ == "__main__":
    main()
