"""`crewlink rehearse FILE...`: plays scripts and prints what differs from what they expect.

Exit code 0: all as expected; 1: something differs; 2: a script can't be read or set up, or none was played.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO, get_args

from crewlink.match.beginning import SetupError
from crewlink.rules.format import FormatError
from crewlink.rules.loading import SHIPPED, ProfileError
from crewlink.script.compare import crew_expected
from crewlink.script.crew_stage import FIRST_STEP_MS, CrewStage
from crewlink.script.engine_stage import EngineStage
from crewlink.script.explain import explained
from crewlink.script.format import Run, Script
from crewlink.script.player import Played, Stage, play
from crewlink.script.reading import ScriptError, load
from crewlink.script.schema import schema_text
from crewlink.script.steps.crew import Check, CrewStep
from crewlink.script.steps.handing import HandingStep

SAME, DIFFERENT, UNREADABLE = 0, 1, 2
CREW_STEPS = (*get_args(CrewStep), *get_args(HandingStep))
READ = {"seen": "", "memory": " (from memory)", "practice": " (common practice)", "reading": " (our reading)"}


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the subcommand `rehearse`; `main` of the command line calls `args.run(args)`."""
    parser = commands.add_parser(
        "rehearse",
        help="play match scripts and show what differs from what they expect",
        description="Play match scripts (JSON) and show what differs from what they expect. Scripts with "
        "steps of the crew are played over linked stations in this process, all others over the rules alone.",
    )
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE", help="a script, or a folder of them")
    parser.add_argument("--explain", action="store_true", help="say for each step what the rules make of it")
    parser.add_argument("--profile", choices=SHIPPED, help="play only the runs of this rule profile")
    parser.add_argument("--stations", action="store_true", help="play every script over linked stations")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of scripts and stop")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, out: TextIO | None = None) -> int:
    """Do it; returns the exit code."""
    out = out or sys.stdout
    if args.schema:
        out.write(schema_text())
        return SAME
    if not args.files:
        out.write("rehearse: name at least one script file, or a folder of them.\n")
        return UNREADABLE
    told = _Telling(out, args.explain, args.profile, args.stations)
    try:
        codes = [told.file(path) for path in _found(args.files)]
    except BrokenPipeError:  # whoever read along has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return SAME
    if not codes:
        out.write(f"rehearse: no script (*.json) in {', '.join(map(str, args.files))}.\n")
        return UNREADABLE
    return max(codes)


def _found(files: Iterable[Path]) -> Iterator[Path]:
    for path in files:
        if path.is_dir():
            yield from sorted(path.glob("*.json"))
        else:
            yield path


@dataclass(frozen=True, slots=True)
class _Telling:
    """Plays files and writes what came of it."""

    out: TextIO
    explain: bool
    profile: str | None
    stations: bool

    def file(self, path: Path) -> int:
        """Play one file; returns the exit code for it."""
        try:
            return self._script(path, load(path))
        except (ScriptError, SetupError, FormatError, ProfileError) as error:
            self._line(str(error) if isinstance(error, ScriptError) else f"{path}: {error}")
            return UNREADABLE

    def _line(self, text: str) -> None:
        self.out.write(f"{text}\n")

    def _script(self, path: Path, script: Script) -> int:
        if self.explain:
            self._line(f"{path.name}: {script.title}")
            for line in sources(script):
                self._line(f"  source: {line}")
        codes = [
            self._run(path, script, number, profile)
            for number, one in enumerate(script.runs, 1)
            for profile in one.profiles
            if self.profile in (None, profile)
        ]
        if not codes:
            self._line(f"{path}: no run of the profile {self.profile}")
            return UNREADABLE
        return max(codes)

    def _run(self, path: Path, script: Script, number: int, profile: str) -> int:
        one = script.runs[number - 1]
        linked = self.stations or needs_crew(one)
        played = play(one, stage_for(script, one, profile, linked))
        title = f"run {number}" + (f" ({one.name})" if one.name else "") + f", {profile}"
        if self.explain:
            self._line(f"  {title}")
        for step in played:
            if self.explain:
                for line in explained(step):
                    self._line(f"  {line}")
            for difference in step.differences:
                named = f" ({step.step.name})" if step.step.name else ""
                self._line(f"{path.name}: {title}, step {step.number}{named}: {difference}")
        self._line(f"{path.name}: {title}: {summary(played, len(script.posts) if linked else 0)}")
        return DIFFERENT if any(step.differences for step in played) else SAME


def sources(script: Script) -> Iterator[str]:
    """Where the expected results come from, one line a source."""
    for source in script.source:
        rule = f", {source.rule}" if source.rule else ""
        note = f"; {source.note}" if source.note else ""
        yield f"{source.title}{rule}{READ[source.read]}{note}"


def stage_for(script: Script, one: Run, profile: str, linked: bool | None = None) -> Stage:
    """Where a run is played: linked stations if it needs a crew (or `linked`), else the rules alone."""
    setup = script.setup(one, profile)
    if linked if linked is not None else needs_crew(one):
        return CrewStage(setup, script.posts, settings=script.event.settings(FIRST_STEP_MS))
    return EngineStage(setup)


def summary(played: tuple[Played, ...], stations: int = 0) -> str:
    """How a run went: steps, expectations compared, differences; over how many stations, if it was."""
    compared = sum(step.compared for step in played)
    differ = sum(len(step.differences) for step in played)
    result = "as expected" if not differ else f"{differ} differ" if differ > 1 else "1 differs"
    over = f" over {stations} stations" if stations else ""
    return f"{_count(len(played), 'step')}{over}, {_count(compared, 'expectation')}, {result}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def needs_crew(run: Run) -> bool:
    """Whether a run has steps or expectations of a crew, which the rules alone can't show."""
    return any(
        (isinstance(step, CREW_STEPS) and not isinstance(step, Check))
        or (step.expect is not None and crew_expected(step.expect))
        for step in run.steps
    )
