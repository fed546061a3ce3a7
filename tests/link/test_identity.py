"""Keys on disk: an identity is repeatable, private, and checked in all its parts when it is read."""

import json
import random
import stat
from pathlib import Path

import pytest

from protocol.identity import Identity, IdentityError, binding_holds, device_id


def identity(seed: int) -> Identity:
    return Identity.create(random.Random(seed).randbytes)


def json_value(raw: bytes) -> object:
    try:
        return json.loads(raw)
    except ValueError:
        return None


def test_same_random_bytes_same_identity() -> None:
    assert identity(1) == identity(1)
    assert identity(1).device != identity(2).device
    assert identity(1).device == device_id(identity(1).public_key)


def test_save_and_load(tmp_path: Path) -> None:
    mine = identity(3)
    path = mine.save(tmp_path / "data")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    again = Identity.load(tmp_path / "data")
    assert again == mine
    assert again.sign(b"x") == mine.sign(b"x")


def test_an_identity_is_never_overwritten(tmp_path: Path) -> None:
    identity(4).save(tmp_path)
    with pytest.raises(IdentityError, match="already"):
        identity(5).save(tmp_path)
    assert Identity.load(tmp_path) == identity(4)


def test_missing_identity(tmp_path: Path) -> None:
    with pytest.raises(IdentityError, match="No identity here"):
        Identity.load(tmp_path)


def test_damage_anywhere_in_the_file_is_named(tmp_path: Path) -> None:
    path = identity(6).save(tmp_path)
    good = path.read_bytes()
    rng = random.Random(7)
    for _ in range(200):
        at = rng.randrange(len(good))
        changed = bytearray(good)
        changed[at] = rng.choice(b"0123456789abcdef{}\x00\xff")
        path.write_bytes(bytes(changed))
        if json_value(bytes(changed)) == json_value(good):
            continue
        with pytest.raises(IdentityError, match=r"identity\.json"):
            Identity.load(tmp_path)


@pytest.mark.parametrize("field", ["sign_key", "tls_key", "tls_cert", "binding"])
def test_parts_of_another_identity_are_refused(tmp_path: Path, field: str) -> None:
    path = identity(8).save(tmp_path / "a")
    other = json.loads(identity(9).save(tmp_path / "b").read_text())
    mixed = json.loads(path.read_text()) | {field: other[field]}
    path.write_text(json.dumps(mixed))
    with pytest.raises(IdentityError, match="damaged"):
        Identity.load(tmp_path / "a")


def test_file_of_a_later_version(tmp_path: Path) -> None:
    path = identity(10).save(tmp_path)
    path.write_text(json.dumps(json.loads(path.read_text()) | {"format": "crewlink identity 2"}))
    with pytest.raises(IdentityError, match="another version"):
        Identity.load(tmp_path)


def test_unreadable_folder_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(IdentityError, match="written"):
        identity(11).save(tmp_path / "file")


def test_binding_ties_both_keys() -> None:
    a, b = identity(12), identity(13)
    assert binding_holds(a.public_key, a.tls_cert, a.binding)
    assert not binding_holds(b.public_key, a.tls_cert, a.binding)
    assert not binding_holds(a.public_key, b.tls_cert, a.binding)
    assert not binding_holds(a.public_key, a.tls_cert, b.binding)
    assert not binding_holds(a.public_key, a.tls_cert, a.binding[:64] + b.binding[64:])
    assert not binding_holds(a.public_key, a.tls_cert, b"")
    assert not binding_holds(b"", b"", b"")



def test_changed_certificates_and_bindings_never_hold_and_never_raise() -> None:
    mine = identity(14)
    rng = random.Random(15)
    for _ in range(500):
        cert, binding = bytearray(mine.tls_cert), bytearray(mine.binding)
        target = rng.choice((cert, binding))
        at = rng.randrange(len(target))
        target[at] ^= 1 << rng.randrange(8)
        assert not binding_holds(mine.public_key, bytes(cert), bytes(binding))
