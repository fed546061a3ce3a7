"""Makes the Python environment of a checkout, `.venv`, and starts a module inside it.

Standard library only. Both `demo_session/run.py` and `tests/run.py` start here. The environment is made once,
from the versions in `.ci/constraints.txt`; a stamp written at the very end tells a whole one from a half-made
one, and one made for other versions from the right one.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import platform
import re
import shutil
import subprocess
import sys
import tomllib
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from demo_session.system import (
    NotReady,
    Say,
    check_c_library,
    glibc_version,
    lacking,
    provide,
    run_quietly,
)

EXTRAS = ("site", "test", "lint")
PROBE = "from PySide6.QtGui import QGuiApplication; QGuiApplication([])"
PROBE_SECONDS = 20.0
LAST_LINES = 15
NOT_PASSED_ON = ("PYTHONPATH", "PYTHONHOME", "PYTHONSTARTUP", "PYTHONSAFEPATH", "__PYVENV_LAUNCHER__")


@dataclass(frozen=True, slots=True)
class Checkout:
    """A copy of the project at `root`, and where things lie in it."""

    root: Path

    @property
    def venv(self) -> Path:
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        return self.venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    @property
    def stamp(self) -> Path:
        return self.venv / "crewlink-stamp"

    @property
    def constraints(self) -> Path:
        return self.root / ".ci" / "constraints.txt"

    def requirements(self) -> list[str]:
        """What `pyproject.toml` asks for, with the extras that tests and rehearsal use."""
        project = tomllib.loads((self.root / "pyproject.toml").read_text("utf-8"))["project"]
        extras: dict[str, list[str]] = project["optional-dependencies"]
        return [*project["dependencies"], *(line for extra in EXTRAS for line in extras[extra])]

    def fingerprint(self) -> str:
        """Changes when the environment must be made anew: other versions, another Python, another machine."""
        facts = [*sys.version_info[:2], sys.platform, platform.machine(), *self.requirements()]
        text = "\n".join(map(str, facts)) + self.constraints.read_text("utf-8")
        return hashlib.sha256(text.encode()).hexdigest()

    def is_ready(self) -> bool:
        """Whether the environment was made to the end, for just these versions, and its Python is there."""
        try:
            return self.stamp.read_text("utf-8") == self.fingerprint() and self.python.exists()
        except FileNotFoundError:
            return False


def say(line: str) -> None:
    """Tell the person at the terminal what is going on, apart from the output of what is started."""
    print(f"crewlink: {line}", file=sys.stderr, flush=True)


def install_command(checkout: Checkout) -> list[str]:
    """The one call of pip."""
    options = ["--no-input", "--disable-pip-version-check", "--no-warn-script-location"]
    options += ["--progress-bar", "off", "--prefer-binary", "--constraint", str(checkout.constraints)]
    return [str(checkout.python), "-m", "pip", "install", *options, *checkout.requirements()]


def progress(line: str) -> str:
    """What a line of pip's output tells a person who waits; empty if nothing."""
    if line.startswith("Collecting "):
        return re.split(r"[^\w.-]", line.split()[1])[0]
    if line.startswith("Processing "):  # a wheel that lies on this machine
        return Path(line.split()[1]).name.split("-")[0]
    return "unpacking" if line.startswith("Installing collected") else ""


def run_showing_progress(command: Sequence[str], say: Say) -> int:
    """Run pip; say which package it is at, and its last lines if it fails. Returns its exit code."""
    last: deque[str] = deque(maxlen=LAST_LINES)
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=environment(os.environ),
    ) as process:
        assert process.stdout is not None
        try:
            for line in process.stdout:
                last.append(line.rstrip())
                step = progress(line)
                if step:
                    say(f"  {step}")
        except KeyboardInterrupt:
            process.kill()  # else it goes on writing into a folder that the next start removes
            raise
    if process.returncode:
        for line in last:
            say(f"  | {line}")
    return process.returncode


def remove(path: Path) -> None:
    """Remove a folder, or the link that stands for one."""
    if path.is_symlink() or path.is_file():
        path.unlink()
    elif path.exists():
        shutil.rmtree(path)


def base_python() -> str:
    """The Python to make an environment with: from inside `.venv`, the one that made that."""
    found: str = getattr(sys, "_base_executable", sys.executable)
    return found


