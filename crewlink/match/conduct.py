"""Misconduct: the cards, the scale by person, the one yellow card of a team, who must leave."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine, option, refuse, unlisted
from crewlink.match.commands import Misconduct, Sanction
from crewlink.match.completed import award, score_after
from crewlink.match.facts import Sanctioned
from crewlink.match.ruling import Decision, Proposal, Ruling, Severity
from crewlink.match.scoring import PLAYING
from crewlink.match.state import CardShown, Match, found, with_court, with_squad
from crewlink.match.teams import Person, Team
from crewlink.match.terms import Card, Conduct, Phase
from crewlink.rules.profile import ExpelledGo

STEPS = (Card.PENALTY, Card.EXPULSION, Card.DISQUALIFICATION)
FIRST_STEP = {Conduct.MINOR: 0, Conduct.RUDE: 0, Conduct.OFFENSIVE: 1, Conduct.AGGRESSION: 2}
NAMES = {
    Card.WARNING: "yellow card",
    Card.PENALTY: "red card",
    Card.EXPULSION: "expulsion",
    Card.DISQUALIFICATION: "disqualification",
}
UNTIL_SET_ENDS = {
    ExpelledGo.DRESSING_ROOM: "To the dressing room",
    ExpelledGo.LEAVES_PLAYING_AREA: "Out of the playing area",
    ExpelledGo.PENALTY_AREA: "In the penalty area",
}


def fact_of(match: Match, team: Team, person: Person, card: Card) -> Sanctioned:
    """The card as a fact, with the point it gives by the profile."""
    rules = match.profile.conduct
    gives = card is Card.PENALTY or (card is not Card.WARNING and rules.expulsion_gives_point)
    now = gives and match.phase in PLAYING
    return Sanctioned(team, person, card, score_after(match, team.other) if now else match.score, gives)


def next_step(match: Match, team: Team, person: Person) -> Card:
    """The lowest card still open to this person by the scale, minor misconduct left aside."""
    return STEPS[min(_steps_taken(match, team, person), len(STEPS) - 1)]


def _steps_taken(match: Match, team: Team, person: Person) -> int:
    """How far up the scale this person has been: 0 none, 1 red, 2 expelled, 3 disqualified."""
    shown = (c.card for c in match.squad(team).cards if c.person == person and c.card is not Card.WARNING)
    return max((STEPS.index(card) + 1 for card in shown), default=0)


def by_scale(match: Match, team: Team, person: Person, conduct: Conduct) -> Card:
    """The card that the scale gives for a misconduct."""
    if conduct is Conduct.MINOR and not match.squad(team).warned:
        return Card.WARNING
    return STEPS[min(max(FIRST_STEP[conduct], _steps_taken(match, team, person)), len(STEPS) - 1)]


def decide(match: Match, command: Sanction) -> Decision:
    """R1's card; only a step that the scale has already passed is refused."""
    team, person, card = command.team, command.person, command.card
    fact = fact_of(match, team, person, card)
    if match.phase is Phase.FINISHED:
        return refuse(match, "match_over", "The match is over.", fact)
    stranger = unlisted(match, team, person.number, fact)
    if stranger is not None:
        return stranger
    if card is Card.WARNING:
        if match.squad(team).warned:
            return refuse(match, "card_once", f"Team {team} has already had its yellow card.", fact)
    elif STEPS.index(card) < _steps_taken(match, team, person):
        step = NAMES[next_step(match, team, person)]
        return refuse(match, "next_card", f"{person.label} has had that card. Next is {step}.", fact)
    return fine(match, "sanction", _sentence(match, fact), fact)


def _sentence(match: Match, fact: Sanctioned) -> str:
    sentence = f"{NAMES[fact.card].capitalize()} for {fact.team} {fact.person.label}."
    if fact.card is Card.EXPULSION:
        sentence += f" {UNTIL_SET_ENDS[match.profile.conduct.place_of_expelled]} until the set ends."
    if fact.point:
        sentence += f" Point and service to {fact.team.other}."
    return sentence


def decide_misconduct(match: Match, command: Misconduct) -> Decision:
    """What the scale gives; R1 may choose any other card."""
    team, person = command.team, command.person
    if match.phase is Phase.FINISHED:
        return refuse(match, "match_over", "The match is over.")
    stranger = unlisted(match, team, person.number)
    if stranger is not None:
        return stranger
    card = by_scale(match, team, person, command.conduct)
    open_cards = [c for c in Card if c is Card.WARNING or STEPS.index(c) >= _steps_taken(match, team, person)]
    cards = [card, *(c for c in open_cards if c is not card)]
    if match.squad(team).warned and card is not Card.WARNING:
        cards = [c for c in cards if c is not Card.WARNING]
    facts = [fact_of(match, team, person, c) for c in cards]
    options = tuple(option(f.card.value, _sentence(match, f), f) for f in facts)
    ruling = Ruling(
        "misconduct", Severity.FAULT, _sentence(match, facts[0]), match.profile.reference("misconduct")
    )
    return Decision((), ruling, Proposal("misconduct", options, card.value))


def evolve(match: Match, fact: Sanctioned) -> Match:
    """Keep the card; the point comes now, or at the begin of the next set; who is sent off must leave."""
    if match.phase is Phase.FINISHED:
        match = found(match, "sanction_after_match", f"A card for {fact.team} after the match.")
    team, squad = fact.team, match.squad(fact.team)
    shown = CardShown(fact.person, fact.card, match.set_number, match.score)
    after = with_squad(
        match, team, cards=(*squad.cards, shown), warned=squad.warned or fact.card is Card.WARNING
    )
    after = _sent_off(after, fact)
    if not fact.point or match.phase is Phase.FINISHED:
        return after
    if match.phase in PLAYING:
        return award(after, team.other, played=False)
    return with_squad(after, team, pending=squad.pending + 1)


def _sent_off(match: Match, fact: Sanctioned) -> Match:
    number, team = fact.person.number, fact.team
    if number is None or fact.card not in (Card.EXPULSION, Card.DISQUALIFICATION):
        return match
    court = match.court(team)
    if number in court.order or number == court.stands_for:
        court = structs.replace(court, must_leave=(*court.must_leave, number))
    match = with_court(match, team, must_leave=court.must_leave, barred=(*court.barred, number))
    if fact.card is Card.DISQUALIFICATION:
        return with_squad(match, team, out=(*match.squad(team).out, number))
    return match
