"""How a child of the lab takes orders: one JSON array a line in, one JSON value a line out."""

from __future__ import annotations

import asyncio
import json
import os
import sys
from collections.abc import Awaitable, Callable, Mapping
from typing import Any

Order = Callable[..., Awaitable[Any]]


async def obey(orders: Mapping[str, Order]) -> None:
    """Carry out orders, one after the other, until the input ends."""
    loop = asyncio.get_running_loop()
    while line := await loop.run_in_executor(None, sys.stdin.readline):
        word, *arguments = json.loads(line)
        answer = await orders[word](*arguments)
        os.write(1, (json.dumps(answer) + "\n").encode())


async def paced(count: int, spacing: float, offset: float, act: Callable[[int], None]) -> None:
    """Do something `count` times, every `spacing` seconds, the first time after `offset`."""
    loop = asyncio.get_running_loop()
    first = loop.time() + offset
    for number in range(count):
        await asyncio.sleep(max(0.0, first + number * spacing - loop.time()))
        act(number)
