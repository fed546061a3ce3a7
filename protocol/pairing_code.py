"""The secret of a pairing: nine digits that a person types, or a ticket that a camera or a file carries.

Knows digits and text forms. Knows nothing of what is done with the secret.

The ninth digit is a check digit by the method of H. M. Damm (2004): it finds every wrong digit and every
swap of two neighbours, so a slip of the finger costs no guess.
"""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import dataclass

from protocol.address import Address, AddressError

DIGITS = 8
TICKET_SECRET_SIZE = 16
TICKET_PREFIX = "CREWLINK1"
MOST_ADDRESSES = 16

_DAMM = (
    (0, 3, 1, 7, 5, 9, 8, 6, 4, 2),
    (7, 0, 9, 2, 1, 5, 4, 8, 6, 3),
    (4, 2, 0, 6, 8, 7, 1, 3, 5, 9),
    (1, 7, 5, 0, 9, 8, 3, 4, 2, 6),
    (6, 1, 2, 3, 0, 4, 5, 9, 7, 8),
    (3, 6, 7, 4, 2, 0, 9, 5, 8, 1),
    (5, 8, 6, 9, 7, 2, 0, 1, 3, 4),
    (8, 9, 4, 5, 3, 6, 2, 0, 1, 7),
    (9, 4, 3, 8, 6, 1, 7, 2, 0, 5),
    (2, 5, 8, 1, 4, 3, 6, 7, 9, 0),
)


class CodeError(Exception):
    """What was typed or scanned cannot be a code. No guess is spent on it."""


@dataclass(frozen=True, slots=True)
class Code:
    """A typed code. `secret` is what both sides must share."""

    secret: bytes

    @classmethod
    def create(cls, random_bytes: Callable[[int], bytes]) -> Code:
        """A new code; every one of the 10**8 is as likely, but for less than one in 10**10."""
        return cls(f"{int.from_bytes(random_bytes(8), 'big') % 10**DIGITS:0{DIGITS}}".encode())

    @classmethod
    def parse(cls, text: str) -> Code:
        """Read a typed code; blanks and dashes do not matter. Errors: CodeError."""
        digits = "".join(sign for sign in text if sign not in " -\u00a0")
        if len(digits) != DIGITS + 1 or not (digits.isascii() and digits.isdigit()):
            raise CodeError(f"The code has {DIGITS + 1} digits.")
        if check_digit(digits) != 0:
            raise CodeError("One digit is not right. Look at the code again.")
        return cls(digits[:DIGITS].encode())

    def __str__(self) -> str:
        digits = self.secret.decode()
        digits += str(check_digit(digits))
        return f"{digits[:3]} {digits[3:6]} {digits[6:]}"


@dataclass(frozen=True, slots=True)
class Ticket:
    """The same as a picture or file: a secret of 128 bits and where to go."""

    secret: bytes
    addresses: tuple[Address, ...]

    @classmethod
    def create(cls, random_bytes: Callable[[int], bytes], addresses: tuple[Address, ...]) -> Ticket:
        return cls(random_bytes(TICKET_SECRET_SIZE), addresses)

    @classmethod
    def parse(cls, text: str) -> Ticket:
        """Read the text of a ticket. Errors: CodeError."""
        prefix, *parts = text.strip().split("|")
        try:
            if prefix != TICKET_PREFIX or not 2 <= len(parts) <= 1 + MOST_ADDRESSES:
                raise CodeError("This is not a crewlink ticket.")
            secret = base64.b32decode(parts[0] + "=" * (-len(parts[0]) % 8))
            addresses = tuple(Address.parse(part) for part in parts[1:])
        except (ValueError, AddressError) as error:  # no base32, or not even ASCII
            raise CodeError("The ticket is damaged. Scan it again.") from error
        if len(secret) != TICKET_SECRET_SIZE:
            raise CodeError("The ticket is damaged. Scan it again.")
        return cls(secret, addresses)

    def __str__(self) -> str:
        secret = base64.b32encode(self.secret).decode().rstrip("=")
        return "|".join((TICKET_PREFIX, secret, *map(str, self.addresses)))


def check_digit(digits: str) -> int:
    """The check digit of these digits; 0 when the last of them is the right one for those before it."""
    interim = 0
    for digit in digits:
        interim = _DAMM[interim][int(digit)]
    return interim
