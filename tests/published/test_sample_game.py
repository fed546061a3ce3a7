"""A published sample game, step by step.

Source: Ohio High School Athletic Association, Volleyball Rally Scoring Tutorial for Official Scorers, 2004
(the same game in the Indiana and Illinois associations' scorer training). Deciding game to 15 (from
memory), A on the scorer's left, B serves first. Played there under US high-school rules: no change of
courts at 8.
"""

from crewlink.match.commands import Pair, Sanction, Substitute, TimeOut
from crewlink.match.facts import SetScore
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.teams import Person, Six, Team, TeamSheet
from crewlink.match.terms import Card
from crewlink.rules.format import FormatOptions
from tests.match.playing import A, B, Table

ORDER_A: Six = (22, 13, 14, 15, 20, 21)
ORDER_B: Six = (5, 4, 3, 12, 11, 10)


def sample_game(profile: str) -> Table:
    one_all = (SetScore(1, (25, 20), A), SetScore(2, (20, 25), B))
    start = MidMatch(B, TeamStart(ORDER_A), TeamStart(ORDER_B), set_number=3, sets=one_all, left=A)
    return Table(
        MatchSetup(
            profile=profile,
            format=FormatOptions(best_of=3, court_change_at=0),
            team_a=TeamSheet("A", (*ORDER_A, 5), 15),
            team_b=TeamSheet("B", (*ORDER_B, 13), 11),
            start=start,
        )
    )


def check(table: Table, score: tuple[int, int], server: tuple[Team, int]) -> None:
    assert table.match.score == score
    assert (table.match.serving, table.match.server) == server


def play(table: Table) -> None:
    # Order of service of A, who receive first (source: court picture): 13, 14, 15, 20, 21, 22.
    assert table.match.court_a.order[1:] + table.match.court_a.order[:1] == (13, 14, 15, 20, 21, 22)
    table.rallies("BBB")  # step 1: B 5 serves, B wins three rallies
    check(table, (0, 3), (B, 5))
    table.rallies("A")  # step 2: B 5 serves, B loses the rally
    check(table, (1, 3), (A, 13))
    table.rallies("B")  # step 3: A 13 serves out
    check(table, (1, 4), (B, 4))
    table.rallies("BB")  # step 4: B 4 serves two aces
    check(table, (1, 6), (B, 4))
    table.do(Substitute(A, (Pair(5, 13),)))  # step 5: A substitutes 5 for 13, then in position 1
    check(table, (1, 6), (B, 4))
    assert table.match.court_a.order[0] == 5
    assert table.match.court_a.substitutions == 1
    table.rallies("BB")  # step 6: B 4 serves two more points
    check(table, (1, 8), (B, 4))
    table.do(Sanction(B, Person(number=3), Card.PENALTY))  # step 7: red card to B 3: point and service to A
    check(table, (2, 8), (A, 14))
    table.rallies("AAA")  # step 8: A 14 serves three points
    check(table, (5, 8), (A, 14))
    table.do(TimeOut(B))  # step 9: first time-out of B, recorded at B 8 : A 5
    check(table, (5, 8), (A, 14))
    assert table.chain.lines[-1].fact.score == (5, 8)
    assert table.match.court_b.time_outs == 1
    table.do(Substitute(B, (Pair(13, 3),)))  # step 10: B substitutes 13 for 3
    check(table, (5, 8), (A, 14))
    table.rallies("AAA")  # step 11: A 14 serves three points
    check(table, (8, 8), (A, 14))
    table.do(Sanction(B, Person(number=12), Card.WARNING))  # step 12: yellow card to B 12: no change
    check(table, (8, 8), (A, 14))
    table.rallies("B")  # step 13: A 14 serves, A loses the rally; next server derived
    check(table, (8, 9), (B, 13))


def finish(table: Table) -> None:
    """Positions and counts after step 13, derived from the source's orders."""
    match = table.match
    assert match.court_a.order == (14, 15, 20, 21, 22, 5)
    assert match.court_b.order == (13, 12, 11, 10, 5, 4)
    assert (match.court_a.substitutions, match.court_b.substitutions) == (1, 1)
    assert (match.court_a.time_outs, match.court_b.time_outs) == (0, 1)
    assert match.left is A
    assert match.findings == ()


def test_sample_game_international_rules() -> None:
    table = sample_game("INT")
    play(table)
    finish(table)
