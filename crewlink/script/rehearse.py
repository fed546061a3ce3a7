"""`crewlink rehearse FILE...`: plays scripts over the rules engine and prints what differs.

Exit code 0: all as expected; 1: something differs; 2: a script can't be read or set up.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TextIO, get_args

from crewlink.crew.posts import Post
from crewlink.match.beginning import SetupError
from crewlink.rules.format import FormatError
from crewlink.rules.loading import ProfileError
from crewlink.script.compare import crew_expected
from crewlink.script.crew_stage import CrewStage
from crewlink.script.engine_stage import EngineStage
from crewlink.script.explain import explained
from crewlink.script.format import Run, Script
from crewlink.script.player import Played, Stage, play
from crewlink.script.reading import ScriptError, load
from crewlink.script.schema import schema_text
from crewlink.script.steps.crew import Check, CrewStep

SAME, DIFFERENT, UNREADABLE = 0, 1, 2
CREW_STEPS = get_args(CrewStep)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the subcommand `rehearse`; `main` of the command line calls `args.run(args)`."""
    parser = commands.add_parser(
        "rehearse",
        help="play match scripts and show what differs from what they expect",
        description="Play match scripts over the rules engine and show what differs from what they expect.",
    )
    parser.add_argument(
        "files", nargs="*", type=Path, metavar="FILE", help="a script, or a folder of scripts"
    )
    parser.add_argument("--explain", action="store_true", help="say for each step what the rules make of it")
    parser.add_argument("--profile", metavar="NAME", help="play only the runs of this rule profile")
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
    try:
        codes = [_file(path, args.explain, args.profile, out) for path in _found(args.files)]
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


def _file(path: Path, explain: bool, profile: str | None, out: TextIO) -> int:
    try:
        script = load(path)
        return _script(path, script, explain, profile, out)
    except (ScriptError, SetupError, FormatError, ProfileError) as error:
        text = str(error) if isinstance(error, ScriptError) else f"{path}: {error}"
        out.write(f"{text}\n")
        return UNREADABLE


def _script(path: Path, script: Script, explain: bool, profile: str | None, out: TextIO) -> int:
    code = SAME
    if explain:
        out.write(f"{path.name}: {script.title}\n")
        out.writelines(f"  source: {line}\n" for line in sources(script))
    for number, one in enumerate(script.runs, 1):
        for name in one.profiles:
            if profile is None or name == profile:
                code = max(code, _run(path, script, one, number, name, explain, out))
    return code


def sources(script: Script) -> Iterator[str]:
    """Where the expected results come from, one line a source."""
    for source in script.source:
        how = {
            "seen": "",
            "memory": " (from memory)",
            "practice": " (common practice)",
            "reading": " (our reading)",
        }
        rule = f", {source.rule}" if source.rule else ""
        yield f"{source.title}{rule}{how[source.read]}"


def _run(path: Path, script: Script, one: Run, number: int, profile: str, explain: bool, out: TextIO) -> int:
    played = play(one, stage_for(script, one, profile))
    title = f"run {number}" + (f" ({one.name})" if one.name else "") + f", {profile}"
    if explain:
        out.write(f"  {title}\n")
    for step in played:
        if explain:
            out.writelines(f"  {line}\n" for line in explained(step))
        for difference in step.differences:
            named = f" ({step.step.name})" if step.step.name else ""
            out.write(f"{path.name}: {title}, step {step.number}{named}: {difference}\n")
    out.write(f"{path.name}: {title}: {summary(played, script.posts if needs_crew(one) else ())}\n")
    return DIFFERENT if any(step.differences for step in played) else SAME


def stage_for(script: Script, one: Run, profile: str) -> Stage:
    """Where a run is played: linked stations if it needs a crew, else the rules alone."""
    setup = script.setup(one, profile)
    return CrewStage(setup, script.posts) if needs_crew(one) else EngineStage(setup)


def summary(played: tuple[Played, ...], posts: tuple[Post, ...] = ()) -> str:
    """How a run went: steps, expectations compared, differences; over how many stations, if it was."""
    compared = sum(step.compared for step in played)
    differ = sum(len(step.differences) for step in played)
    result = "as expected" if not differ else f"{differ} differ" if differ > 1 else "1 differs"
    crew = f" over {len(posts)} stations" if posts else ""
    return f"{len(played)} steps{crew}, {compared} expectations, {result}"


def needs_crew(run: Run) -> bool:
    """Whether a run has steps or expectations of a crew, which the rules alone can't show."""
    return any(
        (isinstance(step, CREW_STEPS) and not isinstance(step, Check))
        or (step.expect is not None and crew_expected(step.expect))
        for step in run.steps
    )
