"""What can be wrong with an entry, each as a type that carries the facts."""

from __future__ import annotations


class EntryError(Exception):
    """An entry cannot be taken."""


class Malformed(EntryError):
    """The bytes are not an entry of version 1. Carries what is wrong."""

    def __init__(self, problem: str) -> None:
        super().__init__(f"Not an entry: {problem}.")
        self.problem = problem


class NewerEntry(EntryError):
    """A later version of crewlink wrote the entry; it cannot be read here. Carries version, log and place.

    Every version begins with `[version, log, seq, ...]`, so that the log can be named in the refusal.
    """

    def __init__(self, version: int, known: int, log: bytes, seq: int) -> None:
        super().__init__(
            f"A later version of crewlink wrote this (entry version {version}, this one reads {known}). "
            "Update crewlink on this device."
        )
        self.version = version
        self.log = log
        self.seq = seq


class BadSignature(EntryError):
    """The signature does not belong to the bytes and the key. Carries log and place."""

    def __init__(self, log: bytes, seq: int) -> None:
        super().__init__(f"The signature of entry {seq} in log {log.hex()[:8]} is wrong.")
        self.log = log
        self.seq = seq
