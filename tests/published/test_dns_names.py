"""What we announce, against the rules for names and TXT records.

Sources, each named at its check: RFC 6763 (DNS-Based Service Discovery, February 2013), RFC 6335 (service
names and ports, August 2011), RFC 1035 (domain names, November 1987), RFC 1123 (requirements for hosts,
October 1989), RFC 6762 (multicast DNS, February 2013). Limits and grammar are from memory of those texts.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from zeroconf.asyncio import AsyncServiceInfo

from protocol.beacon import SERVICE, Beacon, instance_of
from protocol.pairing_beacon import PAIR_SERVICE, PairingSign

SERVICE_NAME = re.compile(r"(?:[0-9]+-?)*[A-Za-z](?:-?[A-Za-z0-9])*")
"""RFC 6335, 5.1, the grammar of a service name: *(1*DIGIT [HYPHEN]) ALPHA *([HYPHEN] ALNUM)."""
LONGEST_SERVICE_NAME = 15
LONGEST_LABEL, LONGEST_NAME = 63, 255
"""RFC 1035, 2.3.4: octets of a label, and of a name with its length octets and the root's."""
HOST_LABEL = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?")
"""RFC 1123, 2.1 (over RFC 952): letters, digits and hyphens, none of them first or last."""
LONGEST_TXT_STRING, SMALL_TXT, LONGEST_KEY = 255, 200, 9
"""RFC 6763, 6.1 (a string), 6.2 (what small means), 6.4 (a key)."""

DEVICES = st.binary(min_size=32, max_size=32)
MATCHES = st.binary(min_size=16, max_size=16)


def infos(device: bytes, match: bytes, event: str) -> Sequence[AsyncServiceInfo]:
    """Both of our announcements, as they are handed to multicast DNS."""
    beacon = Beacon.of(device, match, event)
    station = AsyncServiceInfo(
        SERVICE, beacon.service_name, server=beacon.server, port=5005, properties=beacon.properties
    )
    return station, PairingSign(f"{device[0] % 100:02}", device[:8], 5005)._info


def strings(text: bytes) -> list[bytes]:
    """The character-strings of TXT data (RFC 1035, 3.3.14): each after its length octet."""
    found = []
    while text:
        found.append(text[1 : 1 + text[0]])
        text = text[1 + text[0] :]
    return found


def is_service_name(name: str) -> bool:
    return len(name) <= LONGEST_SERVICE_NAME and SERVICE_NAME.fullmatch(name) is not None


@pytest.mark.parametrize(
    ("name", "fits"),
    [
        *(("a", True), ("a1", True), ("1a", True), ("3com-tsmux", True), ("x" * 15, True), ("1-2-a-3", True)),
        *(("", False), ("x" * 16, False), ("123", False), ("-a", False), ("a-", False), ("a--b", False)),
        *(("a_b", False), ("a.b", False), ("é", False), ("1-", False)),
    ],
)
def test_the_grammar_above_says_what_rfc_6335_says_in_words(name: str, fits: bool) -> None:
    """RFC 6335, 5.1: 1 to 15 characters, letters, digits and hyphens, at least one letter, no hyphen first or
    last, none beside another."""
    letters = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
    in_words = (
        1 <= len(name) <= 15
        and set(name) <= letters | set("0123456789-")
        and bool(set(name) & letters)
        and not name.startswith("-")
        and not name.endswith("-")
        and "--" not in name
    )
    assert is_service_name(name) is in_words is fits


@pytest.mark.parametrize("service", [SERVICE, PAIR_SERVICE])
def test_service_types(service: str) -> None:
    """RFC 6763, 7: an underscore and a service name, _tcp for what runs over TCP; RFC 6762, 3: .local."""
    first, second, domain, root = service.split(".")
    assert first.startswith("_") and is_service_name(first[1:])
    assert (second, domain, root) == ("_tcp", "local", "")


@given(DEVICES, MATCHES, st.text(max_size=300))
def test_instance_names(device: bytes, match: bytes, event: str) -> None:
    """RFC 6763, 4.1.1: an instance name is one label of Net-Unicode, at most 63 octets, no control character;
    ours also has no dot, so nothing needs escaping (4.3)."""
    for info in infos(device, match, event):
        instance = info.name.removesuffix(f".{info.type}")
        assert 1 <= len(instance.encode()) <= LONGEST_LABEL
        assert not any(ord(sign) < 0x20 or ord(sign) == 0x7F for sign in instance)
        assert "." not in instance and "\\" not in instance
        on_the_wire = sum(1 + len(label.encode()) for label in info.name.split("."))
        assert on_the_wire <= LONGEST_NAME


