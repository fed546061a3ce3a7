"""Stamps against the hybrid logical clock of its paper.

Kulkarni, Demirbas, Madappa, Avva, Leone: "Logical Physical Clocks", OPODIS 2014 (LNCS 8878). All from
memory, also the numbers of sections. Section 3.2, figure "HLC algorithm for node j": the two rules below, `l`
and `c` compared as a pair. Section 3.2, theorems: e before f gives (l.e, c.e) < (l.f, c.f);
l.f >= pt.f; l.f is the highest physical clock known, so with clocks within eps of each other
l.f - pt.f <= eps. Section on compact timestamping: l in the upper 48 bits, c in the lower 16 of 64.

The paper stamps the receiving of a message as an event of its own. Here only writing makes an event, so what
is received and then written is one event: that is the paper's receive event for the highest of what came. The
paper's c has no limit in its rules; ours carries. The paper's pt is always there; here it may be missing, and
stands still then.
"""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import given
from hypothesis import strategies as st

from protocol.stamp import COUNT_BITS, StampClock, milliseconds_of, stamp_of

START, EPS = 1_700_000_000_000, 50


@dataclass
class Paper:
    """A node of the paper, with its two rules."""

    l: int = 0  # noqa: E741 - the paper's name
    c: int = 0

    def local_or_send(self, pt: int) -> tuple[int, int]:
        before, self.l = self.l, max(self.l, pt)
        self.c = self.c + 1 if self.l == before else 0
        return self.l, self.c

    def receive(self, pt: int, l_m: int, c_m: int) -> tuple[int, int]:
        before, self.l = self.l, max(self.l, l_m, pt)
        if self.l == before == l_m:
            self.c = max(self.c, c_m) + 1
        elif self.l == before:
            self.c += 1
        elif self.l == l_m:
            self.c = c_m + 1
        else:
            self.c = 0
        return self.l, self.c


def parts(stamp: int) -> tuple[int, int]:
    """Section on compact timestamping."""
    return stamp >> 16, stamp & 0xFFFF


EVENTS = st.lists(
    st.tuples(st.integers(0, 2), st.integers(-1, 2), st.integers(0, 20)),
    min_size=1,
    max_size=60,
)
"""Who acts, from whom it has just heard (-1: nobody), and how many ms have passed."""


@given(EVENTS, st.tuples(*[st.integers(0, EPS)] * 3))
def test_the_two_rules(events: list[tuple[int, int, int]], off: tuple[int, int, int]) -> None:
    """Three nodes within EPS of each other: each event is stamped as in the paper, and bounded as there."""
    paper, ours = [Paper() for _ in range(3)], [StampClock() for _ in range(3)]
    last: list[tuple[int, int] | None] = [None] * 3
    now = START
    for node, heard, passed in events:
        now += passed
        pt, message = now + off[node], last[heard] if heard >= 0 else None
        if message is not None and heard != node:
            expected = paper[node].receive(pt, *message)
            ours[node].believe(pt + EPS)
            ours[node].see((message[0] << COUNT_BITS) + message[1])
        else:
            expected = paper[node].local_or_send(pt)
        stamp = ours[node].write(pt)
        assert parts(stamp) == expected
        assert 0 <= milliseconds_of(stamp) - pt <= EPS, (
            "theorem: l.f >= pt.f, and never further ahead than eps"
        )
        last[node] = expected


@given(EVENTS)
def test_what_happened_before_has_the_lesser_stamp(events: list[tuple[int, int, int]]) -> None:
    """Theorem 1, with every chain of events followed in a vector clock; physical clocks may stand still."""
    clocks = [StampClock() for _ in range(3)]
    vectors = [[0, 0, 0] for _ in range(3)]
    made: list[tuple[list[int], int, int]] = []
    sent: list[tuple[int, list[int]] | None] = [None] * 3
    now = START
    for node, heard, passed in events:
        now += passed // 10
        message = sent[heard] if heard >= 0 else None
        if message is not None:
            clocks[node].believe(now)
            clocks[node].see(message[0])
            vectors[node] = list(map(max, vectors[node], message[1]))
        vectors[node][node] += 1
        stamp = clocks[node].write(now)
        for vector, author, earlier in made:
            if vector[author] <= vectors[node][author]:
                assert earlier < stamp
        made.append((vectors[node].copy(), node, stamp))
        sent[node] = (stamp, vectors[node].copy())


def test_a_node_that_is_ahead() -> None:
    """Section 3.2, its example of a node that is ten ahead: the others take its l and count, until theirs is
    past it. (The numbers of the run are ours.)
    """
    zero, one, two = StampClock(), StampClock(), StampClock()
    first = zero.write(10)
    made = [first]
    for node, pt in ((one, 1), (two, 2), (one, 3)):
        node.believe(10)
        node.see(made[-1])
        made.append(node.write(pt))
    assert [parts(stamp) for stamp in made] == [(10, 0), (10, 1), (10, 2), (10, 3)]
    assert parts(one.write(11)) == (11, 0), "l follows the physical clock again as soon as that is past it"


def test_the_compact_form_has_48_and_16_bits() -> None:
    assert stamp_of(1) == 2**16 and COUNT_BITS == 16
    assert parts(stamp_of(START)) == (START, 0) and stamp_of(2**47 - 1) < 2**63
