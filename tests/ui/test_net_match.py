"""The net face over a real crew: taps become entries at R2's station, and snapshots come back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtGui import QGuiApplication

from crewlink.crew.commands import AnswerNotice, Raise, Shown, TickDuty
from crewlink.crew.posts import Post
from crewlink.match import commands as match
from crewlink.match.ruling import Severity
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.teams import Team, TeamSheet
from crewlink.match.terms import StopCause
from crewlink.script.crew_stage import WALL_MS, CrewStage
from crewlink.snapshot import NoticeView, RefusalView, Snapshot
from tests.gallery.scene import Scene
from tests.ui.rig import Rig, Said
from tests.ui.walks import all_faults
from ui.bridge.submit import Command
from ui.face import Face

A_LIST = TeamSheet("Harbour Kites", (2, 4, 6, 7, 9, 11, 12, 13, 15, 16, 19, 20), 9, (20,))
B_LIST = TeamSheet("Northfield Lynx", (1, 2, 3, 5, 8, 9, 10, 14, 17, 18, 22, 23), 10, (18,))


def setup(score: tuple[int, int]) -> MatchSetup:
    """A set under way at `score`, A to serve with 7."""
    start = MidMatch(
        Team.A, TeamStart((7, 12, 2, 15, 4, 9)), TeamStart((3, 8, 1, 10, 5, 14)), score, first_server=Team.A
    )
    return MatchSetup(team_a=A_LIST, team_b=B_LIST, start=start)


def before() -> MatchSetup:
    """The same match before its toss."""
    return MatchSetup(team_a=A_LIST, team_b=B_LIST)


class Crew:
    """Linked stations of table, R1 and R2; R2's is shown on a face."""

    def __init__(self, match_setup: MatchSetup) -> None:
        self.stage = CrewStage(match_setup, (Post.SCORER, Post.R1, Post.R2))
        crew = self

        class Live(Rig):
            def _submit(self, command: Command) -> Said:
                self.sent.append(command)
                answer = crew.stage.act(Post.R2, command)
                ruling = answer.ruling
                refused = ruling is not None and ruling.severity is Severity.REFUSE
                return Said(RefusalView(ruling.sentence) if ruling is not None and refused else None)

        self.rig: Rig = Live(Face.NET, Scene(self.snapshot()))

    def snapshot(self, post: Post = Post.R2) -> Snapshot:
        """The court as a post sees it now."""
        now = self.stage.now
        return self.stage.stations[post].snapshot(now, WALL_MS + round(now * 1000))

    def show(self) -> None:
        """Bring R2's newest snapshot to the face."""
        self.rig.now = self.stage.now
        self.rig.stage.court.update(self.snapshot())
        self.rig.settle()

    def tap(self, name: str) -> None:
        """Tap, and show what came of it."""
        self.rig.tap(name)
        self.show()

    def tap_armed(self, name: str) -> None:
        """Tap a pad that is deaf at first."""
        self.rig.until(self.rig.item(name), "armed", True)
        self.tap(name)

    def act(self, post: Post, command: Command) -> None:
        """Somebody else does something."""
        self.stage.act(post, command)
        self.show()

    def notice(self, post: Post, kind: str) -> NoticeView:
        """The notice of a kind as a post sees it."""
        return next(one for one in self.snapshot(post).notices if one.kind == kind)

    def score(self, post: Post) -> tuple[int, int]:
        """The score at a post."""
        seen = self.snapshot(post)
        return seen.a.points, seen.b.points


@pytest.fixture
def crew_at(application: QGuiApplication) -> Iterator[list[Crew]]:
    """Crews made by a test are taken down at the end; a warning of the engine fails it."""
    made: list[Crew] = []
    yield made
    assert [warning for crew in made for warning in crew.rig.close()] == []


def opened(made: list[Crew], score: tuple[int, int] = (22, 21)) -> Crew:
    """A crew at a score, just after a rally."""
    made.append(Crew(setup(score)))
    made[-1].act(Post.SCORER, match.Point(Team.A))
    return made[-1]


def test_the_face_shows_the_court_as_it_is(crew_at: list[Crew]) -> None:
    """Score, server due, the six of each team, nothing holds."""
    crew = opened(crew_at)
    assert {"23", "21", "7", "Server due"} <= set(crew.rig.texts())
    assert crew.rig.seen("court.A.server")
    assert all_faults(crew.rig, 17, 64) == []


