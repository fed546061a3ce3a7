"""The record as a tree, and which branch of it counts.

Knows nodes (openings of epochs, record entries, seals) and the order of branches at a node. Knows nothing of
how a node comes to be valid, of the roster or of the wire.

At every node the child counts whose branch has, in this order: the higher seal inside it; the higher choice
inside it; the higher round of certificates that left the node's epoch; any certificate inside it; the
stronger first step; the greater length; the greater id.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import IntEnum

from protocol.entry import Entry


class Step(IntEnum):
    """How a branch begins, from the weakest to the strongest."""

    REVOKED = 0  # past the cut of a revocation
    FORCED = 1  # forced, or opened by the holder's own next run: nobody was asked
    PLAIN = 2  # the writer writes on
    GRANT = 3
    CERTIFIED = 4
    CHOSEN = 5


@dataclass(frozen=True, slots=True)
class Epoch:
    """A span in which one log holds the pen. `id`: the entry that opened it.

    `holder`: log id. `voters`: device ids. `firm`: what is written in it can be said to stand. `left`: the
    epoch that was left. `round`: of the certificate, 0 without one. `start`: the head it began on.
    """

    id: bytes
    holder: bytes
    voters: tuple[bytes, ...]
    firm: bool
    step: Step
    start: bytes
    left: bytes | None = None
    round: int = 0

    @property
    def majority(self) -> int:
        return len(self.voters) // 2 + 1


@dataclass(slots=True, eq=False)
class Node:
    """One place of the tree. `head` and `count`: last record entry up to here, and how many there are.

    `rests_on`: entries outside the tree without which it would not hold (take and votes, a sign-off).
    """

    entry: Entry
    parent: Node | None
    epoch: Epoch
    head: bytes
    count: int
    step: Step
    is_record: bool = False
    seal: tuple[int, bytes] = (0, b"")
    choice: tuple[int, int, bytes] = (0, 0, b"")
    rests_on: tuple[Entry, ...] = ()
    children: list[Node] = field(default_factory=list)
    weight: Weight | None = None

    @property
    def is_seal(self) -> bool:
        return self.seal[0] > 0


@dataclass(slots=True, eq=False)
class Weight:
    """What the branch that begins at a node contains, and its best child."""

    seal: tuple[int, bytes]
    choice: tuple[int, int, bytes]
    rounds: dict[bytes, int]
    certified: bool
    length: int
    best: Node | None


_Key = tuple[tuple[int, bytes], tuple[int, int, bytes], int, bool, Step, int, bytes]


def counted_path(root: Node, nodes: Sequence[Node]) -> list[Node]:
    """The branch that counts, from the root on. `nodes`: the whole tree, parents before children."""
    for node in reversed(nodes):
        node.weight = _weigh(node)
    path = [root]
    while (best := _weight(path[-1]).best) is not None:
        path.append(best)
    return path


def _weigh(node: Node) -> Weight:
    rounds: dict[bytes, int] = {}
    if len(node.children) == 1:
        only = node.children[0]
        best: Node | None = only
        inside = _weight(only)
        rounds = inside.rounds  # shared on purpose: it is copied before it is changed
        seal, choice, certified = inside.seal, inside.choice, inside.certified
    else:
        best = max(node.children, key=lambda child: _key(child, node), default=None)
        weights = [_weight(child) for child in node.children]
        seal = max((weight.seal for weight in weights), default=(0, b""))
        choice = max((weight.choice for weight in weights), default=(0, 0, b""))
        certified = any(weight.certified for weight in weights)
        rounds = _merged(weight.rounds for weight in weights)
    if node.epoch.id == node.entry.id and node.epoch.step is Step.CERTIFIED:
        assert node.epoch.left is not None
        rounds = _merged((rounds, {node.epoch.left: node.epoch.round}))
        certified = True
    length = (_weight(best).length if best else 0) + node.is_record
    return Weight(max(seal, node.seal), max(choice, node.choice), rounds, certified, length, best)


def _key(child: Node, parent: Node) -> _Key:
    weight = _weight(child)
    return (
        weight.seal,
        weight.choice,
        weight.rounds.get(parent.epoch.id, 0),
        weight.certified,
        child.step,
        weight.length,
        child.entry.id,
    )


def _merged(parts: Iterable[dict[bytes, int]]) -> dict[bytes, int]:
    merged: dict[bytes, int] = {}
    for part in parts:
        for epoch, number in part.items():
            merged[epoch] = max(number, merged.get(epoch, 0))
    return merged


def _weight(node: Node) -> Weight:
    assert node.weight is not None
    return node.weight
