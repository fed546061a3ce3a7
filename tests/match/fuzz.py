"""Random sequences of commands through the rules, legal and illegal, and what must hold after each.

Run from the root: `python -m tests.match.fuzz --sequences 100000` plays so many under each profile, or fewer
if `--minutes` are over before, and says how many. Exit code 1 and the commands of the sequence if anything
breaks; `--seed N --sequences 1 --profile P` plays one sequence again.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from crewlink.match import engine
from crewlink.match.commands import Choose, MatchCommand, Overrule, Question
from crewlink.match.facts import Corrected, Overruled
from crewlink.match.ruling import Decision
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.state import Match
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.rules.format import FormatOptions
from crewlink.rules.loading import SHIPPED
from tests.match.any_command import any_command, any_fact
from tests.match.invariants import Step, answered, broken
from tests.match.likely import likely
from tests.match.playing import BASE_A, BASE_B, setup

LENGTHS = (5, 60)
FORMATS = (
    FormatOptions(),
    FormatOptions(),
    FormatOptions(points=5, deciding_points=4, court_change_at=2),
    FormatOptions(points=5, cap=6, deciding_points=3, deciding_cap=3),
    FormatOptions(all_sets=2, points=6),
)


class Broken(AssertionError):
    """A sequence that breaks something: which, and the commands of it."""

    def __init__(self, profile: str, seed: int, problem: str, pressed: list[MatchCommand]) -> None:
        shown = "\n".join(f"  {one}" for one in pressed[-12:])
        super().__init__(f"{profile}, seed {seed}, command {len(pressed)}: {problem}\n{shown}")


class Tally(Struct):
    """What the sequences did: how many, commands, written ones, and answers by kind and severity."""

    sequences: int = 0
    commands: int = 0
    written: int = 0
    seconds: float = 0.0
    answers: Counter[tuple[str, str]] = Counter()
    phases: Counter[str] = Counter()


def begun(profile: str, source: random.Random) -> Match:
    """A match to press commands into: from the toss, or taken up in the middle of a set."""
    form = source.choice(FORMATS)
    if source.random() < 0.3:
        return engine.begin(setup(profile, format=form))
    plain = engine.begin(setup(profile, format=form)).format
    number = source.randint(1, plain.max_sets)
    most = plain.target(number) - 1
    start = MidMatch(
        serving=source.choice(list(Team)),
        a=TeamStart(BASE_A, time_outs=source.randrange(3), delays=source.randrange(2)),
        b=TeamStart(BASE_B, improper=source.randrange(2)),
        score=(source.randint(0, most), source.randint(0, most)),
        set_number=number,
    )
    made: MatchSetup = setup(profile, format=form, start=start)
    return engine.begin(made)


def pressed_next(
    match: Match, last: Decision | None, asked: MatchCommand, source: random.Random
) -> MatchCommand:
    """The next command: mostly what a table would press, else anything; often an answer to a question."""
    chance = source.random()
    if last is not None and not last.ruling.fine:
        if last.proposal is not None and last.proposal.options and chance < 0.6:
            chosen = source.choice(last.proposal.options).code
            return Choose(asked, chosen) if isinstance(asked, Question) else asked
        if last.otherwise and chance < 0.7 and not isinstance(asked, Choose | Overrule):
            return Overrule(asked, "fuzz")
    if match.phase is Phase.FINISHED or source.random() < 0.35:
        return any_command(source)
    return likely(match, source)


def play(profile: str, seed: int, tally: Tally) -> None:
    """Play one sequence.

    Errors: `Broken`.
    """
    source = random.Random(f"{profile} {seed}")
    match, ruled, last = begun(profile, source), False, None
    pressed: list[MatchCommand] = [any_command(source)]
    for number in range(source.randint(*LENGTHS)):
        pressed.append(pressed_next(match, last, pressed[-1], source))
        try:
            last = engine.decide(match, pressed[-1])
            problem = answered(last) or _unwritten(match, last)
            for fact in last.facts:
                before, match = match, engine.evolve(match, fact)
                tally.written += 1
                if match.set_number != before.set_number and not match.finished:
                    ruled = False
                ruled = ruled or isinstance(fact, Overruled | Corrected)
                step = Step(pressed[-1], last, fact, before, match, number, ruled)
                problem = problem or broken(step)
        except Exception as error:  # whatever is raised is what we look for
            raise Broken(profile, seed, f"raised {error!r}", pressed) from error
        if problem is not None:
            raise Broken(profile, seed, problem, pressed)
        tally.commands += 1
        tally.answers[type(pressed[-1]).__name__, last.ruling.severity.value] += 1
        tally.phases[match.phase.value] += 1
    _any_facts(match, source)
    tally.sequences += 1


def _unwritten(match: Match, decision: Decision) -> str | None:
    """What an overrule or an option would write can be folded, too."""
    options = decision.proposal.options if decision.proposal is not None else ()
    for facts in (decision.otherwise, *(one.facts for one in options)):
        if engine.fold(match, facts).line != match.line + len(facts):
            return "a fact that takes no line"
    return None


def _any_facts(match: Match, source: random.Random) -> None:
    """Facts that no command gave: each becomes part of the state or a finding, nothing is raised."""
    for _ in range(2):
        match = engine.evolve(match, any_fact(source))


def many(profile: str, seeds: Iterator[int], until: float) -> Tally:
    """Play one sequence a seed until the time is over (seconds of the process clock)."""
    tally, started = Tally(answers=Counter(), phases=Counter()), time.monotonic()
    for seed in seeds:
        play(profile, seed, tally)
        if time.monotonic() >= until:
            break
    tally.seconds = time.monotonic() - started
    return tally


def report(profile: str, tally: Tally) -> str:
    """Two lines about what was played."""
    by_severity: Counter[str] = Counter()
    for (_, severity), times in tally.answers.items():
        by_severity[severity] += times
    kinds = len({name for name, severity in tally.answers if severity == "fine"})
    answers = ", ".join(f"{name} {by_severity[name]:,}" for name in sorted(by_severity))
    return (
        f"{profile}: {tally.sequences:,} sequences, {tally.commands:,} commands, {tally.written:,} facts "
        f"in {tally.seconds:.0f} s; nothing broke\n"
        f"     answers: {answers}; {kinds} kinds of command allowed at least once; "
        f"phases: {', '.join(sorted(tally.phases))}"
    )


def main() -> int:
    """Play and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.match.fuzz", description=__doc__)
    parser.add_argument("--sequences", type=int, default=1000, help="for each profile")
    parser.add_argument("--seed", type=int, default=0, help="the first seed")
    parser.add_argument("--minutes", type=float, default=600.0, help="at most, for all profiles together")
    parser.add_argument("--profile", choices=SHIPPED, action="append")
    given = parser.parse_args()
    profiles, started = given.profile or SHIPPED, time.monotonic()
    for place, profile in enumerate(profiles, 1):
        seeds = iter(range(given.seed, given.seed + given.sequences))
        try:
            tally = many(profile, seeds, started + given.minutes * 60 * place / len(profiles))
        except Broken as error:
            print(error)
            return 1
        print(report(profile, tally), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
