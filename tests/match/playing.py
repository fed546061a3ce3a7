"""A match played by commands, for tests: each command is answered, its facts are put into a record."""

from crewlink.match import history
from crewlink.match.chain import Chain
from crewlink.match.commands import BeginSet, Command, LineUp, Point, Toss
from crewlink.match.ruling import Decision, Severity
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.state import Match
from crewlink.match.teams import Six, Team, TeamSheet

A, B = Team.A, Team.B
BASE_A: Six = (4, 9, 7, 12, 2, 15)
BASE_B: Six = (8, 1, 10, 5, 14, 3)
SHEET_A = TeamSheet("A", (*BASE_A, 6, 11, 13, 16, 19, 20, 21), 4, (20, 21))
SHEET_B = TeamSheet("B", (*BASE_B, 2, 17, 20, 22, 23, 18), 8, (18,))


class Table:
    """A record under the pen of a test."""

    def __init__(self, setup: MatchSetup) -> None:
        self.chain = Chain.start(setup)
        self.written = 0

    @property
    def match(self) -> Match:
        return self.chain.match

    def ask(self, command: Command) -> Decision:
        return history.decide(self.chain, command)

    def do(self, first: Command, *more: Command) -> Decision:
        """Write each command; fail the test if one is refused."""
        for command in (first, *more):
            decision = self.ask(command)
            assert decision.ruling.severity is Severity.FINE, decision.ruling.sentence
            for fact in decision.facts:
                self.written += 1
                self.chain = self.chain.extend(self.written.to_bytes(32, "big"), fact)
        return decision

    def rallies(self, winners: str) -> None:
        for team in winners.replace(" ", ""):
            self.do(Point(Team(team)))

    @property
    def last_id(self) -> bytes:
        return self.written.to_bytes(32, "big")


def setup(profile: str = "INT", **more: object) -> MatchSetup:
    return MatchSetup(profile=profile, team_a=SHEET_A, team_b=SHEET_B, **more)  # type: ignore[arg-type]


def in_middle(
    score: tuple[int, int],
    serving: Team,
    profile: str = "INT",
    a: TeamStart | None = None,
    b: TeamStart | None = None,
    **more: object,
) -> Table:
    """A match taken up at a score, base orders on court unless given."""
    start_more = {k: more.pop(k) for k in ("set_number", "sets", "left", "courts_changed") if k in more}
    start = MidMatch(
        serving=serving,
        a=a or TeamStart(BASE_A),
        b=b or TeamStart(BASE_B),
        score=score,
        **start_more,  # type: ignore[arg-type]
    )
    return Table(setup(profile, start=start, **more))


def from_start(profile: str = "INT", first: Team = A, **more: object) -> Table:
    table = Table(setup(profile, **more))
    table.do(Toss(first, A))
    line_ups(table)
    table.do(BeginSet())
    return table


def line_ups(table: Table) -> None:
    on_sheet = table.match.profile.libero.named_on == "line_up_sheet"
    table.do(LineUp(A, BASE_A, (20, 21) if on_sheet else (), 4))
    table.do(LineUp(B, BASE_B, (18, "X") if on_sheet else (), 8))


def stands(
    table: Table, score: tuple[int, int], server: tuple[Team, int], order_a: Six, order_b: Six
) -> None:
    """Assert score, server and both orders at once."""
    match = table.match
    seen = (match.score, (match.serving, match.server), match.court_a.order, match.court_b.order)
    assert seen == (score, server, order_a, order_b)
