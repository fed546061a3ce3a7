"""Who belongs to a match: members, the invitation a station is given, and the fold of the roster entries.

Knows admissions, posts, rights, revocations and their cuts. Knows nothing of the record or of sockets.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

import msgspec

from protocol.small_file import read_small, write_whole

FILE_FORMAT = "crewlink invitation 1"


class InvitationError(Exception):
    """An invitation file cannot be used. Carries the path, the problem and what to do."""

    def __init__(self, path: Path, problem: str, advice: str) -> None:
        super().__init__(f"{path}: {problem} {advice}")
        self.path = path
        self.problem = problem
        self.advice = advice


@dataclass(frozen=True, slots=True)
class Member:
    """A device and its post. Device id and Ed25519 key: 32 bytes each; TLS certificate: DER."""

    device: bytes
    sign_key: bytes
    tls_cert: bytes
    binding: bytes
    post: str


class Right(StrEnum):
    """What a post may do beyond writing free entries."""

    ADMIT = "admit"
    REVOKE = "revoke"
    TAKE = "take"
    CHOOSE = "choose"
    SIGN_OFF = "sign_off"


@dataclass(frozen=True, slots=True)
class Post:
    """A post label and its rights."""

    label: str
    rights: frozenset[Right] = frozenset()


CREW_POSTS = (
    Post("R1", frozenset(Right)),
    Post("R2", frozenset({Right.ADMIT, Right.REVOKE, Right.TAKE, Right.CHOOSE})),
    Post("scorer", frozenset({Right.ADMIT, Right.REVOKE, Right.TAKE})),
    Post("assistant", frozenset({Right.TAKE})),
    Post("site"),
)
"""Posts from the highest to the lowest, as a match is opened with unless its charter says otherwise."""


@dataclass(frozen=True, slots=True)
class FoundingCharter:
    """What the opener founds a match with.

    `voters`: device ids that decide who writes. `charter`: whatever the floor above needs to fold the match
    (plain values). `fold`: version of that floor's fold. `posts`: from the highest to the lowest.
    """

    voters: tuple[bytes, ...]
    charter: dict[str, object]
    fold: int = 1
    posts: tuple[Post, ...] = CREW_POSTS


@dataclass(frozen=True, slots=True)
class Invitation:
    """What a station knows before it holds an entry: match (16 bytes), who may open it, whom to trust."""

    match: bytes
    opener: bytes
    members: tuple[Member, ...]

    def member(self, device: bytes) -> Member | None:
        return next((member for member in self.members if member.device == device), None)

    def save(self, path: Path) -> None:
        """Write as JSON, bytes in hex. Errors: InvitationError."""
        members = [
            _StoredMember(
                device=member.device.hex(),
                sign_key=member.sign_key.hex(),
                tls_cert=member.tls_cert.hex(),
                binding=member.binding.hex(),
                post=member.post,
            )
            for member in self.members
        ]
        stored = _Stored(
            format=FILE_FORMAT, match=self.match.hex(), opener=self.opener.hex(), members=members
        )
        try:
            write_whole(path, json.dumps(msgspec.to_builtins(stored), indent=1).encode())
        except OSError as error:
            raise InvitationError(
                path, f"Cannot be written ({error.strerror}).", "Check the folder and the disk."
            ) from error

    @classmethod
    def load(cls, path: Path) -> Invitation:
        """Read and check an invitation file. Errors: InvitationError."""
        try:
            raw = read_small(path)
        except FileNotFoundError as error:
            raise InvitationError(
                path, "No invitation here.", "Ask the opener of the match for the file."
            ) from error
        except OSError as error:
            raise InvitationError(
                path, f"Cannot be read ({error.strerror}).", "Check who owns the file."
            ) from error
        return _decode(raw, path)


class _StoredMember(msgspec.Struct, frozen=True):
    device: str
    sign_key: str
    tls_cert: str
    binding: str
    post: str


class _Stored(msgspec.Struct, frozen=True):
    format: str
    match: str
    opener: str
    members: list[_StoredMember]


def _decode(raw: bytes, path: Path) -> Invitation:
    damaged = InvitationError(path, "The invitation is damaged.", "Ask the opener of the match for it again.")
    try:
        stored = msgspec.json.decode(raw, type=_Stored)
        if stored.format != FILE_FORMAT:
            raise InvitationError(
                path, "Another version of crewlink made this invitation.", "Update crewlink on this device."
            )
        invitation = Invitation(
            _bytes(stored.match, 16),
            _bytes(stored.opener, 32),
            tuple(_member(member) for member in stored.members),
        )
    except (ValueError, RecursionError) as error:
        raise damaged from error
    if len({member.device for member in invitation.members}) != len(invitation.members):
        raise damaged
    return invitation  # the opener's device may have been taken out since: then it is no member any more


def _member(stored: _StoredMember) -> Member:
    member = Member(
        _bytes(stored.device, 32),
        _bytes(stored.sign_key, 32),
        bytes.fromhex(stored.tls_cert),
        bytes.fromhex(stored.binding),
        stored.post,
    )
    if hashlib.sha256(member.sign_key).digest() != member.device:
        raise ValueError("device id and key differ")
    return member


def _bytes(text: str, size: int) -> bytes:
    value = bytes.fromhex(text)
    if len(value) != size:
        raise ValueError("wrong size")
    return value
