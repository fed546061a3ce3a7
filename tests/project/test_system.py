"""What a bare machine lacks is found, provided where that is allowed, and named in one line where not."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from demo_session.system import (
    QT_LIBRARIES,
    WINDOW_LIBRARIES,
    NotReady,
    check_c_library,
    install_packages,
    missing_libraries,
    provide,
)

VENV = {"Python's venv": "python3.11-venv"}


class Machine:
    """A machine that lacks some things; `root` may install them, unless the `mirror` is down."""

    def __init__(self, *lacks: dict[str, str], root: bool = False, mirror: bool = True) -> None:
        self.lacks = {thing: package for table in lacks for thing, package in table.items()}
        self.root = root
        self.mirror = mirror
        self.said: list[str] = []

    def install(self, packages: Sequence[str]) -> None:
        assert self.root
        if self.mirror:
            self.lacks = {thing: package for thing, package in self.lacks.items() if package not in packages}

    def provide(self) -> list[str]:
        provide(self.said.append, lambda: self.lacks, allowed=lambda: self.root, install=self.install)
        return self.said


def test_libraries_that_do_not_load_are_found() -> None:
    def load(name: str) -> object:
        if name == "libGL.so.1":
            raise OSError(name)
        return name

    assert missing_libraries(QT_LIBRARIES, load) == {"libGL.so.1": "libgl1"}


def test_a_whole_machine_needs_nothing() -> None:
    assert Machine().provide() == []


def test_a_person_is_told_one_line_to_type_for_all_of_it() -> None:
    machine = Machine(VENV, {"libEGL.so.1": "libegl1"})
    with pytest.raises(NotReady) as told:
        machine.provide()
    assert str(told.value) == (
        "this machine lacks Python's venv, libEGL.so.1; "
        "on Debian or Ubuntu type: sudo apt-get install -y python3.11-venv libegl1"
    )


def test_root_gets_all_of_it() -> None:
    machine = Machine(VENV, QT_LIBRARIES, WINDOW_LIBRARIES, root=True)
    assert [line.split()[0] for line in machine.provide()] == ["installing"]
    assert machine.lacks == {}


def test_root_without_a_mirror_is_told_too() -> None:
    machine = Machine(VENV, root=True, mirror=False)
    with pytest.raises(NotReady, match="lacks Python's venv"):
        machine.provide()


def test_without_window_libraries_it_goes_on_and_says_so() -> None:
    said = Machine({"libxcb-cursor.so.0": "libxcb-cursor0"}).provide()
    assert said == [
        "windows need libxcb-cursor.so.0; on Debian or Ubuntu type: sudo apt-get install -y libxcb-cursor0"
    ]


def test_packages_are_installed_after_one_update() -> None:
    ran: list[str] = []

    def run(command: Sequence[str]) -> int:
        ran.append(" ".join(command))
        return 0

    install_packages(["libegl1", "libgl1"], run)
    assert ran[0] == "apt-get update"
    assert ran[1].endswith("apt-get install -y --no-install-recommends libegl1 libgl1")
    assert len(ran) == 2


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