def test_a_call_gives_the_point_with_fault_and_number(crew_at: list[Crew]) -> None:
    """Two taps: the table's device writes the point, and the face has the new score and server."""
    crew = opened(crew_at)
    crew.tap("net.well.call")
    crew.tap("net.call.net")
    crew.tap("net.numbers.A.12")
    assert [crew.score(post) for post in (Post.SCORER, Post.R1, Post.R2)] == [(23, 22)] * 3
    assert crew.snapshot().history[0].text == "Point B, net 12"
    assert {"22", "Team B"} <= set(crew.rig.texts())


def test_a_call_can_be_undone_from_the_face(crew_at: list[Crew]) -> None:
    """Undo crosses the line out at the table."""
    crew = opened(crew_at)
    crew.tap("net.well.call")
    crew.tap("net.call.centre_line")
    crew.tap("net.call.unseenB")
    assert crew.score(Post.SCORER) == (24, 21)
    crew.tap("net.tray.undo")
    assert crew.score(Post.SCORER) == (23, 21)


def test_wrong_server_reaches_all_and_the_receipts_come_back(crew_at: list[Crew]) -> None:
    """Two taps raise it; R1's answer shows on R2's plate."""
    crew = opened(crew_at)
    crew.tap("net.well.server")
    crew.tap("net.numbers.A.12")
    assert crew.notice(Post.R1, "wrong_server").asked and crew.notice(Post.SCORER, "wrong_server").asked
    assert (crew.notice(Post.R1, "wrong_server").number, crew.notice(Post.R1, "wrong_server").due) == (12, 7)
    crew.act(Post.R1, AnswerNotice(crew.notice(Post.R1, "wrong_server").id))
    states = {one.post: one.state for one in crew.notice(Post.R2, "wrong_server").receipts}
    assert (states["R1"], states["R2"]) == ("answered", "raised")
    assert "Wrong server" in crew.rig.texts()
    assert all_faults(crew.rig, 17, 64) == []


def test_undo_withdraws_it_for_all(crew_at: list[Crew]) -> None:
    """R1 sees that it was taken back."""
    crew = opened(crew_at)
    crew.tap("net.well.server")
    crew.tap("net.numbers.A.12")
    crew.tap("net.tray.undo")
    assert crew.notice(Post.R1, "wrong_server").state == "withdrawn"
    assert "WITHDRAWN" in crew.rig.texts()


def test_a_wrong_server_from_the_table_is_answered_here(crew_at: list[Crew]) -> None:
    """Plate up, shown told, Got it: the table has R2's tick."""
    crew = opened(crew_at)
    crew.act(Post.SCORER, Raise("wrong_server", "A", 12))
    crew.rig.eventually(lambda: len(crew.rig.of_kind(Shown)) == 1)
    crew.tap_armed("net.answer.pad")
    states = {one.post: one.state for one in crew.notice(Post.SCORER, "wrong_server").receipts}
    assert states["R2"] == "answered"
    assert not crew.rig.seen("net.answer.pad")


def test_hold_and_release_over_the_crew(crew_at: list[Crew]) -> None:
    """R1 is asked; the chain says who holds; the release ends it everywhere."""
    crew = opened(crew_at)
    crew.tap("net.well.hold")
    assert crew.notice(Post.R1, "hold_service").asked
    assert crew.snapshot(Post.SCORER).ready.sentence == "R2 holds the service"
    crew.tap("net.well.hold")
    assert crew.snapshot(Post.SCORER).ready.state != "held"
    assert crew.rig.seen("court.A.server")


def test_a_report_keeps_its_details_from_the_table(crew_at: list[Crew]) -> None:
    """R1 reads side and who; the table's plate is neutral."""
    crew = opened(crew_at)
    crew.tap("net.well.conduct")
    crew.tap("net.conduct.sideB")
    crew.tap("net.conduct.coach")
    r1, table = crew.notice(Post.R1, "conduct"), crew.notice(Post.SCORER, "conduct")
    assert (r1.team, "coach" in r1.detail) == ("B", True)
    assert (table.team, table.number, table.neutral) == ("", None, True)
    assert "coach" not in table.title + table.detail


def test_set_point_is_offered_told_and_answered(crew_at: list[Crew]) -> None:
    """At 24:21 the program offers it; one act raises it; answered by all it leaves the face calm."""
    crew = opened(crew_at, (23, 21))
    assert "Set point A" in crew.rig.texts()
    crew.tap_armed("net.answer.tell")
    assert crew.notice(Post.R1, "set_point").asked
    assert not crew.rig.seen("net.answer.tell")
    for post in (Post.R1, Post.SCORER):
        crew.act(post, AnswerNotice(crew.notice(post, "set_point").id))
    assert "Set point A" not in crew.rig.texts()


