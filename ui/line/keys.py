"""The keys that the number line knows, whatever keyboard they came from."""

from __future__ import annotations

from enum import StrEnum


class Key(StrEnum):
    """A key by what is printed on it; digits are "0" to "9"."""

    LEFT = "left"
    RIGHT = "right"
    UP = "up"
    DOWN = "down"
    ENTER = "enter"
    SPACE = "space"
    TAB = "tab"
    BACKTAB = "backtab"
    BACKSPACE = "backspace"
    ESC = "esc"
    X = "x"
    F1 = "f1"
    F2 = "f2"
    F3 = "f3"
    F4 = "f4"
    F5 = "f5"
    F6 = "f6"
    F7 = "f7"
    F8 = "f8"
    F9 = "f9"
    F10 = "f10"
    F11 = "f11"
    F12 = "f12"
    ZERO = "0"
    ONE = "1"
    TWO = "2"
    THREE = "3"
    FOUR = "4"
    FIVE = "5"
    SIX = "6"
    SEVEN = "7"
    EIGHT = "8"
    NINE = "9"

    @property
    def digit(self) -> bool:
        """A figure of a player's number."""
        return self.value.isdigit()


POINT_KEYS = {Key.LEFT: "left", Key.F1: "left", Key.RIGHT: "right", Key.F12: "right"}
"""Keys that write a point when the line is idle, and the side they write it for. They act on release."""

STRIP = (Key.ENTER, Key.SPACE, Key.UP, Key.DOWN, Key.TAB, Key.BACKSPACE, Key.ESC)
"""The seven keys of the key strip, in their places."""
