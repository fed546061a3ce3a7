"""Plays a run of a script over a stage and notes what differs from what the script expects.

A stage is anything that takes acts of posts and lets one look at the match: the rules engine alone, a court,
or live stations.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from msgspec import Struct

from crewlink.crew import commands as crew
from crewlink.crew.life import State
from crewlink.crew.posts import Post
from crewlink.match import commands
from crewlink.match.teams import Team
from crewlink.script.compare import Difference, compared, differences
from crewlink.script.expectations import Expect
from crewlink.script.feet import overlapping
from crewlink.script.format import Run
from crewlink.script.seen import Answer, Seen
from crewlink.script.step import Step
from crewlink.script.steps import AnyStep, corrections, handing
from crewlink.script.steps import crew as crew_steps
from crewlink.script.steps import play as play_steps

Act = commands.Command | crew.CrewCommand | crew.PenCommand
NOTHING = Expect()


class _CannotPlay(Exception):
    """A step that points at something that is not there."""


class Stage(Protocol):
    """Where a script is played."""

    def act(self, post: Post, command: Act) -> Answer:
        """Do what `post` asks for, and wait until it has settled."""
        ...

    def look(self, post: Post) -> Seen:
        """The match as `post` sees it now."""
        ...

    def pass_time(self, seconds: float, *, exactly: bool = False) -> None:
        """Let court time go by; `exactly`: not stretched or shortened."""
        ...

    def device(self, post: Post) -> str:
        """The id of the device that has a job, in hex; "" if none has."""
        ...

    def lose(self, post: Post) -> Answer:
        """The device of a post is gone."""
        ...

    def enrol(self, post: Post, by: Post) -> Answer:
        """`by` lets a new device in for a job."""
        ...

    def cut_off(self, post: Post) -> Answer:
        """The device of a post reaches nobody any more."""
        ...

    def link_again(self, post: Post) -> Answer:
        """It reaches the others again."""
        ...


class Played(Struct, frozen=True):
    """One step as it was played: its number from 1, the answers, what was seen after it, what differs.

    `compared`: how many expectations were compared.
    """

    number: int
    step: AnyStep
    answers: tuple[Answer, ...]
    now: Seen
    differences: tuple[Difference, ...]
    compared: int = 0


class _Asked(Struct, frozen=True):
    """A command with its answer, for a later step to come back to."""

    command: commands.Command
    answer: Answer


class Player:
    """Plays the steps of one run, one after the other."""

    def __init__(self, run: Run, stage: Stage) -> None:
        self._run = run
        self._stage = stage
        self._asked: list[_Asked] = []
        self._settled: list[_Asked] = []
        self._named: dict[str, _Asked] = {}
        self._notices: dict[str, str] = {}
        self._proposals: dict[str, str] = {"": ""}

    def play(self) -> tuple[Played, ...]:
        """All steps to the end; a difference does not stop it."""
        return tuple(self.one(number, step) for number, step in enumerate(self._run.steps, 1))

    def one(self, number: int, step: AnyStep) -> Played:
        """Play one step, the `number`-th of its run."""
        if step.pause:
            self._stage.pass_time(step.pause)
        if step.wait:
            self._stage.pass_time(step.wait, exactly=True)
        before = self._stage.look(step.by)
        answers: tuple[Answer, ...] = ()
        try:
            answers = self._act(step)
        except _CannotPlay as problem:
            return Played(number, step, (), before, (Difference("step", "", f"can't be played: {problem}"),))
        now = self._stage.look(step.by)
        expect = step.expect or NOTHING
        last = answers[-1] if answers else Answer()
        found = [d for a in answers[:-1] for d in differences(NOTHING, a, before, before)]
        found += differences(expect, last, before, now)
        once = tuple(dict.fromkeys(found))  # many rallies may be refused for one reason
        return Played(number, step, answers, now, once, compared(expect, now))

    def _act(self, step: AnyStep) -> tuple[Answer, ...]:
        if isinstance(step, crew_steps.Check):
            return ()
        if isinstance(step, play_steps.Rallies):
            return tuple(self._ask(step, commands.Point(Team(letter))) for letter in step.won_by)
        if isinstance(step, play_steps.Feet):
            return (Answer(overlaps=overlapping(self._stage.look(step.by), step)),)
        devices = self._devices(step)
        if devices is not None:
            return (devices,)
        command = self._crew_command(step)
        if command is not None:
            answer = self._stage.act(step.by, command)
            self._keep(step, answer)
            return (answer,)
        return (self._ask(step, self._command(step)),)

    def _devices(self, step: AnyStep) -> Answer | None:
        """What becomes of devices that go, come or are cut off; None for any other step."""
        match step:
            case handing.DeviceGone(post=post):
                return self._stage.lose(post)
            case handing.NewDevice(post=post, by=host):
                return self._stage.enrol(post, host)
            case handing.CutOff(post=post):
                return self._stage.cut_off(post)
            case handing.LinkAgain(post=post):
                return self._stage.link_again(post)
            case _:
                return None

    def _ask(self, step: Step, command: commands.Command) -> Answer:
        answer = self._stage.act(step.by, command)
        self._keep(step, answer)
        asked = _Asked(command, answer)
        self._asked.append(asked)
        if step.name:
            self._named[step.name] = asked
        return answer

    def _keep(self, step: Step, answer: Answer) -> None:
        """Keep the names by which later steps point at a notice or a proposal of this one."""
        if step.name and answer.notice:
            self._notices[step.name] = answer.notice
        if answer.proposal_id:
            self._proposals |= {"": answer.proposal_id, step.name or "": answer.proposal_id}

    def _command(self, step: AnyStep) -> commands.Command:
        if isinstance(step, corrections.Agree):
            return self._choose(step)
        if isinstance(step, corrections.Overrule):
            return self._overrule(step)
        if isinstance(step, corrections.Strike):
            return commands.Strike(self._line(step.line), step.reason)
        if isinstance(step, corrections.ChangePoint):
            return commands.Change(self._line(step.line), commands.Point(step.team), step.reason)
        if isinstance(step, play_steps.DecideProtest):
            return commands.DecideProtest(
                step.upheld, None if step.back_to is None else self._line(step.back_to)
            )
        command = step.command()
        if command is None:
            raise _CannotPlay("this version can't play it")
        return command

    def _crew_command(self, step: AnyStep) -> crew.CrewCommand | crew.PenCommand | None:
        """The step as a command of the crew, or None if it is one of the match."""
        match step:
            case crew_steps.RaiseNotice():
                return self._raise(step)
            case crew_steps.Answer():
                return crew.AnswerNotice(self._notice(step, step.notice), step.for_post or "")
            case crew_steps.Close():
                return crew.CloseNotice(self._notice(step, step.notice), step.outcome, step.for_post or "")
            case crew_steps.Settle():
                notice = self._notice(step, step.notice)
                return crew.SettleNotice(notice, step.decision(), step.for_post or "")
            case crew_steps.Withdraw():
                return crew.WithdrawNotice(self._notice(step, step.notice), step.reason, step.for_post or "")
            case crew_steps.NotNow():
                return crew.HoldNotice(self._notice(step, step.notice))
            case crew_steps.EnterAgain():
                return crew.EnterAgain(self._notice(step, step.notice))
            case crew_steps.Consent():
                return crew.Consent(self._proposal(step), step.agree, step.for_post or "")
            case handing.TakeOut() | handing.GiveJob():
                return self._of_device(step)
            case _:
                return _of_duty(step) or _of_hands(step)

    def _of_device(self, step: handing.TakeOut | handing.GiveJob) -> crew.PenCommand:
        device = self._stage.device(step.post)
        return crew.TakeOut(device) if isinstance(step, handing.TakeOut) else crew.GiveJob(device, step.job)

    def _raise(self, step: crew_steps.RaiseNotice) -> crew.Raise:
        joins = "" if step.joins is None else self._notices.get(step.joins, "")
        return crew.Raise(
            kind=step.kind,
            team=step.team or "",
            number=step.player,
            detail=step.detail,
            joins=joins,
            on_behalf=step.for_post or "",
            to=tuple(map(str, step.addressees)),
            level=step.level or "",
        )

    def _notice(self, step: Step, wanted: str) -> str:
        """The id of the notice raised by the step named `wanted`, else of the newest open of that kind."""
        if wanted in self._notices:
            return self._notices[wanted]
        shown = self._stage.look(step.by).notices
        if shown is None:
            return ""
        of_kind = [notice.id for notice in shown if notice.kind == wanted and notice.state is State.OPEN]
        if not of_kind:
            raise _CannotPlay(
                f"no notice was raised by a step named `{wanted}`, and none of that kind is open"
            )
        return of_kind[-1]

    def _proposal(self, step: crew_steps.Consent) -> str:
        """The id of the proposal that the step named `to`, or the latest one, led to."""
        proposal = self._proposals.get(step.to or "", "")
        if not proposal and self._stage.look(step.by).notices is not None:
            raise _CannotPlay("no step before led to a proposal that an official could agree to")
        return proposal

    def _line(self, name: str) -> bytes:
        lines = self._named[name].answer.lines if name in self._named else ()
        if not lines:
            raise _CannotPlay(f"the step named `{name}` wrote no line")
        return lines[-1]

    def _back(self, name: str | None, fits: Callable[[_Asked], bool], how: str) -> _Asked:
        """The step named `name`, or without a name the latest one that fits."""
        if name is not None:
            asked = self._named.get(name)
            if asked is None or not fits(asked):
                raise _CannotPlay(f"the step named `{name}` was not {how}")
            return asked
        fitting = [one for one in self._asked if fits(one) and not any(one is old for old in self._settled)]
        if not fitting:
            raise _CannotPlay(f"no step before was {how} and is still open")
        return fitting[-1]

    def _choose(self, step: corrections.Agree) -> commands.Command:
        asked = self._back(step.to, _proposed, "answered by a proposal")
        proposal, question = asked.answer.proposal, asked.command
        if proposal is None or not isinstance(question, commands.Question):
            raise _CannotPlay("what was asked can't be agreed to")
        if step.option and proposal.option(step.option) is None:
            offered = ", ".join(one.code for one in proposal.options)
            raise _CannotPlay(f"there is no option `{step.option}`; options are {offered}")
        self._settled.append(asked)
        return commands.Choose(question, step.option or proposal.suggested, step.reason)

    def _overrule(self, step: corrections.Overrule) -> commands.Command:
        asked = self._back(step.of, _refused, "refused")
        if not isinstance(asked.command, commands.PlainCommand):
            raise _CannotPlay("what was refused can't be overruled")
        self._settled.append(asked)
        return commands.Overrule(asked.command, step.reason)


def _of_duty(step: AnyStep) -> crew.CrewCommand | None:
    """A step about duties, clocks and the ready chain as a command, or None if it is another."""
    match step:
        case crew_steps.Hold():
            return crew.Hold(step.reason)
        case crew_steps.Release():
            return crew.Release(step.post or "")
        case crew_steps.Ready():
            return crew.Ready()
        case crew_steps.Tick():
            return crew.TickDuty(step.duty, step.team or "", step.fault, step.for_post or "")
        case crew_steps.ExpectPost():
            return crew.ExpectPost(step.post, step.where)
        case crew_steps.RunClock():
            return crew.RunClock(step.clock, step.act, step.seconds)
        case _:
            return None


def _of_hands(step: AnyStep) -> crew.CrewCommand | crew.PenCommand | None:
    """A step about who writes and about the end as a command, or None if it is one of the match."""
    match step:
        case handing.TakeWriting():
            return crew.TakeWriting()
        case handing.WriteAlone():
            return crew.WriteAlone()
        case handing.HandWriting():
            return crew.HandWriting(str(step.post))
        case handing.Sign():
            return crew.Sign("" if step.signer is None else str(step.signer))
        case handing.NextMatch():
            return crew.NextMatch(step.a, step.b)
        case _:
            return None


def _proposed(asked: _Asked) -> bool:
    return asked.answer.proposal is not None


def _refused(asked: _Asked) -> bool:
    ruling = asked.answer.ruling
    return not asked.answer.facts and ruling is not None and not ruling.fine


def play(run: Run, stage: Stage) -> tuple[Played, ...]:
    """Play all steps of a run; a difference does not stop it."""
    return Player(run, stage).play()
