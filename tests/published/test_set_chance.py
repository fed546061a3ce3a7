"""The engine against probability theory: how often a team that wins each rally with chance p wins the set.

Sources: the negative binomial distribution (scipy.stats.nbinom, general reference library) and the gambler's
ruin with a lead of two; a set is won at 25 (deciding 15) with a lead of 2, or at the cap (FIVB Official
Volleyball Rules 2025-2028, 6.2 and 6.3.2; a cap is an organiser's option). The engine plays rally by rally.
"""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.stats import binom, nbinom

from crewlink.match import engine
from crewlink.match.commands import Point
from crewlink.match.facts import SetScore
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.state import Match
from crewlink.match.teams import Team
from crewlink.rules.format import FormatOptions

SETS = 1500
SIX_A, SIX_B = (4, 9, 7, 12, 2, 15), (8, 1, 10, 5, 14, 3)


def closed_form(p: float, target: int) -> float:
    """Chance to win a set to `target` with a lead of 2 and no cap, each rally won with chance p."""
    q = 1.0 - p
    before_deuce = float(nbinom.cdf(target - 2, target, p))
    deuce = float(binom.pmf(target - 1, 2 * (target - 1), p))
    return before_deuce + deuce * p * p / (p * p + q * q)


def with_cap(p: float, target: int, cap: int) -> float:
    """The same with a cap, by dynamic programme over all scores from the end backwards."""
    chance = np.zeros((cap + 1, cap + 1))
    for a in range(cap, -1, -1):
        for b in range(cap, -1, -1):
            if max(a, b) >= target and (abs(a - b) >= 2 or max(a, b) == cap):
                chance[a, b] = 1.0 if a > b else 0.0
            elif a < cap and b < cap:
                chance[a, b] = p * chance[a + 1, b] + (1.0 - p) * chance[a, b + 1]
    return float(chance[0, 0])


def start_of(options: FormatOptions, set_number: int) -> Match:
    """The first service of a set, both teams in their base orders."""
    done = tuple(
        SetScore(n, (25, 20) if n % 2 else (20, 25), Team.A if n % 2 else Team.B)
        for n in range(1, set_number)
    )
    start = MidMatch(Team.A, TeamStart(SIX_A), TeamStart(SIX_B), set_number=set_number, sets=done)
    return engine.begin(MatchSetup(format=options, start=start))


def share_won(match: Match, p: float, seed: int) -> float:
    """The share of SETS that A wins when the engine plays them."""
    source, won, number = random.Random(seed), 0, match.set_number
    for _ in range(SETS):
        now = match
        while len(now.sets) < number:
            (fact,) = engine.decide(now, Point(Team.A if source.random() < p else Team.B)).facts
            now = engine.evolve(now, fact)
        won += now.sets[-1].winner is Team.A
    return won / SETS


def four_sigma(chance: float) -> float:
    return 4.0 * float(np.sqrt(chance * (1.0 - chance) / SETS))


@pytest.mark.parametrize("p", [0.45, 0.5, 0.55])
def test_a_set_to_25(p: float) -> None:
    expected = closed_form(p, 25)
    assert share_won(start_of(FormatOptions(), 1), p, 25) == pytest.approx(expected, abs=four_sigma(expected))


def test_a_deciding_set_to_15() -> None:
    expected = closed_form(0.53, 15)
    options = FormatOptions(best_of=3, court_change_at=0)
    assert share_won(start_of(options, 3), 0.53, 15) == pytest.approx(expected, abs=four_sigma(expected))


def test_a_set_to_25_with_a_cap_of_27() -> None:
    expected = with_cap(0.52, 25, 27)
    options = FormatOptions(cap=27)
    assert share_won(start_of(options, 1), 0.52, 27) == pytest.approx(expected, abs=four_sigma(expected))


@pytest.mark.parametrize("target", [15, 25])
@pytest.mark.parametrize("p", [0.3, 0.5, 0.62])
def test_both_ways_to_compute_agree_when_the_cap_is_far(p: float, target: int) -> None:
    """The programme with a cap out of reach comes to the closed form: each checks the other."""
    assert with_cap(p, target, 400) == pytest.approx(closed_form(p, target), abs=1e-9)
