"""The supervisor's board as QML sees it: tiles, open notices, what comes next, health, and one court that
is open.

`update` hands a board down. The open court is shown by the face's own `CourtView`, which is given that
court's snapshot; what is asked of it goes to that court alone.
"""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

from PySide6.QtCore import Property, QObject, Qt, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.crew.commands import Raise, Shown
from crewlink.site.board import pending
from crewlink.snapshot import BoardSnapshot, CourtSight, NoticeView
from ui.bridge.board_roles import NextRole, OpenRole, TileRole
from ui.bridge.board_rows import NextRow, OpenRow, TileRow, next_row, open_row, tile_row, wall_text
from ui.bridge.court_view import CourtView
from ui.bridge.notice_look import NoticeLook, NoticeModel
from ui.bridge.reading import NOBODY
from ui.bridge.rows import RowModel
from ui.bridge.submit import Answer, Command

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

TILES = 12
"""Courts on one page of the board."""

MESSAGE_LETTERS = 70
"""Letters of a message: what a wrist can show at once."""

SaveIncidents = Callable[[Callable[[str], None]], None]
"""Write the incident lists of all courts; what became of it is told in one line, from any thread."""

SubmitTo = Callable[[int, Command], Answer]
"""Hand a command to the station of a court. Never blocks."""


