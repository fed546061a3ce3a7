"""Each planted fault is found, by an invariant that it is known to break."""

from __future__ import annotations

import pytest

from protocol import acts
from protocol.entry import Kind
from tests.protocol.story import ASSISTANT, R1, R2, SCORER, Story
from tests.sim import plants
from tests.sim.broken import Broken
from tests.sim.planted import PLANTED, Planted
from tests.sim.profile import drawn
from tests.sim.run import play


@pytest.mark.slow
@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.name)
def test_a_planted_fault_is_found(planted: Planted) -> None:
    fault, seeds = hunt(planted)
    assert fault is not None, f"not found in {planted.within} seeds"
    assert isinstance(fault, Broken), f"found by an accident: {fault!r}"
    assert fault.invariant in planted.breaks, str(fault)
    print(f"{planted.name}: {seeds} seeds, {fault}")


def hunt(planted: Planted) -> tuple[Exception | None, int]:
    """The first fault that shows, and after how many seeds."""
    for seed in range(planted.start, planted.start + planted.within):
        with planted.plant():
            _, fault = play(seed, drawn(seed, planted.profiles))
        if fault is not None:
            return fault, seed + 1 - planted.start
    return None, planted.within


def test_a_taker_that_cuts_at_its_own_head_is_found_by_the_fold() -> None:
    """Too rare for a hunt: what a voter holds is on its way to the taker before its vote is."""
    story = Story()
    head = story.record(SCORER, story.root, story.root, 0)
    longer = story.record(SCORER, story.root, head, 1)
    take = story.say(R2, Kind.PEN, acts.TAKE, head, epoch=story.root, round=1).id
    votes = [
        story.vote(who, take, story.root, 1, at)
        for who, at in ((R2, head), (R1, longer), (ASSISTANT, longer))
    ]
    story.open(R2, story.root, head, acts.CERTIFIED, take=take, votes=votes)
    assert story.standing().head == longer
    with plants.cut_at_own_head():
        assert story.standing().head == head
