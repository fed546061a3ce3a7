"""What a person is told of the network: one sentence, and none for what is no fault of the network."""

from __future__ import annotations

from protocol.node_state import Contact, Finding, NodeState
from protocol.peer_state import PeerState


def contact(number: int, *, heard: bool = True, linked: bool = False, answered: bool = False) -> Contact:
    state = PeerState(
        device=bytes([number]) * 32,
        post="R1",
        linked=linked,
        last_heard=None,
        suspect=False,
        dead=False,
        offset_ms=None,
        delay_ms=None,
        lag=0,
    )
    return Contact(state, heard, answered, linked, linked, None)


def told(*contacts: Contact, finding: Finding = Finding.WORKING) -> str:
    return NodeState(5000, finding, None, contacts).sentence()


def test_a_network_that_keeps_devices_from_talking_is_named() -> None:
    assert "blocks devices" in told(contact(1), contact(2))
    assert "blocks devices" in told(contact(1), contact(2, heard=False))


def test_one_that_does_not_answer_while_others_do_is_no_fault_of_the_network() -> None:
    assert told(contact(1), contact(2, linked=True, answered=True)) == ""


def test_what_discovery_says_comes_first() -> None:
    assert "no network" in told(contact(1), finding=Finding.NO_NETWORK)
    assert "type an address" in told(contact(1, heard=False), finding=Finding.ALONE)


def test_nothing_is_told_when_nothing_is_wrong() -> None:
    assert told() == told(contact(1, answered=True)) == told(contact(1, linked=True, answered=True)) == ""
