"""One message out, one message in: how devices talk while one lets the other in. Knows streams and limits."""

from __future__ import annotations

import asyncio
from typing import TypeVar

import msgspec

from protocol.pairing import PairingRefused, Refusal
from protocol.pairing_wire import LONGEST_FRAME, Message, Refused, decode, encode

M = TypeVar("M", bound=Message)


async def send(writer: asyncio.StreamWriter, message: Message) -> None:
    """One message out. Errors: OSError."""
    writer.write(encode(message))
    await writer.drain()


async def receive(reader: asyncio.StreamReader, *kinds: type[M], longest: int = LONGEST_FRAME) -> M:
    """The next message, of one of these kinds. Errors: PairingRefused, EOFError, MsgspecError, OSError."""
    size = int.from_bytes(await reader.readexactly(4), "big")
    if size > longest:
        raise msgspec.ValidationError(f"a frame of {size} bytes")
    message = decode(await reader.readexactly(size))
    if isinstance(message, Refused):
        known = message.reason in {reason.value for reason in Refusal}
        raise PairingRefused(Refusal(message.reason) if known else Refusal.NEWER)
    if not isinstance(message, kinds):
        raise msgspec.ValidationError("another message was due")
    return message
