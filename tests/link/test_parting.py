"""A device that is taken out hears of it over a real link before that link ends, and can't link again."""

import asyncio
import os
import random
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from protocol.address import Address
from protocol.identity import Identity
from protocol.node import Node, wall_milliseconds
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation
from protocol.store import Store
from tests.link.crew import invite
from tests.link.parts import MATCH, Watch, identity, in_loop

SCORER, R1 = identity(11), identity(12)


@asynccontextmanager
async def at_work(
    folder: Path, own: Identity, watch: Watch, invitation: Invitation, *, dials: int = 0
) -> AsyncIterator[tuple[Node, Peer]]:
    """A real station with its file; the scorer's opens the match."""
    charter = FoundingCharter(tuple(one.device for one in invitation.members), {})
    store = Store.open(folder / f"{own.device.hex()[:8]}.sqlite", MATCH)
    peer = Peer(
        own,
        invitation,
        run=os.urandom(16),
        stored=store.load(),
        wall_ms=wall_milliseconds(),
        now=time.monotonic(),
        found=charter if own is SCORER else None,
    )
    node = Node(
        peer,
        store,
        own,
        random=random.Random(3).random,
        on_change=watch,
        manual=[Address("127.0.0.1", dials)] if dials else [],
    )
    await node.start()
    try:
        yield node, peer
    finally:
        await node.close()


def take_out(node: Node, peer: Peer) -> None:
    peer.revoke(R1.device, node.now(), node.wall_ms())
    node.touch()


def linked(peer: Peer, other: Identity) -> bool:
    state = peer.peers().get(other.device)
    return state is not None and state.linked


@in_loop
async def test_a_linked_device_is_told_and_then_shut_out(tmp_path: Path) -> None:
    watch, invitation = Watch(), invite((SCORER, R1), MATCH)
    async with (
        at_work(tmp_path, SCORER, watch, invitation) as (node, scorer),
        at_work(tmp_path, R1, watch, invitation, dials=node.port) as (_, r1),
    ):
        await watch.until(lambda: r1.log is not None and linked(scorer, R1), "linked and admitted")
        take_out(node, scorer)
        await watch.until(lambda: R1.device in r1.roster.revoked, "it was told")
        await watch.until(lambda: not linked(scorer, R1), "its link ended")
        assert scorer.members() == (SCORER.tls_cert,)


@in_loop
async def test_a_device_that_was_away_is_told_when_it_comes_back(tmp_path: Path) -> None:
    watch, invitation = Watch(), invite((SCORER, R1), MATCH)
    async with at_work(tmp_path, SCORER, watch, invitation) as (node, scorer):
        async with at_work(tmp_path, R1, watch, invitation, dials=node.port) as (_, r1):
            await watch.until(lambda: r1.log is not None and linked(scorer, R1), "linked and admitted")
        await watch.until(lambda: not linked(scorer, R1), "it is away")
        take_out(node, scorer)
        await watch.until(lambda: R1.device in scorer.roster.revoked, "taken out")
        async with at_work(tmp_path, R1, watch, invitation, dials=node.port) as (_, r1):
            await watch.until(lambda: R1.device in r1.roster.revoked, "it was told")
            await watch.until(lambda: scorer.members() == (SCORER.tls_cert,), "it may link no more")
    assert asyncio.all_tasks() == {asyncio.current_task()}
