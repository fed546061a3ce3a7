"""Whether a script that was read can be played: a set-up for every run, players on the lists, known words."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from msgspec import UNSET, Struct

from crewlink.crew.kinds import all_kinds
from crewlink.match.beginning import SetupError, begin
from crewlink.match.setup import MatchSetup
from crewlink.match.start_check import strangers
from crewlink.match.teams import Team
from crewlink.rules.format import FormatError
from crewlink.rules.loading import ProfileError
from crewlink.script.codes import FINDINGS, OWED, RULINGS
from crewlink.script.expectations import Expect, ExpectProposal
from crewlink.script.format import Run, Script
from crewlink.script.steps.corrections import UnlistedPlayer
from crewlink.script.steps.crew import RaiseNotice


class Unplayable(Struct, frozen=True):
    """What can't be played: the place in the script ("run 1, overrides") and the reason."""

    place: str
    reason: str


def problems(script: Script) -> Iterator[Unplayable]:
    """All that keeps the runs of a script from being played."""
    for number, run in enumerate(script.runs, 1):
        for profile in run.profiles:
            yield from _set_up(script, run, f"run {number}", profile)
        yield from _unknown_words(run, f"run {number}")


def _set_up(script: Script, run: Run, where: str, profile: str) -> Iterator[Unplayable]:
    setup = script.setup(run, profile)
    try:
        begin(setup)
    except SetupError as error:
        under = f" (under {profile})" if error.place.startswith("start") else ""
        yield Unplayable(_placed(run, where, error.place), f"{error}{under}")
    except FormatError as error:
        yield Unplayable(_placed(run, where, f"format, {error.option}"), error.problem)
    except ProfileError as error:
        yield Unplayable(f"{where}, overrides", error.problem)
    else:
        yield from _strangers(run, where, setup)


def _placed(run: Run, where: str, place: str) -> str:
    """A place in a set-up as a place in the script: a start, format or teams of its own stand in the run."""
    part = place.split(",")[0]
    own = getattr(run, part, None) is not None if part in ("start", "format", "teams") else True
    return ", ".join(one for one in (where if own else "", place) if one)


def _strangers(run: Run, where: str, setup: MatchSetup) -> Iterator[Unplayable]:
    """Players at the start who are on no list, but for those that a step of the run finds there."""
    if setup.start is None:
        return
    found: set[tuple[Team, int]] = {
        (step.team, step.player) for step in run.steps if isinstance(step, UnlistedPlayer)
    }
    for team, number, fault in strangers(
        begin(MatchSetup(team_a=setup.team_a, team_b=setup.team_b)), setup.start
    ):
        if (team, number) not in found:
            yield Unplayable(_placed(run, where, f"start, {fault.place}"), fault.reason)


def _unknown_words(run: Run, where: str) -> Iterator[Unplayable]:
    kinds = all_kinds()
    for number, step in enumerate(run.steps, 1):
        place, expect = f"{where}, step {number}", step.expect
        named = [(f"{place}, kind", step.kind)] if isinstance(step, RaiseNotice) else []
        if expect is not None and expect.notices is not UNSET:
            named += [(f"{place}, expect, notices, kind", notice.kind) for notice in expect.notices]
        if expect is not None and expect.open_notices is not UNSET:
            named += [(f"{place}, expect, open_notices", kind) for kind in expect.open_notices]
        for at, kind in named:
            if kind not in kinds:
                yield Unplayable(at, f'no such kind of notice: "{kind}"; kinds are {", ".join(kinds)}')
        if expect is not None:
            yield from _unknown_codes(expect, f"{place}, expect")


def _unknown_codes(expect: Expect, place: str) -> Iterator[Unplayable]:
    """Codes that no answer, finding or duty bears: nothing could ever be as expected."""
    named: list[tuple[str, str, frozenset[str]]] = []
    if expect.ruling is not UNSET:
        named.append(("ruling", expect.ruling, RULINGS))
    if isinstance(expect.proposal, ExpectProposal):
        given = (expect.proposal.subject, expect.proposal.suggested, *expect.proposal.options)
        named += [("proposal", code, RULINGS) for code in given if code is not UNSET]
    if expect.findings is not UNSET:
        named += [("findings", code, FINDINGS) for code in expect.findings]
    if expect.owed is not UNSET:
        named += [("owed", code, OWED) for code in expect.owed]
    for field, code, known in named:
        if code not in known:
            near = get_close_matches(code, sorted(known), 3, 0.5) or sorted(known)
            yield Unplayable(
                f"{place}, {field}", f'no such code: "{code}"; near it: {", ".join(near)} (all: README.md)'
            )
