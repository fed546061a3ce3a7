"""The rules engine: what may be done (`decide`), what a fact makes of a match (`evolve`), in one table."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from msgspec import structs

from crewlink.match import (
    adjust,
    cancelling,
    commands,
    conduct,
    courts,
    default,
    delay,
    facts,
    injury,
    interval,
    libero,
    libero_change,
    lineup,
    protest,
    rally,
    remark,
    service,
    substitution,
    timeout,
    wrong_player,
)
from crewlink.match.beginning import begin
from crewlink.match.commands import Choose, MatchCommand, Overrule
from crewlink.match.facts import Amended, Fact, Overruled, Struck, UnknownFact
from crewlink.match.ruling import Decision, Option, Proposal, Ruling, Severity
from crewlink.match.state import Match, found

__all__ = ["begin", "decide", "evolve", "fold"]

Decide = Callable[[Match, Any], Decision]
Evolve = Callable[[Match, Any], Match]

DECIDE: dict[type, Decide] = {
    commands.ListTeam: lineup.decide_list,
    commands.LineUp: lineup.decide,
    commands.NameCaptain: lineup.decide_captain,
    commands.Toss: interval.decide_toss,
    commands.BeginSet: interval.decide_begin,
    commands.Point: rally.decide_point,
    commands.PositionFault: rally.decide_position_fault,
    commands.Replay: rally.decide_replay,
    commands.TimeOut: timeout.decide,
    commands.TechnicalTimeOut: timeout.decide_technical,
    commands.EndTimeOut: timeout.decide_end,
    commands.Substitute: substitution.decide,
    commands.LiberoSwap: libero.decide,
    commands.LiberoOut: libero_change.decide_out,
    commands.NameLibero: libero_change.decide_name,
    commands.Sanction: conduct.decide,
    commands.Misconduct: conduct.decide_misconduct,
    commands.Delay: delay.decide,
    commands.ImproperRequest: delay.decide_improper,
    commands.ChangeCourts: courts.decide,
    commands.Remark: remark.decide,
    commands.WrongServer: service.decide,
    commands.WrongInformation: service.decide_information,
    commands.WrongPlayer: wrong_player.decide,
    commands.UnlistedPlayer: wrong_player.decide_unlisted,
    commands.Stop: injury.decide_stop,
    commands.Resume: injury.decide_resume,
    commands.RestartSet: injury.decide_restart,
    commands.GiveRecovery: injury.decide_recovery,
    commands.Incomplete: default.decide_incomplete,
    commands.Default: default.decide_default,
    commands.LateMinute: default.decide_late,
    commands.Protest: protest.decide,
    commands.DecideProtest: protest.decide_outcome,
    commands.Adjust: adjust.decide,
}
EVOLVE: dict[type, Evolve] = {
    facts.TeamListed: lineup.evolve_list,
    facts.LineUpGiven: lineup.evolve,
    facts.CaptainNamed: lineup.evolve_captain,
    facts.TossMade: interval.evolve_toss,
    facts.SetBegun: interval.evolve_begun,
    facts.RallyWon: rally.evolve_won,
    facts.Replayed: rally.evolve_replayed,
    facts.TimeOutTaken: timeout.evolve_taken,
    facts.TechnicalTimeOutTaken: timeout.evolve_technical,
    facts.TimeOutEnded: timeout.evolve_ended,
    facts.Substituted: substitution.evolve,
    facts.LiberoReplaced: libero.evolve,
    facts.LiberoUnable: libero_change.evolve_unable,
    facts.LiberoNamed: libero_change.evolve_named,
    facts.Sanctioned: conduct.evolve,
    facts.Delayed: delay.evolve_delayed,
    facts.ImproperRequested: delay.evolve_improper,
    facts.CourtsChanged: courts.evolve,
    facts.Remarked: remark.evolve,
    facts.Corrected: cancelling.evolve,
    facts.Stopped: injury.evolve_stopped,
    facts.Resumed: injury.evolve_resumed,
    facts.SetRestarted: injury.evolve_restarted,
    facts.RecoveryGiven: injury.evolve_recovery,
    facts.DeclaredIncomplete: default.evolve_incomplete,
    facts.Defaulted: default.evolve_default,
    facts.LatePoint: default.evolve_late,
    facts.Protested: protest.evolve,
    facts.ProtestDecided: protest.evolve_outcome,
}


def decide(match: Match, command: MatchCommand) -> Decision:
    """Answer a command: facts to write if it is allowed, a ruling, perhaps a proposal. Never raises."""
    if isinstance(command, Choose):
        return _choose(match, command)
    if isinstance(command, Overrule):
        return _overrule(match, command)
    topic = DECIDE.get(type(command))
    if topic is None:
        return _refused("not_known", "This program does not know that act.")
    decision = topic(match, command)
    proposal = None if decision.proposal is None else _worked_out(match, decision.proposal)
    return structs.replace(
        decision,
        facts=_stamped(match, decision.facts),
        proposal=proposal,
        otherwise=_stamped(match, decision.otherwise),
    )


def evolve(match: Match, fact: Fact) -> Match:
    """Fold one fact into the match. Total: what does not fit becomes a finding in the state. Never raises."""
    topic = EVOLVE.get(type(fact))
    written_in = 0 if getattr(fact, "reopens", False) else getattr(fact, "set_number", 0)
    if written_in and written_in != match.set_number:
        after = found(match, "other_set", f"Written in set {written_in}, but set {match.set_number} is due.")
    elif topic is not None:
        after = topic(match, fact)
    else:
        after = _evolve_special(match, fact)
    return structs.replace(after, line=match.line + 1)


def fold(match: Match, record: Iterable[Fact]) -> Match:
    """Fold facts one after the other."""
    for fact in record:
        match = evolve(match, fact)
    return match


def _evolve_special(match: Match, fact: Fact) -> Match:
    if isinstance(fact, Overruled):
        return _evolve_overruled(match, fact)
    if isinstance(fact, Struck | Amended):
        return match  # what they do to other lines is the chain's work
    name = fact.name if isinstance(fact, UnknownFact) else type(fact).__name__
    return found(match, "not_known", f'"{name}": a line of a newer version that this one cannot read.')


def _evolve_overruled(match: Match, fact: Overruled) -> Match:
    """Fold what was let stand; the objection that R1 overruled is no finding."""
    after = fold(match, fact.facts)
    mine = tuple(f for f in after.findings[len(match.findings) :] if f.code != fact.code)
    mine = tuple(structs.replace(f, line=match.line) for f in mine)
    return structs.replace(after, findings=match.findings + mine, overruled=match.overruled + 1)


def _choose(match: Match, command: Choose) -> Decision:
    """Take one option of a proposal, computed anew on the match as it stands."""
    proposal = decide(match, command.question).proposal
    taken = proposal.option(command.option) if proposal is not None else None
    if taken is None:
        return _refused("no_such_option", "That choice is no longer open. Look again.")
    written = tuple(_with_reason(fact, command.reason) for fact in taken.facts)
    return Decision(written, Ruling(taken.code, Severity.FINE, taken.sentence, taken.reference))


def _with_reason(fact: Fact, reason: str) -> Fact:
    if isinstance(fact, facts.Corrected) and reason:
        return structs.replace(fact, reason=reason)
    return fact


def _overrule(match: Match, command: Overrule) -> Decision:
    """R1 lets a refused command stand."""
    refused = decide(match, command.command)
    if refused.ruling.fine:
        return _refused("nothing_to_overrule", "The rules allow it: no overrule needed.")
    if not refused.otherwise:
        return _refused("cannot_overrule", f"Cannot be overruled: {refused.ruling.sentence}")
    simple = tuple(
        f for f in refused.otherwise if not isinstance(f, Overruled | Struck | Amended | UnknownFact)
    )
    fact = Overruled(refused.ruling.code, command.reason, simple)
    return Decision((fact,), Ruling("overruled", Severity.FINE, "R1 lets it stand."))


def _refused(code: str, sentence: str) -> Decision:
    return Decision((), Ruling(code, Severity.REFUSE, sentence))


def _worked_out(match: Match, proposal: Proposal) -> Proposal:
    """The proposal with what each option leads to."""
    return structs.replace(proposal, options=tuple(_result(match, option) for option in proposal.options))


def _stamped(match: Match, written: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """The facts with the set they are written in."""
    return tuple(
        structs.replace(fact, set_number=match.set_number) if getattr(fact, "set_number", None) == 0 else fact
        for fact in written
    )


def _result(match: Match, option: Option) -> Option:
    written = _stamped(match, option.facts)
    after = fold(match, written)
    return structs.replace(
        option,
        facts=written,
        score=after.score,
        set_number=after.set_number,
        serving=after.serving,
        server=after.server,
        orders=(after.court_a.order, after.court_b.order),
    )
