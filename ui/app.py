"""One process, one face: opens the window, feeds it snapshots, lets time pass, takes all down in order."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import Qt, QTimer

from crewlink.running import RunningStation
from crewlink.snapshot import Snapshot
from ui.bridge.court_view import BEAT_SECONDS
from ui.bridge.feed import Feed
from ui.bridge.submit import Answer, Command
from ui.face import Face
from ui.obeying import Obedient
from ui.stage import Stage, ThemeName, ready_application

SWITCH_INTERVAL = 0.0005
"""Seconds a busy thread may keep the interpreter; the default of 5 ms costs the link 100 ms."""


REFRESH_MS = 500
"""How often a face asks again for what only time changes (whether play is taken to go on)."""


class Source(Protocol):
    """Where snapshots come from and commands go to: a station, or a rehearsal that plays one."""

    def snapshot(self) -> Snapshot:
        """The newest snapshot."""

    def submit(self, command: Command) -> Answer:
        """Take a command; never blocks."""

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        """Give every new snapshot to `heard`, from any thread, until `stop`."""

    def refresh(self) -> None:
        """Give a new snapshot soon: what depends on time alone may have changed."""

    def stop(self) -> None:
        """End: after this `heard` is not called again."""


def run(
    face: Face,
    source: Source,
    size: tuple[int, int] | None = None,
    theme: ThemeName = ThemeName.DARK,
    control: RunningStation | None = None,
) -> int:
    """Show `face` until its window is closed; gives the exit status.

    `size` in px, the face's usual one if None. `control`: the station that control lines on the input drive
    beside the window. Errors: `FaceFailed`.
    """
    sys.setswitchinterval(SWITCH_INTERVAL)
    application = ready_application()
    stage = Stage(face, source.snapshot(), source.submit, theme=theme, size=size)
    feed = Feed(stage.court)
    beat = QTimer()
    beat.setTimerType(Qt.TimerType.PreciseTimer)
    beat.setInterval(int(BEAT_SECONDS * 1000))
    beat.timeout.connect(stage.court.beat)
    refresh = QTimer()
    refresh.setInterval(REFRESH_MS)
    refresh.timeout.connect(source.refresh)
    obedient = None if control is None else Obedient(stage, control)
    signal.signal(signal.SIGINT, lambda *_: application.quit())
    try:
        source.listen(feed.offer)
        beat.start()
        refresh.start()
        stage.show()
        if obedient is not None:
            obedient.begin()
        return application.exec()
    finally:
        beat.stop()
        refresh.stop()
        source.stop()
        stage.close()