@given(DEVICES, MATCHES)
def test_host_names(device: bytes, match: bytes) -> None:
    """The target of SRV is a host name: one label before .local. (RFC 6762, 3), made as in RFC 1123, 2.1."""
    for info in infos(device, match, "event"):
        assert info.server is not None
        label, domain, root = info.server.split(".")
        assert HOST_LABEL.fullmatch(label) and len(label) <= LONGEST_LABEL
        assert (domain, root) == ("local", "")


@given(DEVICES, MATCHES, st.text(max_size=300))
def test_txt_records(device: bytes, match: bytes, event: str) -> None:
    """RFC 6763, 6.1 to 6.5: at least one string, each at most 255 octets; 200 in all; key "=" value; keys of
    printable US-ASCII without "=", at most nine long, each once, whatever its case."""
    for info in infos(device, match, event):
        found = strings(info.text)
        assert found and all(1 <= len(each) <= LONGEST_TXT_STRING for each in found)
        assert len(info.text) <= SMALL_TXT
        keys = [each.partition(b"=")[0] for each in found]
        for key in keys:
            assert 1 <= len(key) <= LONGEST_KEY
            assert all(0x20 <= octet <= 0x7E and octet != 0x3D for octet in key)
        assert len({key.lower() for key in keys}) == len(keys)
        assert all(b"=" in each for each in found)


def hears(text: bytes) -> bool:
    """Whether a station takes an announcement with this TXT data as its crew's."""
    beacon = Beacon.of(bytes(32), bytes(16), "event")
    return beacon.is_crew(AsyncServiceInfo(SERVICE, beacon.service_name, properties=text).properties)


def txt(*said: str) -> bytes:
    return b"".join(bytes([len(each)]) + each.encode() for each in said)


def own() -> tuple[str, str, str]:
    properties = Beacon.of(bytes(32), bytes(16), "event").properties
    version, match, event = (f"{key}={value}" for key, value in properties.items())
    return version, match, event


def test_case_of_keys_and_order_do_not_matter() -> None:
    """RFC 6763, 6.4: keys that differ in case alone are one key; 6.3 gives the order no meaning."""
    version, match, event = own()
    assert hears(txt(version, match, event))
    assert hears(txt(event, match, version))
    assert hears(txt(version.replace("v=", "V="), match.replace("m=", "M="), event))
    assert not hears(txt(version, match.upper().replace("M=", "m="), event)), "values are opaque (6.5)"


def test_of_one_key_the_first_counts() -> None:
    """RFC 6763, 6.4: where a key comes again, only its first place is looked at."""
    version, match, event = own()
    assert hears(txt(version, match, event, "v=2"))
    assert not hears(txt("v=2", version, match, event))
    assert hears(txt(version, "V=2", match, event))
    assert not hears(txt("V=2", version, match, event))


def test_what_is_unknown_missing_or_malformed() -> None:
    """RFC 6763, 6.4: strings without a key before "=" and unknown keys are passed over; 6.1: an empty string
    means nothing; 6.4: no value, an empty value and no key at all are three things, none of them ours."""
    version, match, event = own()
    assert hears(txt(version, match, event, "later=1", "=1", "flag"))
    assert hears(txt(version, "", match, event))
    for spoilt in (txt(), b"\0", txt("v", match, event), txt("v=", match, event), txt(match, event)):
        assert not hears(spoilt)
    assert not hears(b"\xff" + txt(version, match, event))


@pytest.mark.parametrize(
    ("name", "ours"),
    [
        (f"{'0123456789abcdef'}.{SERVICE}", True),
        (f"{'0123456789ABCDEF'}.{SERVICE}", False),
        (f"{'0' * 63}.{SERVICE}", False),
        (f"0123456789abcde\\.{SERVICE}", False),
        (f"x.0123456789abcdef.{SERVICE}", False),
        (f"0123456789abcdef.{PAIR_SERVICE}", False),
        ("0123456789abcdef._crewlink._udp.local.", False),
        (SERVICE, False),
    ],
)
def test_only_our_own_names_are_looked_up(name: str, ours: bool) -> None:
    """An instance is the part before the service type (RFC 6763, 4.1); ours are made of a hash, so an odd one
    is somebody else's."""
    assert (instance_of(name) is not None) is ours
