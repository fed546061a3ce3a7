"""Each planted fault is found, by an invariant that it is known to break."""

from __future__ import annotations

import pytest

from protocol import acts
from protocol.entry import Kind
from tests.protocol.story import ASSISTANT, R1, R2, SCORER, Story
from tests.sim import plants
from tests.sim.hunt import hunt
from tests.sim.planted import PLANTED, Planted


@pytest.mark.slow
@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.name)
def test_a_planted_fault_is_found(planted: Planted) -> None:
    found = hunt(planted)
    assert found.wrong(planted) is None, found.wrong(planted)
    print(f"{planted.name}: {found.seeds} seeds, {found.fault}")


def test_a_taker_that_cuts_at_its_own_head_is_found_by_the_fold() -> None:
    """The hunt finds the taker; and the fold sees through it wherever it has both branches."""
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