def test_a_substitution_is_seen_legal_done_and_written(crew_at: list[Crew]) -> None:
    """R2 chooses, sees that it is legal, Done: the table writes it, the court shows 11, R2 must say ready."""
    crew = opened(crew_at)
    crew.tap("net.tray.subA")
    crew.tap("net.subs.A.in.11")
    crew.tap("net.subs.A.out.2")
    assert {"Legal", "1st of 6"} <= set(crew.rig.texts())
    crew.tap("net.subs.done")
    assert 11 in [spot.number for spot in crew.snapshot(Post.R1).a.spots]
    assert {"1 of 6", "Substitution A, 11 in for 2", "I am ready"} <= set(crew.rig.texts())
    crew.tap_armed("net.answer.ready")
    assert crew.snapshot(Post.R1).ready.state == "clear"


def test_the_way_back_is_the_only_legal_pair(crew_at: list[Crew]) -> None:
    """After 11 for 2, 2 can only come back for 11: one tap; anything else says why not."""
    crew = opened(crew_at)
    crew.act(Post.SCORER, match.Substitute(Team.A, (match.Pair(11, 2),)))
    crew.act(Post.SCORER, match.Point(Team.A))
    crew.tap("net.tray.subA")
    crew.tap("net.subs.A.in.2")
    assert {"2", "11", "Legal", "2nd of 6"} <= set(crew.rig.texts())
    crew.tap("net.subs.A.clear")
    crew.tap("net.subs.A.in.6")
    crew.tap("net.subs.A.out.11")
    assert "Not legal" in crew.rig.texts()
    assert not crew.rig.item("net.subs.done").isEnabled()
    assert all_faults(crew.rig, 17, 64) == []


def test_a_time_out_runs_down_on_the_face(crew_at: list[Crew]) -> None:
    """Thirty seconds from the line's own time; the counts are there to be shown to R1."""
    crew = opened(crew_at)
    crew.act(Post.SCORER, match.TimeOut(Team.B))
    assert {"Time-out B", "0:30", "1 of 2"} <= set(crew.rig.texts())
    crew.stage.pass_time(12.0)
    crew.show()
    assert "0:18" in crew.rig.texts()
    assert all_faults(crew.rig, 17, 64) == []


def test_some_seconds_after_the_point_play_is_taken_to_go_on(crew_at: list[Crew]) -> None:
    """The court goes off, the well stays, substitutions are no longer offered."""
    crew = opened(crew_at)
    crew.stage.pass_time(9.0)
    crew.show()
    assert "Rally" in crew.rig.texts()
    assert crew.rig.seen("net.well.call") and not crew.rig.seen("net.tray.subA")
    assert all_faults(crew.rig, 17, 64) == []


def test_the_rules_refuse_in_a_sentence(crew_at: list[Crew]) -> None:
    """A call while play stands still comes back with the reason and what to do."""
    crew = opened(crew_at)
    crew.act(Post.SCORER, match.Stop(StopCause.INTERFERENCE))
    crew.tap("net.well.call")
    crew.tap("net.call.antenna")
    crew.tap("net.call.unseenA")
    assert "Play is stopped. Resume first." in crew.rig.texts()
    assert crew.score(Post.SCORER) == (23, 21)


def checked(made: list[Crew]) -> Crew:
    """A crew with toss and both line-up sheets in: the positions are due to be checked."""
    made.append(Crew(before()))
    crew = made[-1]
    crew.act(Post.SCORER, match.Toss(Team.A, Team.A))
    crew.act(Post.SCORER, match.LineUp(Team.A, (7, 12, 2, 15, 4, 9), (20, "X"), 9))
    crew.act(Post.SCORER, match.LineUp(Team.B, (3, 8, 1, 10, 5, 14), (18, "X"), 10))
    return crew


def test_line_ups_come_in_on_the_face(crew_at: list[Crew]) -> None:
    """One sheet is in, the other is due."""
    crew_at.append(Crew(before()))
    crew = crew_at[-1]
    crew.act(Post.SCORER, match.Toss(Team.A, Team.A))
    crew.act(Post.SCORER, match.LineUp(Team.A, (7, 12, 2, 15, 4, 9), (20, "X"), 9))
    assert {"Line-up sheet in", "Line-up sheet due"} <= set(crew.rig.texts())
    assert all_faults(crew.rig, 17, 64) == []


