"""From key events to the keys of the number line; figures by their place on the keyboard."""

from __future__ import annotations

from PySide6.QtCore import Qt

from ui.line.keys import Key

_K = Qt.Key
_NAMED = {
    int(_K.Key_Left): Key.LEFT,
    int(_K.Key_Right): Key.RIGHT,
    int(_K.Key_Up): Key.UP,
    int(_K.Key_Down): Key.DOWN,
    int(_K.Key_Return): Key.ENTER,
    int(_K.Key_Enter): Key.ENTER,
    int(_K.Key_Space): Key.SPACE,
    int(_K.Key_Tab): Key.TAB,
    int(_K.Key_Backtab): Key.BACKTAB,
    int(_K.Key_Backspace): Key.BACKSPACE,
    int(_K.Key_Escape): Key.ESC,
    int(_K.Key_X): Key.X,
    **{int(_K.Key_F1) + place: Key(f"f{place + 1}") for place in range(12)},
    **{int(_K.Key_0) + figure: Key(str(figure)) for figure in range(10)},
}
_ROW = "1234567890"
_PLACES: dict[str, dict[int, str]] = {
    "xcb": {10 + place: figure for place, figure in enumerate(_ROW)},
    "wayland": {10 + place: figure for place, figure in enumerate(_ROW)},
    "windows": {2 + place: figure for place, figure in enumerate(_ROW)},
    "cocoa": dict(zip((18, 19, 20, 21, 23, 22, 26, 28, 25, 29), _ROW, strict=True)),
}
"""Scan codes of the row of figures: XKB, PC set 1, and the virtual key codes of macOS (from memory)."""


def key_of(key: int, scan: int, platform: str) -> Key | None:
    """The key of the line for a Qt key and its scan code on `platform`; None for all others."""
    named = _NAMED.get(key)
    if named is not None:
        return named
    figure = _PLACES.get(platform, {}).get(scan)
    return None if figure is None else Key(figure)
