"""One process, one face: opens the window, feeds it snapshots, lets time pass, takes all down in order."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable
from functools import partial
from typing import Protocol

from PySide6.QtCore import QCoreApplication, QEvent, Qt, QTimer

from crewlink.match.commands import Command as MatchCommand
from crewlink.running import RunningStation
from crewlink.snapshot import Snapshot
from protocol.link_thread import SWITCH_SECONDS
from ui.board_source import BoardSource
from ui.bridge.court_view import BEAT_SECONDS
from ui.bridge.feed import Feed
from ui.bridge.obeying import Obedient
from ui.bridge.reading import NOBODY
from ui.bridge.setup_feed import SetupFeed
from ui.bridge.setup_view import SetupView
from ui.bridge.submit import Answer, Command
from ui.face import Face
from ui.line.world import Verdict
from ui.setup_source import SetupDesk
from ui.stage import Stage, ThemeName, ready_application

REFRESH_MS = 500
"""How often a face asks again for what only time changes (whether play is taken to go on)."""


class Running(Protocol):
    """What a window keeps going and ends when it closes."""

    def refresh(self) -> None:
        """Give a new snapshot soon: what depends on time alone may have changed."""

    def stop(self) -> None:
        """End: after this nothing is heard from it any more."""


class Source(Running, Protocol):
    """Where snapshots come from and commands go to: a station, or a rehearsal that plays one."""

    def snapshot(self) -> Snapshot:
        """The newest snapshot."""

    def submit(self, command: Command) -> Answer:
        """Take a command; never blocks."""

    def ask(self, command: MatchCommand, heard: Callable[[Verdict], None]) -> None:
        """Give `heard` what the rules say to `command`, from any thread, without doing it; never blocks."""

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        """Give every new snapshot to `heard`, from any thread, until `stop`."""


def run(
    face: Face,
    source: Source,
    size: tuple[int, int] | None = None,
    theme: ThemeName = ThemeName.DARK,
    control: RunningStation | None = None,
    calm: bool = False,
    right_hand: bool = False,
    face_of: Callable[[str], Face] | None = None,
    adding: Callable[[], SetupDesk] | None = None,
) -> int:
    """Show `face` until its window is closed; gives the exit status.

    `size` in px, the face's usual one if None. `control`: the station that control lines on the input drive
    beside the window. `calm`: less motion; `right_hand`: holds the tablet. `face_of`: the face of a post, to
    go over to when the device gets another job. `adding`: makes what brings more devices in. Errors:
    `FaceFailed`.
    """
    application = ready_application()
    while True:
        snapshot = source.snapshot()
        if face_of is not None:
            face = face_of(snapshot.post)
        desk = None if adding is None else adding()
        setup = None if desk is None else SetupView(desk)
        stage = Stage(
            face,
            snapshot,
            source.submit,
            theme=theme,
            size=size,
            reduced_motion=calm,
            ask=source.ask,
            setup=setup,
        )
        stage.theme.setProperty("rightHand", right_hand)
        feed = Feed(stage.court)
        follow = None if face_of is None else _Follow(stage, face_of)
        listen = partial(source.listen, feed.offer)
        if desk is not None and setup is not None:
            listen = partial(_listen, source, feed, desk, setup)
        try:
            status = _show(stage, source, listen, control, follow)
        finally:
            if desk is not None:
                desk.end()
        if follow is None or not follow.moved:
            return status
        size, theme = None, follow.theme
        QCoreApplication.removePostedEvents(application, QEvent.Type.Quit.value)


class _Follow:
    """Looks whether the job of the device has another face: then the window is done, `moved` says so, and
    `theme` is the one it had.
    """

    def __init__(self, stage: Stage, face_of: Callable[[str], Face]) -> None:
        self.moved = False
        self.theme = ThemeName.DARK
        self._stage, self._face_of = stage, face_of
        stage.court.changed.connect(self.look)

    def look(self) -> None:
        """End the window if another face is due."""
        court = self._stage.court
        if not court.lostText and self._face_of(str(court.post)) is not self._stage.face:
            self.moved = True
            self.theme = ThemeName.BRIGHT if self._stage.theme.property("bright") else ThemeName.DARK
            ready_application().quit()


def _listen(source: Source, feed: Feed, desk: SetupDesk, setup: SetupView) -> None:
    """Give snapshots to the face and to the desk that brings devices in; that one begins when it is asked."""

    def heard(snapshot: Snapshot) -> None:
        feed.offer(snapshot)
        desk.picture(snapshot)

    news = SetupFeed(setup, setup)
    begun: list[bool] = []

    def begin() -> None:
        if not begun:
            begun.append(True)
            desk.begin(news.offer, _nothing, _nothing)

    setup.addingAsked.connect(begin)
    source.listen(heard)


def _nothing(*_told: object) -> None:
    """The face has the snapshots from elsewhere, and leads nowhere."""


def run_board(
    source: BoardSource,
    size: tuple[int, int] | None = None,
    theme: ThemeName = ThemeName.DARK,
    control: RunningStation | None = None,
    calm: bool = False,
) -> int:
    """Show the supervisor's board until its window is closed; gives the exit status.

    `size`, `control` and `calm` as in `run`. Errors: `FaceFailed`.
    """
    sys.setswitchinterval(SWITCH_SECONDS)
    ready_application()
    board = source.board()
    first = next((sight.snapshot for sight in board.sights), Snapshot(board.taken, "site", ""))
    stage = Stage(
        Face.BOARD,
        first,
        lambda command: source.submit_to(NOBODY, command),
        theme=theme,
        size=size,
        reduced_motion=calm,
        board=board,
        submit_to=source.submit_to,
        save_incidents=source.save_incidents,
    )
    assert stage.board is not None
    feed = Feed(stage.board)
    return _show(stage, source, partial(source.listen, feed.offer), control)


def _show(
    stage: Stage,
    source: Running,
    listen: Callable[[], None],
    control: RunningStation | None,
    follow: _Follow | None = None,
) -> int:
    """Run the window of a stage until it is closed, then take all down in order; gives the status. The source
    goes on where another face follows.
    """
    application = ready_application()
    beat = QTimer()
    beat.setTimerType(Qt.TimerType.PreciseTimer)
    beat.setInterval(int(BEAT_SECONDS * 1000))
    beat.timeout.connect(stage.court.beat)
    if stage.setup is not None:
        beat.timeout.connect(stage.setup.beat)
    refresh = QTimer()
    refresh.setInterval(REFRESH_MS)
    refresh.timeout.connect(source.refresh)
    obedient = None if control is None else Obedient(stage, control)
    signal.signal(signal.SIGINT, lambda *_: application.quit())
    try:
        listen()
        beat.start()
        refresh.start()
        stage.show()
        if obedient is not None:
            obedient.begin()
        return application.exec()
    finally:
        beat.stop()
        refresh.stop()
        if follow is None or not follow.moved:
            source.stop()
        stage.close()


def run_setup(desk: SetupDesk, size: tuple[int, int] | None = None) -> bool:
    """Show the set-up face until it leads to a court (True) or its window is closed (False).

    The desk then says which court: its `station` runs already, or `folder` is one to start. Errors:
    `FaceFailed`.
    """
    sys.setswitchinterval(SWITCH_SECONDS)
    application = ready_application()
    choices = desk.news.choices
    theme = ThemeName.BRIGHT if choices.bright else ThemeName.DARK
    view = SetupView(desk)
    stage = Stage(
        Face.SETUP,
        desk.snapshot(),
        desk.submit,
        theme=theme,
        size=size,
        reduced_motion=choices.calm,
        setup=view,
    )
    court, news = Feed(stage.court), SetupFeed(view)
    beat = QTimer()
    beat.setInterval(int(BEAT_SECONDS * 1000))
    beat.timeout.connect(stage.court.beat)
    beat.timeout.connect(view.beat)
    led: list[bool] = []

    def gone() -> None:
        led.append(True)
        application.quit()

    signal.signal(signal.SIGINT, lambda *_: application.quit())
    try:
        desk.begin(news.offer, court.offer, gone)
        beat.start()
        stage.show()
        application.exec()
    finally:
        beat.stop()
        desk.end()
        stage.close()
        QCoreApplication.removePostedEvents(application, QEvent.Type.Quit.value)
    return bool(led)
