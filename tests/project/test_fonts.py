"""The typeface that all faces use lies beside its licence, and Qt can read it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.project.checkout import ROOT

FONTS = ROOT / "ui" / "fonts"
LETTERS = "AaßÅåÆæČčĐđĘęĞğİıŁłŃńŐőŘřŞşŠšŰűŻżŽž ΑΩω ЖжЯя ẠạỆệ 0123456789"

READ = """
import sys
from PySide6.QtGui import QFontDatabase, QGuiApplication, QRawFont
app = QGuiApplication([])
path, letters = sys.argv[1:]
number = QFontDatabase.addApplicationFont(path)
families = QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
raw = QRawFont(path, 20)
missing = [letter for letter in letters if not raw.supportsCharacter(ord(letter))]
print("|".join(families), raw.weight(), missing)
"""


def test_licence_lies_beside_the_fonts() -> None:
    licence = (FONTS / "OFL.txt").read_text("utf-8")
    assert licence.startswith("Copyright")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert sorted(path.name for path in FONTS.glob("*.otf")) == ["Inter-Bold.otf", "Inter-Regular.otf"]


@pytest.mark.parametrize(("name", "weight"), [("Inter-Regular.otf", 400), ("Inter-Bold.otf", 700)])
def test_qt_reads_the_font(name: str, weight: int) -> None:
    """In a process of its own: an application object lives as long as its process."""
    path: Path = FONTS / name
    command = [sys.executable, "-c", READ, str(path), LETTERS]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert done.stdout.strip() == f"Inter {weight} []", done.stderr
