"""The lower floors stand by themselves: every module of protocol and crewlink loads where there is no Qt."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.project.checkout import ROOT

LOAD_ALL = """
import importlib, pkgutil, sys
for blocked in ("PySide6", "shiboken6", "ui", "demo_session", "tests"):
    sys.modules[blocked] = None
package = importlib.import_module(sys.argv[1])
names = [found.name for found in pkgutil.walk_packages(package.__path__, package.__name__ + ".")]
for name in names:
    if not name.endswith("__main__"):
        importlib.import_module(name)
print(len(names))
"""


@pytest.mark.parametrize("package", ["protocol", "crewlink"])
def test_every_module_loads_without_qt(package: str) -> None:
    command = [sys.executable, "-c", LOAD_ALL, package]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 0
    assert done.stderr == ""
