"""What is kept of the notices from one moment to the next is what reading everything afresh gives.

A crew goes through a storm (see `test_storm`); at every look of every station both are worked out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeAlias

import pytest

from crewlink import present
from crewlink.crew.life import Moment
from crewlink.crew.notice import Notice
from crewlink.crew.outlook import Outlook, look
from tests.crew.test_storm import Storm

Look: TypeAlias = Callable[[Outlook, Mapping[bytes, Notice], Moment, tuple[object, ...]], Outlook]
ACTS = 60


class Watched:
    """Looks as a station does, and afresh. `wrong`: where the two differed; `kept`: readings used again."""

    def __init__(self, kept_look: Look = look) -> None:
        self.wrong: list[tuple[Outlook, Outlook]] = []
        self.kept = self.afresh = 0
        self._look = kept_look

    def __call__(
        self, before: Outlook, notices: Mapping[bytes, Notice], moment: Moment, rests_on: tuple[object, ...]
    ) -> Outlook:
        after = self._look(before, notices, moment, rests_on)
        fresh = look(Outlook(), notices, moment, rests_on)
        if _shown(after) != _shown(fresh):
            self.wrong.append((after, fresh))
        same = sum(before.readings.get(id_) is one for id_, one in after.readings.items())
        self.kept += same
        self.afresh += len(after.readings) - same
        return after


def _shown(outlook: Outlook) -> tuple[object, ...]:
    """All that others read of an outlook. When an ended notice next changes says nothing: it never does."""
    return (dict(outlook.states), outlook.live, outlook.steps, outlook.until)


def storm(watched: Watched, seed: int, patch: pytest.MonkeyPatch) -> None:
    patch.setattr(present, "look", watched)
    crew = Storm(seed)
    for _ in range(ACTS):
        crew.act()
        if crew.random.random() < 0.25:
            crew.trouble()


@pytest.mark.parametrize("seed", range(6))
def test_what_is_kept_equals_what_is_read_afresh(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    watched = Watched()
    storm(watched, seed, monkeypatch)
    assert not watched.wrong, watched.wrong[0]
    assert watched.kept > watched.afresh > 0, "most readings are kept, and some are not"


def _never_again(
    before: Outlook, notices: Mapping[bytes, Notice], moment: Moment, _rests_on: tuple[object, ...]
) -> Outlook:
    """As if readings rested on the notices alone."""
    return look(before, notices, moment, ())


def test_a_look_that_forgets_what_readings_rest_on_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    watched = Watched(_never_again)
    storm(watched, 0, monkeypatch)
    assert watched.wrong
