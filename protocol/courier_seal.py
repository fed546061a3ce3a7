"""Sealing and opening datagrams: keys agreed over TLS, one for each direction, and no datagram opened twice.

Knows keys, counters, windows and how long a key lives. Knows nothing of what a datagram says or when it goes.

- Each side sends 32 random bytes (its *share*) over TLS. key, id = HKDF-SHA-256(salt = SALT, both shares, the
  lower device id's first; info = sender's device id + receiver's), 32 + 8 bytes.
- A datagram = version (1) + key id (8) + counter (8, big-endian, from 1) + ChaCha20-Poly1305 of the words,
  nonce = 4 zero bytes + counter, the 17 bytes in front authenticated with it.
- A station opens with a new key at once, and seals with it only after the other has named it over TLS. An
  older key opens for 10 s after the first datagram under a newer one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

RandomBytes = Callable[[int], bytes]

VERSION = 1
SALT = b"crewlink courier 1\0"
SHARE_SIZE = 32
KEY_ID_SIZE = 8
HEADER_SIZE = 1 + KEY_ID_SIZE + 8
TAG_SIZE = 16
MAX_DATAGRAM = 1200
WINDOW = 1024
OLD_KEY_SECONDS = 10.0
MOST_KEYS = 4
MOST_REPEATS = 5
UNLINKED_SECONDS = 600.0
"""So long after the last word over TLS the keys of a device are forgotten."""


@dataclass(frozen=True, slots=True)
class Shared:
    """What one side says of its keys over TLS. `opens`: id of the key that it opens with, once it has one;
    `seals`: whether it seals with the key that the other has named."""

    share: bytes
    opens: bytes | None
    seals: bool


@dataclass(frozen=True, slots=True)
class Opened:
    """An authentic datagram that had not come before."""

    device: bytes
    counter: int
    words: bytes


def derive(sender: bytes, receiver: bytes, sender_share: bytes, receiver_share: bytes) -> tuple[bytes, bytes]:
    """Id (8 bytes) and key (32 bytes) of the datagrams from one device to another."""
    shares = [sender_share, receiver_share] if sender < receiver else [receiver_share, sender_share]
    made = HKDF(SHA256(), 32 + KEY_ID_SIZE, SALT, sender + receiver).derive(b"".join(shares))
    return made[32:], made[:32]


def nonce(counter: int) -> bytes:
    """The nonce of one datagram under its key."""
    return bytes(4) + counter.to_bytes(8, "big")


@dataclass(slots=True)
class Window:
    """Which counters have been opened: the highest, and the 1,024 up to it."""

    highest: int = 0
    seen: int = 0

    def is_new(self, counter: int) -> bool:
        if counter > self.highest:
            return True
        back = self.highest - counter
        return counter > 0 and back < WINDOW and not self.seen >> back & 1

    def take(self, counter: int) -> None:
        if counter > self.highest:
            self.seen = (self.seen << min(WINDOW, counter - self.highest) | 1) & ((1 << WINDOW) - 1)
            self.highest = counter
        else:
            self.seen |= 1 << self.highest - counter


@dataclass(slots=True)
class _Opening:
    """A key to open with. `until`: when it ends, once a newer one is in use."""

    device: bytes
    cipher: ChaCha20Poly1305
    window: Window = field(default_factory=Window)
    until: float | None = None


@dataclass(slots=True)
class _Ring:
    """The keys with one device. The counter goes on over all keys, so none ever sees a nonce twice."""

    mine: bytes
    theirs: bytes | None = None
    opens: bytes | None = None  # id of the key that is opened with now
    agreed: tuple[bytes, bytes] | None = None  # id and key to seal with, as soon as the other names it
    sealing: tuple[bytes, ChaCha20Poly1305] | None = None
    counter: int = 0
    repeats: int = 0  # how often our share was said again
    opening: list[bytes] = field(default_factory=list)  # ids, oldest first


class Seals:
    """The keys of one station with all others, in one process run. Times are our monotonic seconds.

    `heard`: when a device last said something over TLS.
    """

    def __init__(self, own: bytes, random_bytes: RandomBytes, heard: Callable[[bytes], float | None]) -> None:
        self._own = own
        self._random = random_bytes
        self._heard = heard
        self._rings: dict[bytes, _Ring] = {}
        self._by_id: dict[bytes, _Opening] = {}

    # -- agreeing over TLS ------------------------------------------------------------------------------

    def begin(self, device: bytes) -> None:
        """A new link: a new share, and so a new key. The old one is used until the new one is named."""
        share = self._random(SHARE_SIZE)
        ring = self._rings.get(device)
        if ring is None:
            self._rings[device] = _Ring(share)
        else:
            ring.mine, ring.theirs, ring.agreed, ring.repeats = share, None, None, 0

    def shared(self, device: bytes) -> Shared | None:
        """What to say of our keys over TLS; None before `begin`."""
        ring = self._rings.get(device)
        if ring is None:
            return None
        opens = ring.opens if ring.theirs is not None else None
        return Shared(ring.mine, opens, self.settled(device))

    def again(self, device: bytes) -> Shared | None:
        """What to say once more while no key is settled; a few times only, the other may not know how."""
        ring = self._rings.get(device)
        if ring is None:  # the link is older than these keys
            self.begin(device)
        elif self.settled(device) or ring.repeats >= MOST_REPEATS:
            return None
        ring = self._rings[device]
        ring.repeats += 1
        return self.shared(device)

    def settled(self, device: bytes) -> bool:
        """Whether we seal with the newest key."""
        ring = self._rings.get(device)
        if ring is None or ring.agreed is None or ring.sealing is None:
            return False
        return ring.sealing[0] == ring.agreed[0]

    def hear(self, device: bytes, said: Shared) -> bool:
        """What the other said of its keys over TLS; True when it needs an answer."""
        ring = self._rings.get(device)
        if ring is None:
            return False
        fresh = said.share != ring.theirs
        if fresh:
            ring.theirs = said.share
            ring.agreed = derive(self._own, device, ring.mine, said.share)
            ring.opens, key = derive(device, self._own, said.share, ring.mine)
            self._open_with(device, ring, ring.opens, key)
        if ring.agreed is not None and said.opens == ring.agreed[0] and not self.settled(device):
            ring.sealing = (ring.agreed[0], ChaCha20Poly1305(ring.agreed[1]))
        return fresh or not said.seals

    def _open_with(self, device: bytes, ring: _Ring, key_id: bytes, key: bytes) -> None:
        if key_id in self._by_id:
            return
        ring.opening.append(key_id)
        self._by_id[key_id] = _Opening(device, ChaCha20Poly1305(key))
        while len(ring.opening) > MOST_KEYS:
            del self._by_id[ring.opening.pop(0)]

    # -- forgetting -------------------------------------------------------------------------------------

    def forget(self, device: bytes) -> None:
        """Drop all keys with a device: it was taken out."""
        ring = self._rings.pop(device, None)
        for key_id in ring.opening if ring else ():
            del self._by_id[key_id]

    def forget_all(self) -> None:
        """Drop all keys: this device slept, or ends."""
        self._rings.clear()
        self._by_id.clear()

    def devices(self) -> tuple[bytes, ...]:
        return tuple(self._rings)

    def _stale(self, device: bytes, now: float) -> bool:
        heard = self._heard(device)
        if heard is not None and now - heard <= UNLINKED_SECONDS:
            return False
        self.forget(device)
        return True

    # -- datagrams --------------------------------------------------------------------------------------

    def can_seal(self, device: bytes, now: float) -> bool:
        ring = self._rings.get(device)
        return ring is not None and ring.sealing is not None and not self._stale(device, now)

    def seal(self, device: bytes, words: bytes) -> tuple[int, bytes]:
        """Counter and bytes of a datagram. Only after `can_seal`."""
        ring = self._rings[device]
        assert ring.sealing is not None
        key_id, cipher = ring.sealing
        ring.counter += 1
        header = bytes([VERSION]) + key_id + ring.counter.to_bytes(8, "big")
        return ring.counter, header + cipher.encrypt(nonce(ring.counter), words, header)

    def open(self, datagram: bytes, now: float) -> Opened | None:
        """The words of an authentic datagram, the first time it comes; None for anything else."""
        if not HEADER_SIZE + TAG_SIZE < len(datagram) <= MAX_DATAGRAM or datagram[0] != VERSION:
            return None
        opening = self._by_id.get(datagram[1 : 1 + KEY_ID_SIZE])
        if opening is None or (opening.until is not None and now > opening.until):
            return None
        counter = int.from_bytes(datagram[1 + KEY_ID_SIZE : HEADER_SIZE], "big")
        if not opening.window.is_new(counter) or self._stale(opening.device, now):
            return None
        header, sealed = datagram[:HEADER_SIZE], datagram[HEADER_SIZE:]
        try:
            words = opening.cipher.decrypt(nonce(counter), sealed, header)
        except InvalidTag:
            return None
        opening.window.take(counter)
        self._end_older(opening.device, datagram[1 : 1 + KEY_ID_SIZE], now)
        return Opened(opening.device, counter, words)

    def _end_older(self, device: bytes, key_id: bytes, now: float) -> None:
        """The other seals with this key: those before it are open a moment longer, for what is on its way."""
        for old in self._rings[device].opening:
            if old == key_id:
                return
            if self._by_id[old].until is None:
                self._by_id[old].until = now + OLD_KEY_SECONDS
