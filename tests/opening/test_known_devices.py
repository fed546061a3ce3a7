"""Devices that were in a crew: kept with their keys, bounded, named, replaced, taken out."""

from __future__ import annotations

import threading
from pathlib import Path

from msgspec.structs import replace

from crewlink.home import Home, member_of
from crewlink.known_devices import MOST_DEVICES, KnownDevice, met, named, without
from tests.link.parts import identity

OWN = identity(90)
A, B, C = (member_of(identity(n), post) for n, post in ((91, "R1"), (92, "R2"), (93, "R2")))


def test_who_was_in_the_crew_is_kept_but_not_this_device() -> None:
    known = met((), [member_of(OWN, "scorer"), A, B], "Court 3", 10.0, OWN.device)
    assert {(one.device, one.post, one.court, one.seen) for one in known} == {
        (A.device, "R1", "Court 3", 10.0),
        (B.device, "R2", "Court 3", 10.0),
    }
    known = met(named(known, A.device, "Ines's watch"), [A], "", 20.0, OWN.device)
    assert known[0] == KnownDevice(
        A.device, A.sign_key, A.tls_cert, A.binding, "R1", "Court 3", "Ines's watch", 20.0
    )
    assert known[0].sound and known[0].member == A


def test_a_device_of_the_same_name_with_other_keys_replaces_the_old_one() -> None:
    known = named(met((), [B], "Court 3", 10.0, OWN.device), B.device, "Lena's tablet")
    known = named(met(known, [C], "Court 4", 20.0, OWN.device), C.device, "Lena's tablet")
    assert {one.device: one.replaced for one in known} == {B.device: True, C.device: False}
    assert {one.device for one in without(known, B.device)} == {C.device}
    assert named(known, A.device, "Lena's tablet") == known  # who is not known changes nothing
    assert named(known, B.device, "") == known


def test_a_replaced_device_that_comes_again_is_known_again() -> None:
    known = named(met((), [B, C], "Court 3", 10.0, OWN.device), B.device, "tablet")
    known = named(known, C.device, "tablet")
    again = met(known, [B], "Court 5", 30.0, OWN.device)
    assert {one.device: one.replaced for one in again}[B.device] is False


def test_the_list_is_bounded_and_keeps_the_newest() -> None:
    known: tuple[KnownDevice, ...] = ()
    for number in range(MOST_DEVICES + 5):
        one = replace(KnownDevice(bytes([number]) * 32, b"", b"", b"", "R1"), seen=float(number))
        known = met((*known, one), [], "", 0.0, OWN.device)
    assert len(met(known, [A], "", 1e6, OWN.device)) == MOST_DEVICES
    assert met(known, [A], "", 1e6, OWN.device)[0].device == A.device


def test_keys_that_do_not_fit_together_are_left_out(tmp_path: Path) -> None:
    home = Home(tmp_path)
    good = KnownDevice(A.device, A.sign_key, A.tls_cert, A.binding, "R1")
    home.keep_devices((good, replace(good, sign_key=B.sign_key), replace(good, device=B.device)))
    assert home.devices() == (good,)
    (tmp_path / "devices.json").write_text("[{}]")
    assert home.devices() == ()


def test_two_threads_that_keep_at_once_lose_nothing(tmp_path: Path) -> None:
    home = Home(tmp_path)
    home.identity()
    members = [member_of(identity(n), "R1") for n in range(100, 112)]
    told = [(one, "Court 3", one.device.hex()[:8]) for one in members]
    threads = [threading.Thread(target=home.learn, args=each) for each in told]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert {one.name for one in home.devices()} == {one.device.hex()[:8] for one in members}


def test_the_keys_of_a_device_stay_the_same_over_its_courts(tmp_path: Path) -> None:
    home = Home(tmp_path)
    assert home.identity() == home.identity() == Home(tmp_path).identity()
