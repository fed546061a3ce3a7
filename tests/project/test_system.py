"""What a bare machine lacks is found, provided where that is allowed, and named in one line where not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest

from demo_session import system
from demo_session.system import (
    NotReady,
    Say,
    check_c_library,
    missing_packages,
    provide_libraries,
    provide_venv,
)


class Machine:
    """A machine with some packages; `root` may install more, unless the `mirror` is down."""

    def __init__(self, *installed: str, root: bool = False, mirror: bool = True) -> None:
        self.installed = set(installed)
        self.root = root
        self.mirror = mirror
        self.said: list[str] = []

    def missing(self, table: Mapping[str, str]) -> list[str]:
        return [package for package in table.values() if package not in self.installed]

    def install(self, packages: Sequence[str], why: str, say: Say) -> bool:
        if self.root and self.mirror:
            self.installed |= set(packages)
        return self.root and self.mirror

    def libraries(self, *, windows: bool) -> None:
        provide_libraries(self.said.append, windows=windows, missing=self.missing, install=self.install)


QT = tuple(system.QT_LIBRARIES.values())
WINDOW = tuple(system.WINDOW_LIBRARIES.values())


def test_libraries_that_do_not_load_are_found() -> None:
    def load(name: str) -> object:
        if name == "libGL.so.1":
            raise OSError(name)
        return name

    assert missing_packages(system.QT_LIBRARIES, load) == ["libgl1"]


def test_a_whole_machine_needs_nothing() -> None:
    machine = Machine(*QT, *WINDOW)
    machine.libraries(windows=True)
    assert machine.said == []


def test_a_person_is_told_one_line_to_type() -> None:
    machine = Machine("libgl1", *QT[2:])
    with pytest.raises(NotReady, match=r"type: sudo apt-get install -y libegl1$"):
        machine.libraries(windows=False)


def test_root_gets_all_of_it() -> None:
    machine = Machine(root=True)
    machine.libraries(windows=True)
    assert machine.installed == {*QT, *WINDOW}


def test_root_without_a_mirror_is_told_too() -> None:
    machine = Machine(root=True, mirror=False)
    with pytest.raises(NotReady, match="libegl1 libgl1"):
        machine.libraries(windows=False)


def test_without_window_libraries_it_goes_on_and_says_so() -> None:
    machine = Machine(*QT, *WINDOW[1:])
    machine.libraries(windows=True)
    assert machine.said == [f"for windows on this screen, type: sudo apt-get install -y {WINDOW[0]}"]


def test_packages_are_installed_after_one_update(monkeypatch: pytest.MonkeyPatch) -> None:
    ran: list[str] = []

    def run(command: Sequence[str]) -> int:
        ran.append(" ".join(command))
        return 0

    monkeypatch.setattr(system, "may_install", lambda: True)
    assert system.install_packages(["libegl1", "libgl1"], "why", lambda line: None, run)
    assert ran[0] == "apt-get update"
    assert ran[1].endswith("apt-get install -y --no-install-recommends libegl1 libgl1")
    assert len(ran) == 2


def test_nothing_is_installed_where_that_is_not_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    def run(command: Sequence[str]) -> int:
        raise AssertionError(command)

    monkeypatch.setattr(system, "may_install", lambda: False)
    assert not system.install_packages(["libegl1"], "why", lambda line: None, run)


def test_venv_is_provided_or_named() -> None:
    machine = Machine(root=True)
    provide_venv(
        "python3", machine.said.append, check=lambda python: bool(machine.installed), install=machine.install
    )
    with pytest.raises(NotReady, match=r"type: sudo apt-get install -y python3\.\d+-venv$"):
        provide_venv("python3", lambda line: None, check=lambda python: False, install=Machine().install)


@pytest.mark.parametrize(
    ("machine", "version", "sentence"),
    [
        ("x86_64", (2, 31), "needs glibc 2.34 or newer; this Linux has 2.31"),
        ("aarch64", (2, 36), "needs glibc 2.39 or newer; this Linux has 2.36"),
        ("x86_64", None, "this one has another C library"),
        ("riscv64", (2, 41), "no Qt for Linux on riscv64"),
    ],
)
def test_a_linux_that_qt_is_not_built_for_is_named(
    machine: str, version: tuple[int, int] | None, sentence: str
) -> None:
    with pytest.raises(NotReady, match=sentence):
        check_c_library(machine, version)


def test_a_linux_that_fits_passes() -> None:
    check_c_library("x86_64", (2, 34))
    check_c_library("aarch64", (2, 41))