def make(
    checkout: Checkout, say: Say, run: Callable[[Sequence[str], Say], int] = run_showing_progress
) -> None:
    """Make `.venv` from nothing; the stamp comes last. Raises NotReady with what went wrong."""
    if checkout.venv.exists() or checkout.venv.is_symlink():
        say("the .venv here is half-made or for other versions: making it anew")
        remove(checkout.venv)
    say(f"making .venv for Python {platform.python_version()}, once; about 700 MB, a minute or two")
    if run([base_python(), "-m", "venv", str(checkout.venv)], say):
        raise NotReady("the environment could not be made; the lines above say why.")
    if run(install_command(checkout), say):
        raise NotReady(
            "packages could not be installed: is this machine on the internet? "
            "The lines above say more. Run this again to go on."
        )
    checkout.stamp.write_text(checkout.fingerprint(), "utf-8")
    say("ready")


@contextlib.contextmanager
def one_at_a_time(checkout: Checkout) -> Iterator[None]:
    """Hold back a second start in the same checkout until the first has made the environment."""
    try:
        import fcntl
    except ImportError:  # Windows: two first starts at once fail with pip's own message
        yield
        return
    with checkout.constraints.open("rb") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("another start is making .venv: waiting for it")
            fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def environment(env: Mapping[str, str]) -> dict[str, str]:
    """What a started process inherits: all but the variables that would mix another Python in."""
    return {name: value for name, value in env.items() if name not in NOT_PASSED_ON}


def has_screen(env: Mapping[str, str]) -> bool:
    """Whether windows are meant to be seen: a screen is named, and no Qt platform chosen by hand."""
    if "QT_QPA_PLATFORM" in env:
        return False
    return sys.platform != "linux" or bool(env.get("DISPLAY") or env.get("WAYLAND_DISPLAY"))


def qt_starts(checkout: Checkout, env: Mapping[str, str]) -> bool:
    """Try Qt in a process of its own: on a screen that does not answer it aborts the whole process."""
    try:
        return run_quietly([str(checkout.python), "-c", PROBE], env=env, seconds=PROBE_SECONDS) == 0
    except subprocess.TimeoutExpired:
        return False


def choose_platform(
    env: Mapping[str, str], *, windows: bool, starts: Callable[[Mapping[str, str]], bool], say: Say
) -> dict[str, str]:
    """The environment with Qt's platform settled: the screen if it is wanted and works, else offscreen."""
    if "QT_QPA_PLATFORM" in env:
        return dict(env)
    if windows and has_screen(env):
        if starts(env):
            return dict(env)
        say("the screen does not answer: going on without windows")
    return {**env, "QT_QPA_PLATFORM": "offscreen"}


def prepare(checkout: Checkout, *, windows: bool) -> None:
    """See to it that system and environment have all that is needed. Raises NotReady."""
    ready = checkout.is_ready()
    if sys.platform == "linux" and not ready:
        check_c_library(platform.machine(), glibc_version())
    python = None if ready else base_python()
    on_screen = windows and has_screen(os.environ)
    provide(say, lambda: lacking(python, windows=on_screen))
    if not ready:
        with one_at_a_time(checkout):
            if not checkout.is_ready():
                make(checkout, say)


def hand_over(command: list[str], env: Mapping[str, str], root: Path) -> NoReturn:
    """Become the command, so that its exit code and its signals are ours."""
    os.chdir(root)
    if os.name != "nt":
        os.execve(command[0], command, env)
    sys.exit(subprocess.run(command, env=env, check=False).returncode)


def start(root: Path, module: str, arguments: Sequence[str], *, windows: bool) -> int:
    """Run `python -m module arguments` inside the environment. Returns only if that could not be begun."""
    checkout = Checkout(root.resolve())
    try:
        prepare(checkout, windows=windows)
        env = choose_platform(
            environment(os.environ), windows=windows, starts=lambda env: qt_starts(checkout, env), say=say
        )
        hand_over([str(checkout.python), "-m", module, *arguments], env, checkout.root)
    except NotReady as reason:
        say(str(reason))
    except OSError as error:
        say(f"{error.strerror}: {error.filename or checkout.venv}. Nothing was started.")
    except KeyboardInterrupt:
        say("stopped")
    return 1
