"""The completed rally, one concept in one place: whatever ends in a point, a penalty included.

It gives the point, moves the service, opens a new interruption and, when it was the last one, closes the set.
A warning or a replay is none.
"""

from __future__ import annotations

from msgspec import structs

from crewlink.match.facts import SetScore
from crewlink.match.rotation import rotate
from crewlink.match.scoring import PLAYING, match_over, match_winner, set_winner
from crewlink.match.state import NO_REQUESTS, Match, OnCourt, RallyLine, Squad
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Phase


def award(match: Match, team: Team, played: bool = True) -> Match:
    """Give `team` the point and the service. `played`: by a rally, not by a penalty."""
    gained = match.serving is not team
    court = match.court(team)
    moved = structs.replace(
        court,
        points=court.points + 1,
        order=rotate(court.order) if gained else court.order,
        turns=(court.turns + 1) % 6 if gained else court.turns,
    )
    court_a, court_b = (moved, match.court_b) if team is Team.A else (match.court_a, moved)
    score = (court_a.points, court_b.points)
    line = RallyLine(match.serving or team, match.server, team, score, played)
    after = structs.replace(
        match,
        court_a=court_a,
        court_b=court_b,
        serving=team,
        rallies=(*match.rallies, line),
        completed=match.completed + 1,
        interruption=NO_REQUESTS,
    )
    return closed_if_won(after)


def score_after(match: Match, team: Team) -> Score:
    """The score once `team` has one point more."""
    a, b = match.score
    return (a + 1, b) if team is Team.A else (a, b + 1)


def closed_if_won(match: Match) -> Match:
    """Close the set if its score says that it is won."""
    winner = set_winner(match.format, match.set_number, match.score)
    return match if winner is None else close_set(match, winner)


def close_set(match: Match, winner: Team | None) -> Match:
    """End the set as it stands, with `winner`; go to the next set or end the match."""
    done = SetScore(match.set_number, match.score, winner)
    after = with_sets(match, (*match.sets, done))
    played = match.phase in PLAYING and bool(match.court_a.order and match.court_b.order)
    return structs.replace(after, closed=structs.replace(match, closed=None) if played else None)


def judged(match: Match) -> Match | None:
    """The match in which a fault found now is judged: as it stands, or with the set just closed open again.

    Cards and counts given since stay. None: no set was played yet.
    """
    if match.phase in PLAYING:
        return match
    old = match.closed
    if old is None:
        return None
    return structs.replace(
        old,
        a=structs.replace(match.a, sets_won=old.a.sets_won, liberos=old.a.liberos),
        b=structs.replace(match.b, sets_won=old.b.sets_won, liberos=old.b.liberos),
        completed=match.completed,
        overruled=match.overruled,
        line=match.line,
        notes=match.notes,
        findings=match.findings,
    )


def with_sets(match: Match, sets: tuple[SetScore, ...]) -> Match:
    """Put `sets` as the finished sets; the match is over, or the next set is prepared."""
    won = (sum(s.winner is Team.A for s in sets), sum(s.winner is Team.B for s in sets))
    counted = structs.replace(
        match,
        sets=sets,
        a=structs.replace(match.a, sets_won=won[0]),
        b=structs.replace(match.b, sets_won=won[1]),
    )
    if match_over(match.format, len(sets), won):
        return structs.replace(counted, phase=Phase.FINISHED, winner=match_winner(won), standstill=None)
    return prepare_set(counted, len(sets) + 1)


def prepare_set(match: Match, number: int) -> Match:
    """Lay out set `number`: start score, first service and sides, counts anew."""
    form = match.format
    tossed = form.is_deciding(number) or match.first_server is None  # lost before the toss: it is still due
    start = form.start_of(number)
    first = None if tossed or match.first_server is None else match.first_server.other
    return structs.replace(
        match,
        set_number=number,
        a=_for_new_set(match, match.a),
        b=_for_new_set(match, match.b),
        court_a=OnCourt(points=start[0]),
        court_b=OnCourt(points=start[1]),
        phase=Phase.BETWEEN_SETS,
        serving=first,
        first_server=first,
        left=match.left if tossed or match.left is None else match.left.other,
        toss_due=tossed,
        start_score=start,
        rallies=(),
        interruption=NO_REQUESTS,
        courts_changed=False,
        technical=0,
        standstill=None,
    )


def _for_new_set(match: Match, squad: Squad) -> Squad:
    """A squad whose liberos are named anew for each set, where the profile says so."""
    if match.profile.libero.each_set and not squad.libero_named:
        return structs.replace(squad, liberos=())
    return squad


def prepared_phase(match: Match) -> Phase:
    """Where a set that has not begun stands: toss, line-ups or check."""
    first = match.set_number == 1
    if match.toss_due:
        return Phase.BEFORE_MATCH if first else Phase.BETWEEN_SETS
    if not match.court_a.order or not match.court_b.order:
        return Phase.LINE_UPS_DUE if first else Phase.BETWEEN_SETS
    return Phase.CHECK
