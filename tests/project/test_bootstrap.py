"""The environment is made once, made anew when half-made or out of date, and then only entered."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from demo_session import bootstrap
from demo_session.bootstrap import Checkout, choose_platform, environment, install_command, make, progress
from demo_session.system import NotReady, Say
from tests.project.checkout import ROOT

STAND_IN = """#!/bin/sh
echo "$@"
echo "platform $QT_QPA_PLATFORM"
exit 7
"""
PARTS = ("__init__", "run", "bootstrap", "system")
BOOTSTRAP = ("tests/run.py", *(f"demo_session/{name}.py" for name in PARTS))
SCREEN = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")


def without_screen() -> dict[str, str]:
    return {name: value for name, value in environment(os.environ).items() if name not in SCREEN}


class Installer:
    """Stands for venv and pip: makes the files, or fails at the step whose number is given."""

    def __init__(self, checkout: Checkout, fails_at: int = 0) -> None:
        self.checkout = checkout
        self.fails_at = fails_at
        self.calls: list[Sequence[str]] = []

    def run(self, command: Sequence[str], say: Say) -> int:
        self.calls.append(command)
        if len(self.calls) == self.fails_at:
            return 1
        self.checkout.python.parent.mkdir(parents=True, exist_ok=True)
        self.checkout.python.write_text(STAND_IN)
        self.checkout.python.chmod(0o755)
        return 0

    def make(self) -> list[str]:
        said: list[str] = []
        make(self.checkout, said.append, self.run)
        return said


@pytest.fixture
def checkout(tmp_path: Path) -> Checkout:
    """What the bootstrap reads of a checkout, copied."""
    for name in ("pyproject.toml", ".ci/constraints.txt", *BOOTSTRAP):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        shutil.copyfile(ROOT / name, tmp_path / name)
    return Checkout(tmp_path)


def test_a_new_checkout_is_made_ready_with_one_call_of_venv_and_one_of_pip(checkout: Checkout) -> None:
    installer = Installer(checkout)
    assert not checkout.is_ready()
    said = installer.make()
    assert checkout.is_ready()
    venv, pip = installer.calls
    assert venv[1:] == ["-m", "venv", str(checkout.venv)]
    assert pip == install_command(checkout)
    assert said[-1] == "ready"


@pytest.mark.parametrize(("step", "sentence"), [(1, "could not be made"), (2, "could not be installed")])
def test_a_failed_step_is_told_and_leaves_no_stamp(checkout: Checkout, step: int, sentence: str) -> None:
    with pytest.raises(NotReady, match=sentence):
        Installer(checkout, fails_at=step).make()
    assert not checkout.is_ready()
    Installer(checkout).make()
    assert checkout.is_ready()


def test_a_half_made_environment_is_made_anew(checkout: Checkout) -> None:
    Installer(checkout).make()
    checkout.stamp.unlink()
    left_over = checkout.venv / "left-over"
    left_over.touch()
    assert not checkout.is_ready()
    said = Installer(checkout).make()
    assert "half-made" in said[0]
    assert not left_over.exists()
    assert checkout.is_ready()


def test_a_link_in_place_of_the_environment_is_cut_not_followed(checkout: Checkout, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "keep").touch()
    checkout.venv.symlink_to(elsewhere)
    Installer(checkout).make()
    assert (elsewhere / "keep").exists()
    assert not checkout.venv.is_symlink()


def test_other_versions_call_for_another_environment(checkout: Checkout) -> None:
    Installer(checkout).make()
    pins = checkout.constraints.read_text("utf-8")
    checkout.constraints.write_text(pins + "another==1\n", "utf-8")
    assert not checkout.is_ready()
    checkout.constraints.write_text(pins, "utf-8")
    assert checkout.is_ready()
    asked = checkout.root / "pyproject.toml"
    asked.write_text(asked.read_text("utf-8").replace('"segno>=1.6"', '"segno>=1.7"'), "utf-8")
    assert not checkout.is_ready()


def test_an_environment_whose_python_is_gone_is_not_ready(checkout: Checkout) -> None:
    Installer(checkout).make()
    checkout.python.unlink()
    assert not checkout.is_ready()


def test_pip_takes_the_pins_and_asks_nothing(checkout: Checkout) -> None:
    command = install_command(checkout)
    assert command[command.index("--constraint") + 1] == str(checkout.constraints)
    assert "--no-input" in command
    assert set(checkout.requirements()) <= set(command)


def test_progress_names_the_package() -> None:
    assert progress("Collecting pyside6-essentials<6.12,>=6.11.3 (from x)\n") == "pyside6-essentials"
    assert progress("Collecting types-jsonschema\n") == "types-jsonschema"
    assert progress("Processing /wheels/numpy-2.4.6-cp311-cp311-linux_x86_64.whl (from scipy)\n") == "numpy"
    assert progress("Installing collected packages: a, b\n") == "unpacking"
    assert progress("  Downloading a.whl\n") == ""


def test_a_failing_installer_shows_its_last_lines() -> None:
    said: list[str] = []
    fails = "print('Collecting abc>=1'); print('no such thing'); raise SystemExit(3)"
    command = [sys.executable, "-c", fails]
    assert bootstrap.run_showing_progress(command, said.append) == 3
    assert said == ["  abc", "  | Collecting abc>=1", "  | no such thing"]


def test_no_other_python_is_mixed_in() -> None:
    assert environment({"PYTHONPATH": "x", "PYTHONHOME": "y", "HOME": "z"}) == {"HOME": "z"}


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has machines without a screen")
def test_the_screen_is_used_only_where_it_answers() -> None:
    def platform_of(
        env: dict[str, str], windows: bool = True, answers: bool = True
    ) -> tuple[str | None, int]:
        said: list[str] = []
        chosen = choose_platform(env, windows=windows, starts=lambda env: answers, say=said.append)
        return chosen.get("QT_QPA_PLATFORM"), len(said)

    assert platform_of({}) == ("offscreen", 0)
    assert platform_of({"DISPLAY": ""}) == ("offscreen", 0)
    assert platform_of({"DISPLAY": ":0"}) == (None, 0)
    assert platform_of({"DISPLAY": ":0"}, windows=False) == ("offscreen", 0)
    assert platform_of({"DISPLAY": ":99"}, answers=False) == ("offscreen", 1)
    assert platform_of({"DISPLAY": ":99", "QT_QPA_PLATFORM": "xcb"}, answers=False) == ("xcb", 0)


@pytest.mark.skipif(sys.platform != "linux", reason="the screen is X's")
def test_a_screen_that_is_not_there_stops_only_the_trial() -> None:
    here = Checkout(Path(sys.prefix).parent)
    env = {**without_screen(), "DISPLAY": ":987"}
    assert not bootstrap.qt_starts(here, env)
    assert bootstrap.qt_starts(here, {**env, "QT_QPA_PLATFORM": "offscreen"})


@pytest.mark.skipif(os.name == "nt", reason="the stand-in for Python is a shell script")
@pytest.mark.parametrize(
    ("runner", "module"), [("tests/run.py", "pytest"), ("demo_session/run.py", "demo_session.rehearsal")]
)
def test_a_second_run_only_enters(checkout: Checkout, runner: str, module: str) -> None:
    """No installer, the arguments and the exit code passed on, and soon."""
    Installer(checkout).make()
    command = [sys.executable, str(checkout.root / runner), "-k", "a b"]
    began = time.monotonic()
    done = subprocess.run(
        command, cwd="/", env=without_screen(), capture_output=True, text=True, check=False, timeout=60
    )
    took = time.monotonic() - began
    assert (done.stderr, done.returncode) == ("", 7)
    assert done.stdout.splitlines() == [f"-m {module} -k a b", "platform offscreen"]
    assert took < 2
