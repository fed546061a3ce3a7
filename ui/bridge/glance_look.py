"""What a wrist needs at one glance: the worst link, what can be told about whom, a plate that was taken
back, and a suggested decision as its reader sees the two sides.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from crewlink.snapshot import NoticeView, ProposalView, Snapshot, TeamView
from ui.bridge.lines import LinkRow
from ui.bridge.moment_looks import OLDER
from ui.bridge.notice_look import NoticeLook

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

GONE_SECONDS = 5.0
ALL_SILENT = "No link"
SHORT_LINE = 18
_RANK = {"lost": 0, "late": 1}


def worst_link(rows: Sequence[LinkRow]) -> LinkRow | None:
    """The post of the court that has been silent longest, "No link" for all of them, None if all are
    heard.
    """
    court = [row for row in rows if row.post != "site" and row.reach not in ("here", "unfilled")]
    bad = sorted((row for row in court if row.reach in _RANK), key=lambda row: _RANK[row.reach])
    if not bad:
        return None
    if len(bad) == len(court) > 1:
        return LinkRow("", ALL_SILENT, bad[0].reach, bad[0].silent_text)
    return bad[0]


def linked_text(rows: Sequence[LinkRow]) -> str:
    """How many of the court's devices are here, this one counted: "Linked 3 of 4"."""
    court = [row for row in rows if row.post != "site"]
    others = [row for row in court if row.reach != "here"]
    linked = sum(1 for row in others if row.reach == "linked")
    return f"Linked {linked + 1} of {len(others) + 1}"


def missing_text(rows: Sequence[LinkRow]) -> str:
    """Which jobs nobody is at yet: "Table is missing", "R2, Table are missing", or "All are here"."""
    missing = [row.word for row in rows if row.post != "site" and row.reach not in ("here", "linked")]
    if not missing:
        return "All are here"
    return f"{', '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing"


def turned(score: str, left: str) -> tuple[str, str]:
    """A score "23:21" (A first) as its reader sees it: ("21", "23") with B on the left."""
    a, _, b = score.partition(":")
    return (a, b) if left == "A" else (b, a)


def lettered(left: TeamView, right: TeamView, count: Callable[[TeamView], int]) -> str:
    """A count of both teams with their letters, as their reader sees them: "B 21, A 23"."""
    return f"{left.letter} {count(left)}, {right.letter} {count(right)}"


def won_text(a: TeamView, b: TeamView) -> str:
    """Who won the last set: "Set 1 to B"; "" before the first set is over."""
    if not a.set_points or len(a.set_points) != len(b.set_points):
        return ""
    winner = a if a.set_points[-1] > b.set_points[-1] else b
    return f"Set {len(a.set_points)} to {winner.letter}"


def expected_text(expected: Sequence[tuple[str, str]]) -> str:
    """Who still works elsewhere: "R1 comes from court 3"."""
    words = {"scorer": "Table", "assistant": "Assistant"}
    return ", ".join(f"{words.get(post, post)} comes from {where}" for post, where in expected)


