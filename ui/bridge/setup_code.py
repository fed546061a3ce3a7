"""Codes as QML sees them: the one shown on the opening device, and the one typed on the joining device."""

from __future__ import annotations

import io
from collections.abc import Callable

import segno
from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.crew.posts import Post
from ui.bridge.reading import clock_text
from ui.bridge.setup_port import Joining, Knock, SetupNews, ShownCode

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

DIGITS = 9
GROUP = 3
_JOBS = {
    Post.R1: "R1",
    Post.R2: "R2",
    Post.SCORER: "scorer",
    Post.ASSISTANT: "assistant scorer",
    Post.SITE: "supervisor",
}


def job_word(post: str) -> str:
    """A job as it stands inside a sentence."""
    return _JOBS[Post(post)] if post in set(Post) else post


def job_phrase(post: str) -> str:
    """A job with its article: "R2", "the scorer"."""
    word = job_word(post)
    return word if word in (Post.R1, Post.R2) else f"the {word}"


def square_path(text: str) -> tuple[str, int]:
    """A square code as an SVG path of its dark modules, one unit each, and its side in units; no margin."""
    if not text:
        return "", 0
    code = segno.make_qr(text, error="m")
    out = io.StringIO()
    rows = list(code.matrix)
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            end = x
            while end < len(row) and row[end]:
                end += 1
            if end > x:
                out.write(f"M{x} {y}h{end - x}v1h{x - end}z")
            x = max(end, x + 1)
    return out.getvalue(), len(rows)


@QmlElement
class ShownCodeLook(QObject):
    """The code on show: nine digits, a square, how long it is good, how many tries are left."""

    changed = Signal()
    beaten = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._code: ShownCode | None = None
        self._knock: Knock | None = None
        self._ends = 0.0
        self._left = 0
        self._path, self._side = "", 0

    def update(self, news: SetupNews, now: float) -> None:
        """Show what the news say."""
        if (news.code, news.knock) != (self._code, self._knock):
            if news.code is None or self._code is None or news.code.square != self._code.square:
                self._path, self._side = square_path(news.code.square if news.code else "")
            self._code, self._knock = news.code, news.knock
            if news.code is not None:
                self._ends = news.code.ends
            self.changed.emit()
            self.beaten.emit()
        self.beat(now)

    def beat(self, now: float) -> None:
        """Let time pass."""
        left = max(0, int(self._ends - now + 0.999)) if self._code is not None else 0
        if left != self._left:
            self._left = left
            self.beaten.emit()

    @Property(bool, notify=changed)
    def present(self) -> bool:
        return self._code is not None

    @Property(str, notify=changed)
    def post(self) -> str:
        return self._code.post if self._code else ""

    @Property(str, notify=changed)
    def jobPhrase(self) -> str:
        return job_phrase(self._code.post) if self._code else ""

    @Property(str, notify=changed)
    def digits(self) -> str:
        return self._code.digits if self._code else ""

    @Property(str, notify=changed)
    def number(self) -> str:
        """The number by which the other device finds this one in its list; "" where it can't."""
        return self._code.number if self._code else ""

    @Property(str, notify=changed)
    def address(self) -> str:
        return self._code.address if self._code else ""

    @Property(str, notify=changed)
    def courtWords(self) -> str:
        """The court's name and the words of its key, as the other device shows them too."""
        code = self._code
        if code is None or not code.words:
            return ""
        return f"{code.court}: {code.words}" if code.court else code.words

    @Property(str, notify=changed)
    def spoken(self) -> str:
        """The digits for a screen reader, one by one in threes."""
        digits = self._code.digits if self._code else ""
        groups = [digits[place : place + GROUP] for place in range(0, len(digits), GROUP)]
        return ", ".join(" ".join(group) for group in groups)

    @Property(str, notify=beaten)
    def leftText(self) -> str:
        return clock_text(self._left)

    @Property(bool, notify=beaten)
    def over(self) -> bool:
        return self._code is not None and self._left == 0

    @Property(str, notify=changed)
    def triesText(self) -> str:
        tries = self._code.tries if self._code else 0
        return {3: "three tries", 2: "two tries left", 1: "one try left"}.get(tries, "no tries left")

    @Property(str, notify=changed)
    def squarePath(self) -> str:
        return self._path

    @Property(int, notify=changed)
    def squareSide(self) -> int:
        return self._side

    @Property(bool, notify=changed)
    def knocked(self) -> bool:
        return self._knock is not None

    @Property(str, notify=changed)
    def knockName(self) -> str:
        return self._knock.name if self._knock else ""

    @Property(str, notify=changed)
    def knockJob(self) -> str:
        return job_word(self._knock.post) if self._knock else ""


@QmlElement
class TypedCodeLook(QObject):
    """The code as it is typed. It is offered by itself once its nine digits fit together."""

    changed = Signal()

    def __init__(
        self,
        fits: Callable[[str], bool] | None = None,
        offer: Callable[[str], None] | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._fits = fits
        self._offer = offer
        self._typed = ""
        self._joining = Joining.NOT
        self._trouble = ""

    def update(self, news: SetupNews) -> None:
        """Show how far joining has come; a refused code is emptied, to be typed anew."""
        if (news.joining, news.trouble) == (self._joining, self._trouble):
            return
        if news.joining is Joining.REFUSED and self._joining is Joining.ASKING:
            self._typed = ""
        self._joining, self._trouble = news.joining, news.trouble
        self.changed.emit()

    def clear(self) -> None:
        """Empty all boxes."""
        self._typed = ""
        self.changed.emit()

    @Slot(int)
    def type(self, digit: int) -> None:
        """One digit more."""
        if self._busy or len(self._typed) >= DIGITS:
            return
        self._typed += str(digit)
        self.changed.emit()
        if len(self._typed) == DIGITS and not self._slipped and self._offer is not None:
            self._offer(self._typed)

    @Slot(str)
    def typeAll(self, text: str) -> None:
        """Digits of a pasted text."""
        for sign in text:
            if sign.isascii() and sign.isdigit():
                self.type(int(sign))

    @Slot()
    def rub(self) -> None:
        """Take the last digit away."""
        if not self._busy:
            self._typed = self._typed[:-1]
            self.changed.emit()

    @property
    def _slipped(self) -> bool:
        return len(self._typed) == DIGITS and self._fits is not None and not self._fits(self._typed)

    @property
    def _busy(self) -> bool:
        return self._joining in (Joining.ASKING, Joining.WAITING, Joining.JOINED)

    @Property(str, notify=changed)
    def digits(self) -> str:
        return self._typed

    @Property(int, notify=changed)
    def count(self) -> int:
        return len(self._typed)

    @Property(bool, notify=changed)
    def slip(self) -> bool:
        """Nine digits stand there and the last one does not fit."""
        return self._slipped

    @Property(bool, notify=changed)
    def busy(self) -> bool:
        return self._busy

    @Property(str, notify=changed)
    def sentence(self) -> str:
        """What to know now, in one or two sentences."""
        if self._slipped:
            return "A slip: these nine digits don't fit together. Nothing was sent."
        return {
            Joining.ASKING: "Asking the other device.",
            Joining.WAITING: "The code is right. The other device lets you in.",
            Joining.JOINED: "You are in.",
            Joining.REFUSED: self._trouble or "That was not the code. Read it again.",
        }.get(self._joining, "The last digit checks the others: a slip shows at once.")
