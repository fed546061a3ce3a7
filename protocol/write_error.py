"""Why a station may not write what it was asked to write. Each sentence is plain, and says what to do."""

from __future__ import annotations


class WriteError(Exception):
    """This station may not write what it was asked to write."""


class NotAdmitted(WriteError):
    """This device has no admission in this match (yet, or any more)."""

    def __init__(self) -> None:
        super().__init__("This device is not admitted to the match yet.")


class NotHolder(WriteError):
    """Another station writes the record. Carries its log, or None when the record is closed or not begun."""

    def __init__(self, holder: bytes | None) -> None:
        super().__init__("Another device writes the record.")
        self.holder = holder


class MovedOn(WriteError):
    """The record is not where the entry was meant to go. Carries the head as it is now."""

    def __init__(self, head: bytes) -> None:
        super().__init__("The record has moved on.")
        self.head = head


class NoRight(WriteError):
    """The post of this station does not allow it. Carries what was asked."""

    def __init__(self, asked: str) -> None:
        super().__init__(f"Your job does not allow this: {asked}.")
        self.asked = asked


class HolderHeard(WriteError):
    """The one who writes is in reach: ask for the pen instead of taking it."""

    def __init__(self) -> None:
        super().__init__("The one who writes is still connected. Ask there.")


class NoMajority(WriteError):
    """Too few voters are in reach. Carries how many are, and how many it takes."""

    def __init__(self, reached: int, needed: int) -> None:
        super().__init__(f"Only {reached} of the {needed} devices needed are connected.")
        self.reached = reached
        self.needed = needed


class NotReady(WriteError):
    """The record is not in the state this needs. Carries a plain sentence."""
