"""Walks over a shown face: each gives a list of what is wrong, in sentences. A face's tests run them all."""

from __future__ import annotations

from itertools import combinations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFont
from PySide6.QtQuick import QQuickItem

from tests.ui.rig import Rig, is_text, spoken

CAPITAL = 0.727
"""Height of a capital, in parts of the type size (Inter)."""


def words(rig: Rig) -> list[QQuickItem]:
    """All texts that can be seen and are not empty."""
    return [item for item in rig.items() if is_text(item) and item.property("text")]


def size_of(text: QQuickItem) -> int:
    """Type size of a text, px."""
    font = text.property("font")
    assert isinstance(font, QFont)
    return font.pixelSize()


def drawn_size(text: QQuickItem) -> float:
    """Type size of a text as it is drawn, px of the window: a face may be scaled as a whole."""
    return size_of(text) * (text.mapToScene(QPointF(0, 1)).y() - text.mapToScene(QPointF(0, 0)).y())


def ink_rect(text: QQuickItem) -> QRectF:
    """Where the letters of a text are in the window: from the capitals' top to the last baseline, px."""
    top = text.baselineOffset() - CAPITAL * size_of(text)
    lines = int(text.property("lineCount"))
    line = float(text.property("contentHeight")) / max(1, lines)
    corner = text.mapToScene(QPointF(float(text.property("inkX")), top))
    high = CAPITAL * size_of(text) + (lines - 1) * line
    wide = float(text.property("contentWidth"))
    return QRectF(corner, text.mapToScene(QPointF(float(text.property("inkX")) + wide, top + high)))


def truncated(rig: Rig) -> list[str]:
    """Texts that are cut or wider than their place."""
    return [
        f"{text.property('text')!r} is cut"
        for text in words(rig)
        if text.property("truncated") or float(text.property("contentWidth")) > text.width() + 1
    ]


def overlapping(rig: Rig) -> list[str]:
    """Pairs of texts whose letters lie on one another."""
    found = []
    for one, other in combinations(words(rig), 2):
        common = ink_rect(one).intersected(ink_rect(other))
        if common.width() > 1 and common.height() > 1:
            found.append(f"{one.property('text')!r} lies on {other.property('text')!r}")
    return found


def too_small(rig: Rig, floor: int) -> list[str]:
    """Texts under the least type size of the face."""
    return [
        f"{text.property('text')!r} is {drawn_size(text):.1f} px"
        for text in words(rig)
        if drawn_size(text) < floor
    ]


def pressables(rig: Rig) -> list[QQuickItem]:
    """Everything that can be pressed now."""
    return [item for item in rig.items() if item.inherits("QQuickAbstractButton") and item.isEnabled()]


def small_targets(rig: Rig, least: int) -> list[str]:
    """Targets under the least size; one side may be the whole width."""
    return [
        f"{spoken(item)!r} is {rig.rect(item).width():.0f} x {rig.rect(item).height():.0f}"
        for item in pressables(rig)
        if min(rig.rect(item).width(), rig.rect(item).height()) < least - 0.5
    ]


def unnamed(rig: Rig) -> list[str]:
    """Pressables without an accessible name that starts with their visible text, or without object name."""
    found = []
    for item in pressables(rig):
        text, name = str(item.property("text") or ""), spoken(item)
        if not name or not name.startswith(text):
            found.append(f"{item.objectName()!r} is called {name!r} and shows {text!r}")
        if not item.objectName():
            found.append(f"{name!r} has no object name")
    return found


def outside(rig: Rig) -> list[str]:
    """Texts and pressables that are not wholly inside the window."""
    window = QRectF(0, 0, rig.stage.view.width(), rig.stage.view.height())
    places = [(str(text.property("text")), ink_rect(text)) for text in words(rig)]
    places += [(spoken(item), rig.rect(item)) for item in pressables(rig)]
    return [f"{name!r} is outside" for name, place in places if not window.contains(place)]


def spilling(rig: Rig) -> list[str]:
    """Words of a pad that reach over its edge."""
    found = []
    for text in words(rig):
        pad = text.parentItem()
        while pad is not None and not pad.inherits("QQuickAbstractButton"):
            pad = pad.parentItem()
        if pad is not None and not rig.rect(pad).adjusted(-1, -1, 1, 1).contains(ink_rect(text)):
            found.append(f"{text.property('text')!r} reaches over the edge of {pad.objectName()!r}")
    return found


def upright_hues(rig: Rig) -> list[str]:
    """Filled shapes in a notice's hue that stand higher than wide: they look like a card held up."""
    hues = {QColor(rig.stage.theme.property(name)).name() for name in ("now", "soon")}
    found = []
    for item in rig.items():
        color = item.property("color")
        if is_text(item) or not isinstance(color, QColor) or color.alpha() == 0 or color.name() not in hues:
            continue
        if item.height() > item.width():
            found.append(f"{item.width():.0f} x {item.height():.0f} in {color.name()}")
    return found


def all_faults(rig: Rig, floor: int, least: int) -> list[str]:
    """Every walk: `floor` is the least type size, `least` the least target, px."""
    return (
        truncated(rig)
        + overlapping(rig)
        + too_small(rig, floor)
        + small_targets(rig, least)
        + unnamed(rig)
        + outside(rig)
        + spilling(rig)
        + upright_hues(rig)
    )