@pytest.mark.parametrize("agrees", [True, False])
def test_the_first_service_waits_for_r2s_check(crew_at: list[Crew], agrees: bool) -> None:
    """Both teams agree, the table begins the set: nothing holds A's 7. Else R2 is missing."""
    crew = checked(crew_at)
    assert all_faults(crew.rig, 17, 64) == []
    for _ in range(2 if agrees else 0):
        crew.tap("net.check.agree")
    crew.act(Post.SCORER, match.BeginSet())
    assert {"Server due", "7", "Team A"} <= set(crew.rig.texts())
    ready = crew.snapshot(Post.SCORER).ready
    assert (ready.state == "held", "R2" in ready.sentence) == (not agrees, not agrees)


def test_a_difference_on_court_reaches_r1_and_ends_with_the_coachs_word(crew_at: list[Crew]) -> None:
    """11 stands where the sheet has 15: R1 is asked, the answer comes back, "sheet stands" closes it."""
    crew = checked(crew_at)
    crew.tap("net.check.place4")
    crew.tap("net.check.number11")
    asked = crew.notice(Post.R1, "check_sheet")
    assert (asked.asked, asked.team, asked.number) == (True, "A", 11)
    crew.act(Post.R1, AnswerNotice(asked.id))
    assert all_faults(crew.rig, 17, 64) == []
    crew.tap("net.check.stands")
    assert [one for one in crew.snapshot().notices if one.state == "open"] == []
    assert crew.rig.item("net.check.agree").isEnabled()


def test_a_set_ends_and_the_clock_between_sets_runs(crew_at: list[Crew]) -> None:
    """After the last point: result so far, three minutes, both sheets due."""
    crew = opened(crew_at, (23, 21))
    crew.act(Post.SCORER, match.Point(Team.A))
    assert "3:00" in crew.rig.texts()
    assert crew.rig.texts().count("Line-up sheet due") == 2
    assert all_faults(crew.rig, 17, 64) == []


def test_r2_checks_after_the_table_has_begun_the_set(crew_at: list[Crew]) -> None:
    """The chain waits for R2's check, one tap gives it."""
    crew = checked(crew_at)
    crew.tap("net.check.agree")
    crew.act(Post.SCORER, match.BeginSet())
    assert crew.snapshot(Post.R1).ready.sentence == "R2 is not ready yet"
    assert "positions not checked yet" in crew.rig.texts()
    crew.tap_armed("net.answer.ready")
    assert crew.snapshot(Post.R1).ready.state == "clear"


def test_a_difference_keeps_the_set_from_beginning(crew_at: list[Crew]) -> None:
    """R2 finds 11: the table can't begin; read wrongly, then agreed: it can. The table's check is shown."""
    crew = checked(crew_at)
    crew.act(Post.SCORER, TickDuty("positions"))
    assert "checked" in crew.rig.texts()
    crew.tap("net.check.place4")
    crew.tap("net.check.number11")
    assert crew.snapshot(Post.SCORER).ready.sentence == "Positions differ"
    assert "team A: 11 stands at position 4, line-up sheet 15" in crew.rig.texts()
    crew.act(Post.SCORER, match.BeginSet())
    assert crew.snapshot().phase == "check"
    crew.tap("net.check.misread")
    crew.tap("net.check.agree")
    crew.tap("net.check.agree")
    assert "Both agree" in crew.rig.texts()
    crew.act(Post.SCORER, match.BeginSet())
    assert crew.snapshot().phase == "dead_ball"
    assert crew.snapshot(Post.R1).ready.state == "clear"


def test_r2_agrees_to_an_old_line_and_it_is_crossed_out(crew_at: list[Crew]) -> None:
    """The table asks, the score before and after stand on the face, the table writes it."""
    crew = opened(crew_at, (20, 20))
    target = crew.stage.stations[Post.SCORER].court
    assert target is not None
    old = target.lines[-1].id
    for team in (Team.B, Team.B):
        crew.act(Post.SCORER, match.Point(team))
    crew.act(Post.SCORER, match.Strike(old, "wrong team"))
    assert "Old line: 21:22 becomes 20:22" in crew.rig.texts()
    assert all_faults(crew.rig, 17, 64) == []
    crew.tap_armed("net.decision.agree")
    assert [crew.score(post) for post in (Post.SCORER, Post.R1, Post.R2)] == [(20, 22)] * 3
    assert not crew.rig.seen("net.decision.agree")
