"""What the operating system must offer before crewlink can run: a C library, venv, and the libraries of Qt.

Standard library only: this runs before anything is installed. On Debian and its relatives, as root, what is
missing is installed with apt-get; otherwise the one line to type is named.
"""

from __future__ import annotations

import ctypes
import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence

Say = Callable[[str], None]
Run = Callable[[Sequence[str]], int]

OLDEST_GLIBC = {"x86_64": (2, 34), "aarch64": (2, 39)}
"""What the Qt wheels are built for (their platform tag), by machine."""

QT_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libfontconfig.so.1": "libfontconfig1",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libdbus-1.so.3": "libdbus-1-3",
}
"""Library to Debian package: without these Qt does not load at all."""

WINDOW_LIBRARIES = {
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
}
"""The same for windows on an X screen."""


class NotReady(Exception):
    """This machine lacks something; the text says what, and what to do about it."""


def run_quietly(
    command: Sequence[str], *, env: Mapping[str, str] | None = None, seconds: float | None = None
) -> int:
    """Run a command whose output nobody needs; returns its exit code. Raises TimeoutExpired."""
    quiet = subprocess.DEVNULL
    done = subprocess.run(
        command, stdin=quiet, stdout=quiet, stderr=quiet, env=env, timeout=seconds, check=False
    )
    return done.returncode


def check_c_library(machine: str, version: tuple[int, int] | None) -> None:
    """Raise NotReady where no Qt wheel fits. `version` is that of glibc, None for another C library."""
    oldest = OLDEST_GLIBC.get(machine)
    if oldest is None:
        known = " and ".join(OLDEST_GLIBC)
        raise NotReady(f"there is no Qt for Linux on {machine} machines, only for {known}.")
    need = ".".join(map(str, oldest))
    if version is None:
        raise NotReady(f"Qt needs a Linux with glibc {need} or newer; this one has another C library.")
    if version < oldest:
        have = ".".join(map(str, version))
        raise NotReady(f"Qt needs glibc {need} or newer; this Linux has {have}. Use a newer release of it.")


def glibc_version() -> tuple[int, int] | None:
    """The version of glibc that Python runs on, None if it is another C library."""
    name, text = platform.libc_ver()
    if name != "glibc":
        return None
    major, minor = text.split(".")[:2]
    return int(major), int(minor)


def missing_libraries(
    table: Mapping[str, str], load: Callable[[str], object] = ctypes.CDLL
) -> dict[str, str]:
    """The part of `table` whose libraries do not load."""
    missing = {}
    for library, package in table.items():
        try:
            load(library)
        except OSError:
            missing[library] = package
    return missing


def can_make_venv(python: str) -> bool:
    """Whether `python` has all that `-m venv` needs. Debian keeps that in a package of its own."""
    return run_quietly([python, "-c", "import ensurepip, venv"]) == 0


def lacking(python: str | None, *, windows: bool) -> dict[str, str]:
    """What is not here, each with the Debian package that holds it.

    `python`: the one to make an environment with, None if there is one. `windows`: an X screen is in use.
    """
    lacks = {}
    if python and not can_make_venv(python):
        lacks["Python's venv"] = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
    if sys.platform == "linux":
        lacks |= missing_libraries(QT_LIBRARIES | WINDOW_LIBRARIES if windows else QT_LIBRARIES)
    return lacks


def may_install() -> bool:
    """Whether apt-get is here and may be used without asking."""
    return hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def install_packages(packages: Sequence[str], run: Run = run_quietly) -> None:
    """Install Debian packages after one `apt-get update`. Whether that worked, `lacking` tells."""
    run(["apt-get", "update"])
    quiet = ["env", "DEBIAN_FRONTEND=noninteractive"]
    run([*quiet, "apt-get", "install", "-y", "--no-install-recommends", *packages])


def provide(
    say: Say,
    look: Callable[[], dict[str, str]],
    *,
    allowed: Callable[[], bool] = may_install,
    install: Callable[[Sequence[str]], None] = install_packages,
) -> None:
    """See to it that nothing is `lacking` (that is what `look` calls), or raise NotReady.

    What only windows need is asked for but not insisted on.
    """
    lacks = look()
    if lacks and allowed():
        say(f"installing {' '.join(lacks.values())}")
        install(list(lacks.values()))
        lacks = look()
    if not lacks:
        return
    names = ", ".join(lacks)
    line = f"on Debian or Ubuntu type: sudo apt-get install -y {' '.join(lacks.values())}"
    if lacks.keys() <= WINDOW_LIBRARIES.keys():
        say(f"windows need {names}; {line}")
    else:
        raise NotReady(f"this machine lacks {names}; {line}")
