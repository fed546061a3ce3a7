"""One process, one face: opens the window, feeds it snapshots, lets time pass, takes all down in order."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import Qt, QTimer

from crewlink.snapshot import Snapshot
from ui.bridge.court_view import BEAT_SECONDS
from ui.bridge.feed import Feed
from ui.bridge.submit import Answer, Command
from ui.face import Face
from ui.stage import Stage, ThemeName, ready_application

SWITCH_INTERVAL = 0.0005
"""Seconds a busy thread may keep the interpreter; the default of 5 ms costs the link 100 ms."""


class Source(Protocol):
    """Where snapshots come from and commands go to: a station, or a rehearsal that plays one."""

    def snapshot(self) -> Snapshot:
        """The newest snapshot."""

    def submit(self, command: Command) -> Answer:
        """Take a command; never blocks."""

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        """Give every new snapshot to `heard`, from any thread, until `stop`."""

    def stop(self) -> None:
        """End: after this `heard` is not called again."""


def run(
    face: Face,
    source: Source,
    size: tuple[int, int] | None = None,
    theme: ThemeName = ThemeName.DARK,
) -> int:
    """Show `face` until its window is closed; gives the exit status.

    `size` in px, the face's usual one if None. Errors: `FaceFailed`.
    """
    sys.setswitchinterval(SWITCH_INTERVAL)
    application = ready_application()
    stage = Stage(face, source.snapshot(), source.submit, theme=theme, size=size)
    feed = Feed(stage.court)
    beat = QTimer()
    beat.setTimerType(Qt.TimerType.PreciseTimer)
    beat.setInterval(int(BEAT_SECONDS * 1000))
    beat.timeout.connect(stage.court.beat)
    signal.signal(signal.SIGINT, lambda *_: application.quit())
    try:
        source.listen(feed.offer)
        beat.start()
        stage.show()
        return application.exec()
    finally:
        beat.stop()
        source.stop()
        stage.close()