@QmlElement
class BoardView(QObject):
    """All courts. `opened` is the number of the court that is open, or NOBODY."""

    changed = Signal()
    beaten = Signal()
    openedChanged = Signal()
    savedChanged = Signal()
    _told_of_saving = Signal(str)
    pageChanged = Signal()

    def __init__(
        self,
        board: BoardSnapshot,
        court: CourtView,
        submit_to: SubmitTo,
        *,
        now: Callable[[], float] = monotonic,
        save_incidents: SaveIncidents | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._save_incidents = save_incidents
        self._saved_text = ""
        self._told_of_saving.connect(self._saved, Qt.ConnectionType.QueuedConnection)
        self._board, self._court, self._submit_to, self._now = board, court, submit_to, now
        self._opened = NOBODY
        self._page = 0
        self._chosen = ""
        self._shown: set[tuple[int, str]] = set()
        self._clock = ""
        self._tiles: RowModel[TileRow] = RowModel(TileRole, lambda row: row.court, self)
        self._notices: RowModel[OpenRow] = RowModel(OpenRole, lambda row: row.key, self)
        self._next: RowModel[NextRow] = RowModel(NextRole, lambda row: row.key, self)
        self._past = NoticeModel(self)
        self._none = NoticeLook(None, board.taken, board.taken, self)
        self._told = self._none
        court.ticked.connect(self.beat)
        self.update(board)

    @Slot(object)
    def update(self, board: BoardSnapshot) -> None:
        """Show `board`."""
        self._board = board
        self._next.show([next_row(match) for match in board.next])
        self._show_court()
        self.changed.emit()
        self.beat()

    @Slot()
    def beat(self) -> None:
        """Let time pass: ages, clocks, the hall's clock."""
        now = self._now()
        elapsed = now - self._board.taken
        first = self._page * TILES
        self._tiles.show([tile_row(tile, elapsed) for tile in self._board.tiles[first : first + TILES]])
        self._notices.show([open_row(one, elapsed) for one in self._board.notices])
        self._past.beat(now)
        clock = wall_text(self._board.wall + round(elapsed * 1000))
        if clock != self._clock:
            self._clock = clock
            self.beaten.emit()

    def _sight(self) -> CourtSight | None:
        return next((sight for sight in self._board.sights if sight.court == self._opened), None)

    def _show_court(self) -> None:
        sight = self._sight()
        past: tuple[NoticeView, ...] = ()
        if sight is not None:
            self._court.update(sight.snapshot)
            past = sight.snapshot.past
        self._past.update(past, self._board.taken, self._now())
        live = [row.notice for row in self._court.notices.rows]
        looks = live + [row.notice for row in self._past.rows]
        chosen = (look for look in looks if look.notice.id == self._chosen)
        self._told = next(chosen, looks[0] if looks and sight is not None else self._none)

    @Slot(int)
    def open(self, court: int) -> None:
        """Open a court; one that is not on the board leaves all as it is."""
        if any(sight.court == court for sight in self._board.sights):
            self._opened, self._chosen = court, ""
            self._show_court()
            self.openedChanged.emit()
            self.changed.emit()

    @Slot()
    def openFirst(self) -> None:
        """Open the court of the most urgent open notice, else the first court."""
        first = self._first()
        if first != NOBODY:
            self.open(first)

    def _first(self) -> int:
        courts = [one.court for one in self._board.notices] or [sight.court for sight in self._board.sights]
        return courts[0] if courts else NOBODY

    @Slot()
    def close(self) -> None:
        """Back to all courts."""
        if self._opened != NOBODY:
            self._opened = NOBODY
            self._show_court()
            self.openedChanged.emit()
            self.changed.emit()

    @Slot(str)
    def choose(self, notice: str) -> None:
        """Show who saw this notice, and when."""
        self._chosen = notice
        self._show_court()
        self.changed.emit()

    @Slot(str, result=str)
    def pendingText(self, notice: str) -> str:
        """What is still to come about a notice of the open court that all have answered, else ""."""
        sight = self._sight()
        live = sight.snapshot.notices if sight is not None else ()
        return next((pending(one) for one in live if one.id == notice), "")

    @Slot(str, str, str, result=bool)
    def message(self, words: str, level: str, post: str) -> bool:
        """Send words to the open court, else to every court; `post`: to whom, "" for the whole crew."""
        words = words.strip()
        if not words or len(words) > MESSAGE_LETTERS:
            return False
        to = (post,) if post else ()
        courts = [sight.court for sight in self._board.sights if self._opened in (NOBODY, sight.court)]
        for court in courts:
            self._submit_to(court, Raise("site_message", level=level, to=to, text=words))
        return bool(courts)

    @Slot()
    def saveIncidents(self) -> None:
        """Write the incident lists of all courts; `savedText` says what became of it."""
        if self._save_incidents is not None:
            self._saved("Writing the incident list ...")
            self._save_incidents(self._told_of_saving.emit)

    @Slot(str)
    def _saved(self, told: str) -> None:
        self._saved_text = told
        self.savedChanged.emit()

    @Property(str, notify=savedChanged)
    def savedText(self) -> str:
        """What became of saving the incidents: where the files are, or why there are none."""
        return self._saved_text

    @Property(bool, constant=True)
    def savesIncidents(self) -> bool:
        """The incident lists can be written here."""
        return self._save_incidents is not None

    @Property(int, constant=True)
    def messageLetters(self) -> int:
        """How long a message may be."""
        return MESSAGE_LETTERS

    @Slot(int)
    def turn(self, pages: int) -> None:
        """Go on or back by pages of twelve courts."""
        page = min(max(0, self._page + pages), self._pages() - 1)
        if page != self._page:
            self._page = page
            self.beat()
            self.pageChanged.emit()

    def _pages(self) -> int:
        return max(1, -(-len(self._board.tiles) // TILES))

    @Slot(int, str)
    def shown(self, court: int, notice: str) -> None:
        """The board showed a notice for 400 ms; told to its court once."""
        if (court, notice) not in self._shown:
            self._shown.add((court, notice))
            self._submit_to(court, Shown(notice))

    @Property(str, notify=changed)
    def hall(self) -> str:
        return self._board.hall

    @Property(str, notify=beaten)
    def clockText(self) -> str:
        return self._clock

    @Property(str, notify=changed)
    def courtsText(self) -> str:
        count = len(self._board.tiles)
        return f"{count} {'court' if count == 1 else 'courts'}, seen from the table side"

    @Property(str, notify=changed)
    def lateText(self) -> str:
        late = self._board.late
        return "" if not late else f"{late} {'court' if late == 1 else 'courts'} late"

    @Property(str, notify=changed)
    def healthText(self) -> str:
        health = self._board.health
        return f"{health.linked} of {health.devices} devices linked" if self._board.tiles else ""

    @Property(str, notify=changed)
    def forecastText(self) -> str:
        forecast = self._board.health.forecast
        return f"finish forecast {forecast}" if forecast and self._board.tiles else ""

    @Property(str, notify=changed)
    def enterText(self) -> str:
        """What Enter does with nothing chosen: "Enter opens court 7"; "" with no court."""
        first = self._first()
        return "" if first == NOBODY else f"Enter opens court {first}"

    @Property(int, notify=changed)
    def courts(self) -> int:
        """How many courts there are, on all pages."""
        return len(self._board.tiles)

    @Property(str, notify=changed)
    def floodText(self) -> str:
        """Courts with more than ten notices in ten minutes."""
        floods = self._board.health.floods
        return f"Many notices: court {', '.join(map(str, floods))}" if floods else ""

    @Property(int, notify=pageChanged)
    def page(self) -> int:
        return self._page

    @Property(int, notify=changed)
    def pages(self) -> int:
        return self._pages()

    @Property(int, notify=openedChanged)
    def opened(self) -> int:
        return self._opened

    @Property(bool, notify=changed)
    def openedLinked(self) -> bool:
        """The open court can be heard."""
        tile = next((tile for tile in self._board.tiles if tile.court == self._opened), None)
        return tile is None or tile.linked

    @Property(str, notify=changed)
    def asOfText(self) -> str:
        """As of when the open court's figures are, if it cannot be heard."""
        tile = next((tile for tile in self._board.tiles if tile.court == self._opened), None)
        return "" if tile is None or tile.linked else f"as of {wall_text(tile.as_of)}"

    @Property(NoticeLook, notify=changed)
    def told(self) -> NoticeLook:
        """The notice of the open court whose way through the crew is drawn; blank if there is none."""
        return self._told

    @Property(QObject, constant=True)
    def past(self) -> NoticeModel:
        """What is over on the open court, newest first."""
        return self._past

    @Property(QObject, constant=True)
    def tiles(self) -> RowModel[TileRow]:
        return self._tiles

    @Property(QObject, constant=True)
    def notices(self) -> RowModel[OpenRow]:
        return self._notices

    @Property(QObject, constant=True)
    def next(self) -> RowModel[NextRow]:
        return self._next
