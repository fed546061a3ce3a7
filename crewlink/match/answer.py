"""Short ways to answer a command: fine with facts, refused, and the refusals that cost the team something.

A request that may not be granted is first of all an improper request: the first in the match is only
recorded, every further one, and any that costs time, is a delay. Delays run through the match: warning,
then penalty.
"""

from __future__ import annotations

from crewlink.match.completed import score_after
from crewlink.match.facts import Delayed, ImproperRequested, SimpleFact, Substituted
from crewlink.match.ruling import Decision, Option, Proposal, Ruling, Severity
from crewlink.match.scoring import PLAYING
from crewlink.match.state import Match, listed
from crewlink.match.teams import Team
from crewlink.match.terms import DelayCause, DelayStep, Phase, RequestKind

AS_RULED = "as_ruled"
NO_SANCTION = "no_sanction"


def fine(match: Match, code: str, sentence: str, *facts: SimpleFact) -> Decision:
    """The rules allow it: write these facts."""
    return Decision(facts, Ruling(code, Severity.FINE, sentence, match.profile.reference(code)))


def refuse(match: Match, code: str, sentence: str, *otherwise: SimpleFact) -> Decision:
    """Not now, or not possible; costs nobody anything. `otherwise`: what an overrule would write."""
    ruling = Ruling(code, Severity.REFUSE, sentence, match.profile.reference(code))
    return Decision((), ruling, otherwise=otherwise)


def option(
    code: str, sentence: str, *facts: SimpleFact, explanation: bool = False, reference: str = ""
) -> Option:
    """One way to settle a question; what it leads to is worked out by the engine."""
    return Option(code, sentence, facts, explanation=explanation, reference=reference)


def delay_fact(match: Match, team: Team, cause: DelayCause) -> Delayed:
    """The next step of the team's delay ladder as a fact."""
    if match.squad(team).delays == 0:
        return Delayed(team, DelayStep.WARNING, match.score, cause)
    after = score_after(match, team.other) if match.phase in PLAYING else match.score
    return Delayed(team, DelayStep.PENALTY, after, cause)


def improper(
    match: Match,
    team: Team,
    code: str,
    sentence: str,
    about: RequestKind,
    cost_time: bool = False,
    granted: tuple[SimpleFact, ...] = (),
    otherwise: tuple[SimpleFact, ...] = (),
) -> Decision:
    """Refuse an improper request; `granted`: the part of it that goes through all the same."""
    if match.squad(team).improper == 0 and not cost_time:
        fact: SimpleFact = ImproperRequested(team, about)
        says = f"{sentence} First improper request of team {team}: written down, no sanction."
        return _refused(match, Severity.IMPROPER, code, says, (*granted, fact), granted, otherwise)
    cause = DelayCause.PROLONGED if cost_time else DelayCause.REPEATED_IMPROPER
    return delay(match, team, code, sentence, cause, granted, otherwise)


def delay(
    match: Match,
    team: Team,
    code: str,
    sentence: str,
    cause: DelayCause,
    granted: tuple[SimpleFact, ...] = (),
    otherwise: tuple[SimpleFact, ...] = (),
) -> Decision:
    """Refuse a request that holds up the game: the next step of the delay ladder is proposed."""
    fact = delay_fact(match, team, cause)
    gives = f"Delay {fact.step.value} for team {team}"
    if fact.step is DelayStep.PENALTY:
        gives += f": point and service to {team.other}"
    says = f"{sentence} {gives}."
    return _refused(match, Severity.DELAY, code, says, (*granted, fact), granted, otherwise)


def _refused(
    match: Match,
    severity: Severity,
    code: str,
    sentence: str,
    ruled: tuple[SimpleFact, ...],
    granted: tuple[SimpleFact, ...],
    otherwise: tuple[SimpleFact, ...],
) -> Decision:
    reference = match.profile.reference(code)
    through = _goes_through(granted)
    waved_off = f"Waved off in time: {through or 'nothing is written down for it'}."
    sentence = f"{sentence} {through}." if through else sentence
    options = (
        option(AS_RULED, sentence, *ruled, reference=reference),
        option(NO_SANCTION, waved_off, *granted),
    )
    return Decision(
        (), Ruling(code, severity, sentence, reference), Proposal(code, options, AS_RULED), otherwise
    )


def _goes_through(granted: tuple[SimpleFact, ...]) -> str:
    """The pairs of a refused request that are written all the same, in words; "" for none."""
    pairs = [pair for fact in granted if isinstance(fact, Substituted) for pair in fact.pairs]
    if not pairs:
        return ""
    named = ", ".join(f"{pair.comes_in} in for {pair.goes_out}" for pair in pairs)
    return f"{named} {'goes' if len(pairs) == 1 else 'go'} through"


def unlisted(match: Match, team: Team, number: int | None, *otherwise: SimpleFact) -> Decision | None:
    """A refusal if a team list was given and the player is not on it, else None."""
    if number is None or listed(match.squad(team), number):
        return None
    sentence = f"{number} is not on the list of team {team}: read the number again."
    return refuse(match, "not_on_list", sentence, *otherwise)


def not_in_set(match: Match) -> Decision | None:
    """A refusal if no set is being played, else None."""
    if match.phase is Phase.FINISHED:
        return refuse(match, "match_over", "The match is over.")
    if match.phase not in PLAYING:
        return refuse(match, "set_not_begun", "The set has not begun yet.")
    return None
