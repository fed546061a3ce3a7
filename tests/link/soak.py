"""Kills stations at random moments, again and again, and checks after each few kills that nothing is lost.

Run from the root: `python -m tests.link.soak --kills 200 [--seed 1]`. Three stations in processes of their
own write all the time. Any of them, or two at once, is killed as a power cut would end it and started
again. Checked: every entry that a station said to be saved is in every journal, all journals are equal, no
file was damaged.
"""

from __future__ import annotations

import argparse
import random
import socket
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from tests.link.crew import Crew, crew_of

SIZE = 3
KILLS_A_CHECK = 5
KILLS_A_MATCH = 150  # a journal takes a bounded number of runs from one device


@dataclass
class Tally:
    """What happened so far."""

    kills: int = 0
    saved: int = 0
    held: int = 0
    logs: int = 0
    settling: list[float] = field(default_factory=list)


def free_ports(count: int) -> list[int]:
    """Ports that nobody uses now."""
    held = [socket.create_server(("127.0.0.1", 0)) for _ in range(count)]
    ports = [int(each.getsockname()[1]) for each in held]
    for each in held:
        each.close()
    return ports


def start(crew: Crew, index: int, ports: list[int]) -> None:
    others = [f"127.0.0.1:{port}" for number, port in enumerate(ports) if number != index]
    crew.start(index, "--port", str(ports[index]), "--manual", *others)


def kill_some(crew: Crew, rng: random.Random, ports: list[int], tally: Tally) -> None:
    """All write; one or two die in the middle of it and come back."""
    for process in crew.running.values():
        process.say(f"write {rng.randrange(1, 120)}")
    victims = rng.sample(range(SIZE), rng.choice((1, 1, 1, 2)))
    watched = crew.running[victims[0]]
    target = watched.count_own() + rng.randrange(60)
    deadline = time.monotonic() + rng.uniform(0.0, 0.5)
    watched.until(lambda: watched.count_own() >= target or time.monotonic() > deadline, "a moment")
    for victim in victims:
        crew.kill(victim)
        tally.kills += 1
    for process in crew.running.values():
        process.wait_for("wrote")
    for victim in victims:
        start(crew, victim, ports)


def check(crew: Crew, tally: Tally) -> None:
    """All agree, and hold whatever anyone said to be saved."""
    begin = time.monotonic()
    held = crew.settle()
    tally.settling.append(time.monotonic() - begin)
    said = crew.everything_said_to_be_saved()
    if lost := said - held[0]:
        raise SystemExit(f"LOST: {len(lost)} of {len(said)} entries that were said to be saved")
    damaged = [file for folder in crew.folders for file in folder.glob("*.damaged-*")]
    if damaged:
        raise SystemExit(f"DAMAGED: {damaged}")
    tally.saved, tally.held = len(said), len(held[0])
    tally.logs = next(iter(crew.running.values())).ask("vector", "vector")[0]


def one_match(seed: int, kills: int, tally: Tally) -> None:
    rng = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder, crew_of(Path(folder), SIZE, seed=seed) as crew:
        ports = free_ports(SIZE)
        for index in range(SIZE):
            start(crew, index, ports)
        crew.settle()
        until = tally.kills + kills
        while tally.kills < until:
            next_check = tally.kills + KILLS_A_CHECK
            while tally.kills < min(next_check, until):
                kill_some(crew, rng, ports, tally)
            check(crew, tally)
            print(
                f"{tally.kills} kills: {tally.saved} said to be saved, all in {tally.held} held by each "
                f"({tally.logs} logs), agreed after {tally.settling[-1]:.2f} s",
                flush=True,
            )


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--kills", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    tally, begin, number = Tally(), time.monotonic(), 0
    while (left := options.kills - tally.kills) > 0:
        one_match(options.seed + number, min(left, KILLS_A_MATCH), tally)
        number += 1
    worst = max(tally.settling)
    seconds = time.monotonic() - begin
    print(f"{tally.kills} kills in {seconds:.0f} s, nothing lost; agreed after at most {worst:.2f} s")


if __name__ == "__main__":
    main()
