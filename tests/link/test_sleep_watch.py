"""A sleep is noticed on every kind of device, and nothing else is taken for one."""

from __future__ import annotations

import asyncio

import pytest

from protocol import sleep_watch

Step = tuple[float, float]  # seconds that the monotonic clock, and the wall clock, went on between two looks


def woken(monkeypatch: pytest.MonkeyPatch, steps: list[Step]) -> int:
    at = [100.0, 1_700_000_000.0]
    left, calls = list(steps), []

    async def look(_seconds: float) -> None:
        if not left:
            raise asyncio.CancelledError
        at[0] += left[0][0]
        at[1] += left.pop(0)[1]

    monkeypatch.setattr(sleep_watch.asyncio, "sleep", look)
    watch = sleep_watch.watch_for_sleep(lambda: at[0], lambda: int(at[1] * 1000), lambda: calls.append(1))
    with pytest.raises(asyncio.CancelledError):
        asyncio.run(watch)
    return len(calls)


@pytest.mark.parametrize(
    ("step", "what"),
    [
        ((1.0, 31.0), "asleep; the monotonic clock stood still"),
        ((31.0, 31.0), "asleep; it ran on"),
        ((1.0, 3601.0), "set forward"),
        ((1.0, -3599.0), "set back"),
    ],
)
def test_a_sleep_or_a_set_clock_is_noticed_once(
    monkeypatch: pytest.MonkeyPatch, step: Step, what: str
) -> None:
    assert woken(monkeypatch, [(1.0, 1.0), step, (1.0, 1.0), (1.01, 0.99)]) == 1, what


def test_a_busy_machine_does_not_sleep(monkeypatch: pytest.MonkeyPatch) -> None:
    assert woken(monkeypatch, [(1.0, 1.0), (3.5, 3.5), (1.0, 1.2), (2.0, 1.1)]) == 0
