"""The event pass: what is in it, who may use it when, and the site's door over real sockets."""

from __future__ import annotations

import base64
import hashlib
import random
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.address import Address
from protocol.event_pass import LONGEST_EVENT, PREFIX, EventPass, PassError
from protocol.identity import SIGNATURE_SIZE
from protocol.pairing import PairingRefused, Refusal
from protocol.pairing_shell import PairingFailed, admission_of
from protocol.pairing_wire import Admission
from protocol.roster import Invitation, Member
from protocol.site_door import Introduced, SiteDoor, introduce
from tests.link.parts import MATCH, identity, in_loop

SITE, COURT, OTHER = (identity(n) for n in range(80, 83))
ENDS = 2_000_000_000
AT = (Address("192.168.1.9", 5100), Address("10.0.0.9", 5100))


def made(*, event: str = "Spring Cup", own: int = 80, seed: int = 1) -> EventPass:
    return EventPass.create(identity(own), AT, event, ENDS, random.Random(seed).randbytes)


PASS = made()


def test_a_pass_holds_what_a_court_needs() -> None:
    read = EventPass.parse(PASS.text)
    assert read == PASS
    assert read.site == Member(SITE.device, SITE.public_key, SITE.tls_cert, SITE.binding, "site")
    assert (read.addresses, read.event, read.expires) == (AT, "Spring Cup", ENDS)
    assert set(PASS.text) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789:")  # the small alphabet of a square
    assert EventPass.parse(f"  {PASS.text[:500]}\n {PASS.text[500:]}\n") == PASS


def test_wrong_event_and_old_pass_are_told_in_one_sentence() -> None:
    PASS.check(ENDS - 1, "spring  cup")
    PASS.check(ENDS - 1, "")
    with pytest.raises(PassError) as wrong:
        PASS.check(ENDS - 1, "Autumn Cup")
    assert str(wrong.value) == "This pass is for “Spring Cup”; this court plays for “Autumn Cup”."
    with pytest.raises(PassError) as old:
        PASS.check(ENDS, "Spring Cup")
    assert str(old.value) == "The pass is too old. Ask the supervisor for a new one."


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "This is no event pass."),
        ("CREWLINK1|MFRGG|10.0.0.1:1", "This is no event pass."),
        ("CREWPASS2:AAAA", "A later version of crewlink made this pass. Update crewlink."),
        (f"{PREFIX}:", "The pass is damaged. Scan it or copy it again."),
        (f"{PREFIX}:???", "The pass is damaged. Scan it or copy it again."),
        (PASS.text[:-9], "Someone has changed this pass. Ask the supervisor for a new one."),
        (PASS.text + "A" * 8, "Someone has changed this pass. Ask the supervisor for a new one."),
        ("A" * 100_000, "This is no event pass: it is too long."),
        (f"{PREFIX}:" + "A" * 5000, "The pass is damaged. Scan it or copy it again."),
    ],
)
def test_what_is_no_pass_is_named(text: str, sentence: str) -> None:
    with pytest.raises(PassError) as caught:
        EventPass.parse(text)
    assert str(caught.value) in (sentence, "The pass is damaged. Scan it or copy it again.")


@given(st.integers(0, 10**6), st.integers(1, 255))
def test_no_byte_of_a_pass_can_be_changed(place: int, by: int) -> None:
    packed = bytearray(_packed(PASS))
    packed[place % len(packed)] ^= by
    with pytest.raises(PassError):
        EventPass.parse(f"{PREFIX}:{base64.b32encode(packed).decode().rstrip('=')}")


@given(st.binary(max_size=700))
def test_any_bytes_are_refused_in_words(noise: bytes) -> None:
    with pytest.raises(PassError):
        EventPass.parse(f"{PREFIX}:{base64.b32encode(noise).decode().rstrip('=')}")


def test_a_pass_signed_by_someone_else_is_refused() -> None:
    body, other = _packed(PASS)[:-SIGNATURE_SIZE], _packed(made(own=82))
    forged = body + other[-SIGNATURE_SIZE:]
    with pytest.raises(PassError, match="Someone has changed this pass"):
        EventPass.parse(f"{PREFIX}:{base64.b32encode(forged).decode().rstrip('=')}")


def test_an_event_needs_a_name() -> None:
    for event in ("", " ", "x" * (LONGEST_EVENT + 1)):
        with pytest.raises(PassError, match="An event's name has 1 to"):
            made(event=event)
    assert made(event=" Spring\tCup\x00 ").event == "Spring Cup"


def _packed(one: EventPass) -> bytes:
    text = one.text.partition(":")[2]
    return base64.b32decode(text + "=" * (-len(text) % 8))


def test_a_pass_stays_readable_by_other_versions() -> None:
    """From these keys and random bytes exactly this text, and this proof."""
    assert hashlib.sha256(PASS.text.encode()).hexdigest()[:16] == "742dd74ac68d18e9"
    assert PASS.proof(admission()).hex()[:16] == "85521f52e4406f11"


# The door.


@dataclass
class Site:
    """A site that notes who came, and answers with a port or a refusal."""

    passes: list[EventPass]
    came: list[Introduced] = field(default_factory=list)
    full: bool = False
    now: float = ENDS - 100.0

    async def place(self, court: Introduced) -> int:
        if self.full:
            raise PairingRefused(Refusal.FULL)
        self.came.append(court)
        return 4100 + len(self.came)


@asynccontextmanager
async def door(site: Site, own: int = 80) -> AsyncIterator[list[Address]]:
    opened = SiteDoor(identity(own), lambda: site.passes, site.place, wall=lambda: site.now)
    await opened.start()
    try:
        yield [Address("127.0.0.1", opened.port)]
    finally:
        await opened.close()


def admission(*, with_site: bool = True) -> Admission:
    members = [Member(COURT.device, COURT.public_key, COURT.tls_cert, COURT.binding, "scorer")]
    members += [PASS.site] if with_site else []
    return admission_of(Invitation(MATCH, COURT.device, tuple(members)), 4050)


@in_loop
async def test_a_court_with_a_pass_is_placed() -> None:
    site = Site([made(seed=2), PASS])
    async with door(site) as at:
        assert await introduce(at, PASS, COURT, admission()) == Address("127.0.0.1", 4101)
    [court] = site.came
    assert (court.invitation.match, court.court, court.event) == (
        MATCH,
        Address("127.0.0.1", 4050),
        "Spring Cup",
    )


@in_loop
async def test_unknown_old_and_unfit_passes_are_refused() -> None:
    site = Site([made(seed=2)])
    async with door(site) as at:
        await refused(at, Refusal.UNKNOWN_PASS)
        site.passes.append(PASS)
        site.now = ENDS
        await refused(at, Refusal.OLD_PASS)
        site.now = ENDS - 1.0
        await refused(at, Refusal.BAD_CREDENTIALS, with_site=False)
        site.full = True
        await refused(at, Refusal.FULL)
    assert site.came == []


async def refused(at: list[Address], reason: Refusal, *, with_site: bool = True) -> None:
    with pytest.raises(PairingRefused) as caught:
        await introduce(at, PASS, COURT, admission(with_site=with_site))
    assert caught.value.reason is reason


@in_loop
async def test_another_device_in_place_of_the_site_learns_nothing() -> None:
    """It stands at the site's address with keys of its own: the court tells it no word."""
    site = Site([PASS])
    async with door(site, own=82) as at:
        with pytest.raises(PairingFailed):
            await introduce(at, PASS, COURT, admission())
    assert site.came == []
