"""The Qt binding keeps its references: one release lost a `True` at each signal and aborted Python 3.11."""

from __future__ import annotations

import subprocess
import sys

EMIT = """
import sys
from PySide6.QtCore import QObject, Signal

class Source(QObject):
    changed = Signal(int)

heard = []
source = Source()
source.changed.connect(heard.append)
before = sys.getrefcount(True)
for number in range(2000):
    source.changed.emit(number)
print(len(heard), sys.getrefcount(True) - before)
"""


def test_true_survives_two_thousand_signals() -> None:
    command = [sys.executable, "-c", EMIT]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0, done.stderr
    heard, lost = map(int, done.stdout.split())
    assert heard == 2000
    assert lost >= -5
