"""A face on one station of a hall of whole stations: taps and keys go to the station, time is the hall's."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt

from crewlink.crew.posts import Post
from crewlink.match.commands import Point
from crewlink.match.teams import Team
from crewlink.snapshot import RefusalView, Snapshot
from tests.crew.hall import Hall
from tests.gallery.scene import Scene
from tests.gallery.table_states import keys
from tests.ui.rig import Rig, Said
from ui.bridge.submit import Command
from ui.face import Face

FULL = (Post.SCORER, Post.R2, Post.R1, Post.ASSISTANT)
LOST_S = 12.0


def in_set(posts: tuple[Post, ...] = FULL) -> Hall:
    """A hall in the first set, 1:0."""
    hall = Hall(posts)
    hall.begin()
    assert hall.do(Post.SCORER, Point(Team.A)).done
    return hall


class HallRig(Rig):
    """`taps`: how often the pointer went down and up on something."""

    def __init__(self, hall: Hall, post: Post, face: Face, size: tuple[int, int] | None = None) -> None:
        self.hall, self.post, self.taps = hall, post, 0
        super().__init__(face, Scene(hall.look(post)), size=size)

    def _submit(self, command: Command) -> Said:
        self.sent.append(command)
        answer = self.hall.do(self.post, command)
        return Said(None if answer.done else RefusalView(answer.sentence, answer.reference))

    def look(self) -> Snapshot:
        """Bring the face up to date; gives what it shows."""
        snapshot = self.hall.look(self.post)
        self.now = snapshot.taken
        self.stage.court.update(snapshot)
        self.settle()
        return snapshot

    def pass_time(self, seconds: float) -> Snapshot:
        """Let the hall's time pass."""
        self.hall.pass_time(seconds)
        return self.look()

    def click(self, point: QPoint) -> None:
        self.taps += 1
        super().click(point)
        self.look()

    def hold(self, name: str) -> None:
        """Press a pad that wants to be held, until its edge is full, then let go inside."""
        self.taps += 1
        self.stage.theme.setProperty("holding", 60)
        point = self.middle(name)
        self.press(point)
        self.eventually(lambda: float(self.item(name).property("filled")) >= 1)
        self.lift(point)
        self.look()

    def type(self, text: str) -> None:
        """Keys by name, as in the gallery; "Back" is Shift and Tab."""
        for word in text.split():
            if word == "Back":
                self.key(Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
            else:
                for key in keys(word):
                    self.key(key)
            self.look()

    def reads(self, words: str) -> bool:
        """Whether some text that can be seen holds these words."""
        return any(words in text for text in self.texts())