@QmlElement
class GlanceLook(QObject):
    """Things for a glance; `gone` is a blank notice (`present` false) while nothing was taken back."""

    changed = Signal()
    beaten = Signal()

    def __init__(self, none: NoticeLook, parent: QObject) -> None:
        super().__init__(parent)
        self._none = none
        self._snapshot = Snapshot(0.0, "", "")
        self._left = "A"
        self._withdrawn = none
        self._gone_since: dict[str, float] = {}
        self._proposal: ProposalView | None = None
        self._beat: tuple[NoticeLook, LinkRow | None, str, str] = (none, None, "", "")

    def update(self, snapshot: Snapshot, looks: Sequence[NoticeLook], left: str, now: float) -> None:
        """Show `snapshot`, whose notices are `looks`; `left` is the team on this reader's left."""
        withdrawn = [look for look in looks if self._was_shown(look.notice, snapshot.post)]
        for look in withdrawn:
            self._gone_since.setdefault(look.notice.id, now)
        self._withdrawn = next(iter(withdrawn), self._none)
        mine = (one for one in snapshot.proposals if one.mine and not one.said)
        self._proposal = next(iter(sorted(mine, key=lambda one: one.kind == OLDER)), None)
        self._snapshot, self._left = snapshot, left
        self.changed.emit()

    @staticmethod
    def _was_shown(notice: NoticeView, post: str) -> bool:
        seen = ("shown", "answered", "relayed")
        return notice.state == "withdrawn" and any(
            row.post == post and row.state in seen for row in notice.receipts
        )

    def beat(self, now: float, links: Sequence[LinkRow]) -> None:
        """Let time pass."""
        since = self._gone_since.get(self._withdrawn.notice.id)
        fresh = since is not None and now - since < GONE_SECONDS
        beat = (
            self._withdrawn if fresh else self._none,
            worst_link(links),
            linked_text(links),
            missing_text(links),
        )
        if beat != self._beat:
            self._beat = beat
            self.beaten.emit()

    @Property(NoticeLook, notify=beaten)
    def gone(self) -> NoticeLook:
        """A notice this post was shown and that was taken back less than 5 s ago."""
        return self._beat[0]

    @Property(str, notify=beaten)
    def linkWord(self) -> str:
        return self._beat[1].word if self._beat[1] else ""

    @Property(bool, notify=beaten)
    def linkLost(self) -> bool:
        """Silent for 10 s: mark, name and age are bold."""
        return self._beat[1] is not None and self._beat[1].reach == "lost"

    @Property(str, notify=beaten)
    def linkAge(self) -> str:
        return self._beat[1].silent_text if self._beat[1] else ""

    @Property(str, notify=beaten)
    def linkedText(self) -> str:
        return self._beat[2]

    @Property(str, notify=beaten)
    def missingText(self) -> str:
        return self._beat[3]

    @Property(bool, notify=beaten)
    def alone(self) -> bool:
        """No device of the court has been heard for 10 s: what is told reaches nobody."""
        return self.linkLost and self.linkWord == ALL_SILENT

    def _sides(self) -> tuple[TeamView, TeamView]:
        a, b = self._snapshot.a, self._snapshot.b
        return (a, b) if self._left == "A" else (b, a)

    @Property(str, notify=changed)
    def scoreText(self) -> str:
        """Points with the letters of the teams, left first."""
        return lettered(*self._sides(), lambda team: team.points)

    @Property(str, notify=changed)
    def setsText(self) -> str:
        """Sets won with the letters of the teams, left first: "sets B 1, A 0"."""
        return f"sets {lettered(*self._sides(), lambda team: team.sets)}"

    @Property(str, notify=changed)
    def wonText(self) -> str:
        """Who won the last set, "" in the first one."""
        return won_text(self._snapshot.a, self._snapshot.b)

    @Property(str, notify=changed)
    def pointKind(self) -> str:
        """ "set_point" or "match_point" if a team is one point away, else ""."""
        return self._snapshot.standing

    @Property(str, notify=changed)
    def pointTeam(self) -> str:
        """The team that is one point away; "" for both or none."""
        return self._snapshot.standing_team if len(self._snapshot.standing_team) == 1 else ""

    @Property(bool, notify=changed)
    def courtsDue(self) -> bool:
        """The teams must change courts now."""
        return self._snapshot.courts_due

    @Property(bool, notify=changed)
    def tossDue(self) -> bool:
        """The toss comes before the next set."""
        return self._snapshot.toss_due

    @Property(str, notify=changed)
    def serverTeam(self) -> str:
        """The team a wrong server can only belong to; "" where the last rally and the next are not of one
        team.
        """
        last, due = self._snapshot.last_served, self._snapshot.server_team
        return due if last in ("", due) else ""

    @Property(bool, notify=changed)
    def deciding(self) -> bool:
        """A suggested decision waits for this post's word."""
        return self._proposal is not None

    @Property(str, notify=changed)
    def decisionId(self) -> str:
        return self._proposal.id if self._proposal else ""

    @Property(bool, notify=changed)
    def decisionOlder(self) -> bool:
        """It is about a change of an old line: it can wait for the dead ball."""
        return self._proposal is not None and self._proposal.kind == OLDER

    @Property(str, notify=changed)
    def decisionTitle(self) -> str:
        return self._proposal.title if self._proposal else ""

    @Property(str, notify=changed)
    def decisionShort(self) -> str:
        """What becomes of an old line, without the line: "Crossed out"."""
        return self._proposal.title.partition(":")[0] if self._proposal else ""

    @Property(str, notify=changed)
    def decisionLine(self) -> str:
        """Which line that is, "an old line" if it is too long for a wrist: "Point A"."""
        line = self._proposal.title.partition(": ")[2] if self._proposal else ""
        return line if 0 < len(line) <= SHORT_LINE else "an old line"

    @Property(str, notify=changed)
    def decisionLeft(self) -> str:
        return turned(self._proposal.after, self._left)[0] if self._proposal else ""

    @Property(str, notify=changed)
    def decisionRight(self) -> str:
        return turned(self._proposal.after, self._left)[1] if self._proposal else ""

    @Property(str, notify=changed)
    def decisionBefore(self) -> str:
        return ":".join(turned(self._proposal.before, self._left)) if self._proposal else ""

    @Property(str, notify=changed)
    def decisionServer(self) -> str:
        return self._proposal.next_server if self._proposal else ""
