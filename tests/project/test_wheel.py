"""The wheel holds the three packages with all their data, and nothing else."""

from __future__ import annotations

import configparser
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.project.checkout import ROOT, tracked

PACKAGES = ("crewlink", "protocol", "ui")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from what is under version control."""
    source = tmp_path_factory.mktemp("source")
    for path in tracked():
        (source / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(ROOT / path, source / path)
    target = tmp_path_factory.mktemp("wheel")
    offline = ["--no-deps", "--no-build-isolation", "--no-index", "--disable-pip-version-check"]
    command = [sys.executable, "-m", "pip", "wheel", *offline, "--wheel-dir", str(target), str(source)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    (built,) = target.glob("*.whl")
    return built


def test_wheel_holds_the_three_packages_whole_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert held == {path.as_posix() for path in tracked(*PACKAGES)}


def test_wheel_says_what_it_is(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        (info,) = {name.split("/")[0] for name in archive.namelist() if ".dist-info/" in name}
        metadata = archive.read(f"{info}/METADATA").decode()
        scripts = configparser.ConfigParser()
        scripts.read_string(archive.read(f"{info}/entry_points.txt").decode())
    assert "\nRequires-Python: >=3.11\n" in metadata
    assert "\nLicense-Expression: MIT AND OFL-1.1\n" in metadata
    assert "\nRequires-Dist: pyside6-essentials<6.12,>=6.11.3\n" in metadata
    assert dict(scripts["console_scripts"]) == {"crewlink": "crewlink.cli:main"}
