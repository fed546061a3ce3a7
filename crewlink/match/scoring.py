"""Points, sets, the match: when a set is won, who is at set point or match point, how a match ends."""

from __future__ import annotations

from crewlink.match.state import Match
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Phase
from crewlink.rules.format import Format

PLAYING = (Phase.PLAY, Phase.TIME_OUT, Phase.STOPPED)


def set_winner(form: Format, set_number: int, score: Score) -> Team | None:
    """Who has won a set that stands at `score`, or None."""
    a, b = score
    target = form.deciding_points if form.is_deciding(set_number) else form.points
    if a < target and b < target:
        return None
    leader = Team.A if a > b else Team.B
    most, least = max(a, b), min(a, b)
    cap = form.cap_of(set_number)
    if most - least >= form.lead or (cap is not None and most >= cap and most > least):
        return leader
    return None


def wins_with_next(match: Match, team: Team, score: Score) -> bool:
    """True if the next point of `team` from `score` ends the set."""
    after = (score[0] + 1, score[1]) if team is Team.A else (score[0], score[1] + 1)
    return set_winner(match.format, match.set_number, after) is team


def set_points(match: Match) -> tuple[Team, ...]:
    """Teams whose next point ends the set (a cap may give both)."""
    if match.phase not in PLAYING:
        return ()
    return tuple(team for team in Team if wins_with_next(match, team, match.score))


def match_points(match: Match) -> tuple[Team, ...]:
    """Teams whose next point ends the match with them as winner."""
    needed = match.format.sets_to_win
    if needed is None:
        return ()
    return tuple(team for team in set_points(match) if match.squad(team).sets_won + 1 >= needed)


def one_before_set_point(match: Match) -> tuple[Team, ...]:
    """Teams that are not at set point, but would be with their next point."""
    if match.phase not in PLAYING:
        return ()
    a, b = match.score
    ahead = {Team.A: (a + 1, b), Team.B: (a, b + 1)}
    return tuple(
        team
        for team in Team
        if not wins_with_next(match, team, match.score)
        and set_winner(match.format, match.set_number, ahead[team]) is None
        and wins_with_next(match, team, ahead[team])
    )


def match_over(form: Format, sets_played: int, sets_won: Score) -> bool:
    """True if no set is left to play."""
    if form.sets_to_win is not None and max(sets_won) >= form.sets_to_win:
        return True
    return sets_played >= form.max_sets


def match_winner(sets_won: Score) -> Team | None:
    """Who won more sets; None where a format leaves it open."""
    a, b = sets_won
    if a == b:
        return None
    return Team.A if a > b else Team.B


def points_to_win(form: Format, set_number: int, score: Score, team: Team) -> Score:
    """The score with which `team` wins this set if it is given all the points still needed."""
    other = score[team.other.place]
    cap = form.cap_of(set_number)
    needed = max(form.target(set_number), other + form.lead, score[team.place])
    if cap is not None:
        needed = min(needed, max(cap, other + 1))
    return (needed, other) if team is Team.A else (other, needed)
