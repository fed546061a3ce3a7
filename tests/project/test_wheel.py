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


LOAD_DATA = """
import sys
sys.path.insert(0, sys.argv[1])
import crewlink
from crewlink.crew.kinds import all_kinds
from crewlink.rules.loading import SHIPPED, shipped
print(crewlink.__file__, len(all_kinds()) > 0, all(shipped(name).sources for name in SHIPPED))
"""


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What is under version control, copied."""
    copy = tmp_path_factory.mktemp("source")
    for path in tracked():
        (copy / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(ROOT / path, copy / path)
    return copy


@pytest.fixture(scope="module")
def wheel(source: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from that, in a copy of its own since building leaves files behind."""
    target = tmp_path_factory.mktemp("wheel")
    building = shutil.copytree(source, target / "building")
    offline = ["--no-deps", "--no-build-isolation", "--no-index", "--disable-pip-version-check"]
    command = [sys.executable, "-m", "pip", "wheel", *offline, "--wheel-dir", str(target), str(building)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    (built,) = target.glob("*.whl")
    return built


def test_wheel_holds_the_three_packages_whole_and_nothing_else(source: Path, wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
    files = {path for package in PACKAGES for path in (source / package).rglob("*") if path.is_file()}
    assert held == {path.relative_to(source).as_posix() for path in files}


def test_installed_elsewhere_it_finds_its_data(wheel: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path)
    command = [sys.executable, "-c", LOAD_DATA, str(tmp_path)]
    done = subprocess.run(command, cwd="/", capture_output=True, text=True, check=False, timeout=60)
    assert done.stdout.split() == [str(tmp_path / "crewlink" / "__init__.py"), "True", "True"], done.stderr


def test_installed_elsewhere_the_command_answers(wheel: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path)
    command = [sys.executable, "-m", "crewlink", "--help"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("usage: crewlink")


def test_wheel_says_what_it_is(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        (info,) = {name.split("/")[0] for name in archive.namelist() if ".dist-info/" in name}
        metadata = archive.read(f"{info}/METADATA").decode()
        scripts = configparser.ConfigParser()
        scripts.read_string(archive.read(f"{info}/entry_points.txt").decode())
    assert "\nRequires-Python: >=3.11\n" in metadata
    assert "\nLicense-Expression: MIT AND OFL-1.1\n" in metadata
    assert "\nRequires-Dist: pyside6-essentials<6.12,>=6.11.3\n" in metadata
    assert dict(scripts["console_scripts"]) == {"crewlink": "ui.main:main"}
