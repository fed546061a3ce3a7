"""The program from its first window to the court's: set-up, a real station, then the face of the job."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtQuick import QQuickItem
from PySide6.QtTest import QTest

from crewlink.charter import Settings
from crewlink.folder import StationFolder
from crewlink.home import Choices, Hand, Home
from crewlink.opening import CourtPlan, TeamPlan
from ui.face import SHAPES, Face
from ui.main import main


class Person:
    """A person at the program: taps and types in whichever window is open, one step a beat."""

    def __init__(self, steps: list[Callable[[Person], bool]], seconds: float = 30.0) -> None:
        self._steps = steps
        self._beat = QTimer()
        self._beat.timeout.connect(self._next)
        self._limit = QTimer()
        self._limit.setSingleShot(True)
        self._limit.timeout.connect(QGuiApplication.quit)
        self._limit.setInterval(int(seconds * 1000))
        self.titles: list[str] = []

    def __enter__(self) -> Person:
        self._beat.start(20)
        self._limit.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._beat.stop()
        self._limit.stop()
        assert self._steps == [], "not all steps were done"

    def items(self) -> dict[str, QQuickItem]:
        """What can be seen, by object name; texts by themselves."""
        return {
            item.objectName() or str(item.property("text")): item for item in _seen(self.window.rootObject())
        }

    def tap(self, name: str) -> bool:
        """Tap a thing, if it is there."""
        item = self.items().get(name)
        if item is None or item.width() == 0:
            return False
        middle = item.mapToScene(QPointF(item.width() / 2, item.height() / 2)).toPoint()
        QTest.mouseClick(self.window, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, middle)
        return True

    def _next(self) -> None:
        shown = [one for one in QGuiApplication.topLevelWindows() if one.isVisible()]
        if not shown or not self._steps:
            return
        self.window = shown[0]
        if self.window.title() not in self.titles:
            self.titles.append(self.window.title())
        self.window.grabWindow()  # a thing that has just appeared has no place before it is drawn
        self._beat.stop()  # taps let events pass, and with them the next beat
        if self._steps[0](self):
            del self._steps[0]
        self._beat.start(20)


def _seen(item: QQuickItem) -> Iterator[QQuickItem]:
    if item.isVisible():
        yield item
        for child in item.childItems():
            yield from _seen(child)


def tapping(name: str) -> Callable[[Person], bool]:
    return lambda hand: hand.tap(name)


def typing_into(name: str, keys: str) -> Callable[[Person], bool]:
    def step(hand: Person) -> bool:
        if not hand.tap(name):
            return False
        for sign in keys:
            QTest.keyClick(hand.window, Qt.Key[f"Key_{sign.upper()}"])
        return True

    return step


def reading(text: str) -> Callable[[Person], bool]:
    return lambda hand: text in hand.items()


def closing(hand: Person) -> bool:
    hand.window.close()
    return True


def test_the_program_opens_a_court_and_goes_on_to_its_face(
    application: QGuiApplication, tmp_path: Path
) -> None:
    """Set-up, a real station, the toss, the table's window: one process, one after the other."""
    steps = [
        tapping("setup.home.open"),
        typing_into("setup.court.court", "7"),
        tapping("setup.foot.next"),
        typing_into("setup.teamA.name", "kites"),
        typing_into("setup.teamB.name", "lynx"),
        tapping("setup.foot.next"),
        tapping("setup.job.scorer"),
        tapping("setup.foot.next"),
        reading("Who is here"),
        tapping("setup.foot.next"),
        tapping("setup.toss.serves.A"),
        tapping("setup.toss.left.B"),
        tapping("setup.foot.next"),
        lambda hand: hand.window.title() == SHAPES[Face.TABLE].title and "Line-ups due" in hand.items(),
        closing,
    ]
    with Person(steps) as hand:
        assert main(["setup", "--home", str(tmp_path)]) == 0
    assert hand.titles == ["crewlink, before the match", SHAPES[Face.TABLE].title]
    (known,) = Home(tmp_path).courts()
    assert (known.court, known.teams, known.post) == ("Court 7", "kites, lynx", "scorer")


def test_what_the_event_decides_is_signed_and_no_team_is_named(
    application: QGuiApplication, tmp_path: Path
) -> None:
    """Pads and keys of the first window lead to the charter on disk, and to letters on the table's face."""
    steps = [
        tapping("setup.home.open"),
        typing_into("setup.court.court", "7"),
        tapping("setup.court.event.open"),
        tapping("setup.event.worn"),
        tapping("setup.event.names"),
        tapping("setup.event.days.more"),
        tapping("setup.event.medical.more"),
        typing_into("setup.event.responsible", "desk"),
        tapping("setup.foot.next"),
        tapping("setup.foot.next"),
        reading("The event wants no team names."),
        tapping("setup.foot.next"),
        tapping("setup.job.scorer"),
        tapping("setup.foot.next"),
        reading("Who is here"),
        tapping("setup.foot.next"),
        tapping("setup.foot.next"),
        lambda hand: hand.window.title() == SHAPES[Face.TABLE].title and "Team A" in hand.items(),
        closing,
    ]
    with Person(steps):
        assert main(["setup", "--home", str(tmp_path)]) == 0
    (known,) = Home(tmp_path).courts()
    assert known.teams == "Team A, Team B"
    file = StationFolder(Path(known.folder)).read()
    assert file.charter is not None and file.names is not None
    assert file.charter.settings == Settings(worn=False, names=False, retention_days=1, medical_post="R1")
    assert (file.names.responsible, file.names.a.name) == ("desk", "Team A")


def test_a_known_court_goes_on_where_it_was(application: QGuiApplication, tmp_path: Path) -> None:
    """Bare `crewlink`, one tap, the face of the job held there."""
    Home(tmp_path).open_court(CourtPlan("7", a=TeamPlan("Harbour Kites"), b=TeamPlan("Northfield Lynx")))
    with Person([tapping("setup.home.court"), reading("Court 7"), closing]) as hand:
        assert main(["setup", "--home", str(tmp_path)]) == 0
    assert hand.titles == ["crewlink, before the match", SHAPES[Face.TABLE].title]


def test_closing_the_window_of_set_up_ends_the_program(
    application: QGuiApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Bare `crewlink` opens set-up, at the home that the environment names; nothing is made by looking."""
    monkeypatch.setenv("CREWLINK_HOME", str(tmp_path))
    with Person([reading("Link your crew"), closing]) as hand:
        assert main([]) == 0
    assert hand.titles == ["crewlink, before the match"]
    assert list(tmp_path.iterdir()) == []


def test_the_choices_reach_the_court(application: QGuiApplication, tmp_path: Path) -> None:
    """Who holds the tablet in the right hand, in a bright gym, finds it so on R2's face."""
    home = Home(tmp_path)
    home.keep(Choices(Hand.RIGHT, bright=True, calm=True))
    home.open_court(CourtPlan("7", post="R2", a=TeamPlan("Harbour Kites"), b=TeamPlan("Northfield Lynx")))
    found: dict[str, object] = {}

    def looking(person: Person) -> bool:
        theme = person.window.engine().singletonInstance("Crewlink.Ui", "Theme")
        found.update({name: theme.property(name) for name in ("rightHand", "bright", "reducedMotion")})
        return person.window.title() == SHAPES[Face.NET].title

    with Person([tapping("setup.home.court"), looking, closing]):
        assert main(["setup", "--home", str(tmp_path)]) == 0
    assert found == {"rightHand": True, "bright": True, "reducedMotion": True}
