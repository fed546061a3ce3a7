"""The roles of every list model: a role's name is what QML reads, and the row's field in lowerCamel."""

from __future__ import annotations

from enum import IntEnum

from PySide6.QtCore import Qt

_FIRST = int(Qt.ItemDataRole.UserRole)


class SpotRole(IntEnum):
    """A player on court (`crewlink.snapshot.Spot`)."""

    position = _FIRST + 1
    number = _FIRST + 2
    libero = _FIRST + 3
    captain = _FIRST + 4
    standsFor = _FIRST + 5


class LinkRole(IntEnum):
    """A post on the rail (`LinkRow`)."""

    post = _FIRST + 1
    word = _FIRST + 2
    reach = _FIRST + 3
    silentText = _FIRST + 4
    writes = _FIRST + 5


class OfferRole(IntEnum):
    """Something this post can do about who writes, or with a device (`OfferRow`)."""

    key = _FIRST + 1
    words = _FIRST + 2
    warning = _FIRST + 3


class DeviceRole(IntEnum):
    """A device of the court (`DeviceRow`)."""

    device = _FIRST + 1
    word = _FIRST + 2
    reach = _FIRST + 3
    told = _FIRST + 4
    chosen = _FIRST + 5


class CrewRole(IntEnum):
    """A row of the crew page at the table (`ui.line.crew.CrewShown`)."""

    key = _FIRST + 1
    words = _FIRST + 2
    told = _FIRST + 3
    reach = _FIRST + 4
    focused = _FIRST + 5


class RecordRole(IntEnum):
    """One of the records that went apart (`RecordRow`)."""

    head = _FIRST + 1
    title = _FIRST + 2
    told = _FIRST + 3
    counts = _FIRST + 4


class ReceiptRole(IntEnum):
    """How far a notice has come at a post (`ReceiptRow`)."""

    post = _FIRST + 1
    word = _FIRST + 2
    reached = _FIRST + 3
    told = _FIRST + 4
    brief = _FIRST + 5
    shownAt = _FIRST + 6
    doneAt = _FIRST + 7


class HistoryRole(IntEnum):
    """A line of the match history (`HistoryRow`)."""

    entry = _FIRST + 1
    time = _FIRST + 2
    score = _FIRST + 3
    words = _FIRST + 4
    remark = _FIRST + 5
    lane = _FIRST + 6
    struck = _FIRST + 7
    restricted = _FIRST + 8


class NoticeRole(IntEnum):
    """A notice: its id and its view object (`NoticeLook`)."""

    noticeId = _FIRST + 1
    notice = _FIRST + 2


class StopRole(IntEnum):
    """A stop of the ready chain (`StopRow`)."""

    word = _FIRST + 1
    stage = _FIRST + 2
    told = _FIRST + 3


class DutyRole(IntEnum):
    """A duty of the moment (`DutyRow`)."""

    code = _FIRST + 1
    team = _FIRST + 2
    who = _FIRST + 3
    stage = _FIRST + 4
    words = _FIRST + 5


class ExplanationRole(IntEnum):
    """One way to read what happened (`crewlink.snapshot.Explanation`)."""

    text = _FIRST + 1
    against = _FIRST + 2
    score = _FIRST + 3
    server = _FIRST + 4
    ruledOut = _FIRST + 5
    chosen = _FIRST + 6
    proposal = _FIRST + 7


class DefectRole(IntEnum):
    """A fault of a line-up sheet (`crewlink.snapshot.Defect`)."""

    box = _FIRST + 1
    text = _FIRST + 2


class SlotRole(IntEnum):
    """A box of the number line (`ui.line.shown.SlotShown`)."""

    key = _FIRST + 1
    label = _FIRST + 2
    value = _FIRST + 3
    live = _FIRST + 4
    picks = _FIRST + 5


class SheetBoxRole(IntEnum):
    """A box of a line-up sheet being typed (`ui.line.panel.SheetBox`)."""

    key = _FIRST + 1
    label = _FIRST + 2
    value = _FIRST + 3
    live = _FIRST + 4
    flag = _FIRST + 5
    captain = _FIRST + 6


class FaultRole(IntEnum):
    """A fault of a line-up sheet being typed (`ui.line.panel.Fault`)."""

    flag = _FIRST + 1
    sentence = _FIRST + 2
    where = _FIRST + 3


class ActRole(IntEnum):
    """An act of the list at the table (`ui.line.acts.ActShown`)."""

    key = _FIRST + 1
    words = _FIRST + 2
    keys = _FIRST + 3
    chosen = _FIRST + 4


class LiberoRole(IntEnum):
    """A libero of a team (`crewlink.snapshot.LiberoView`)."""

    number = _FIRST + 1
    standsFor = _FIRST + 2
    mustLeave = _FIRST + 3
