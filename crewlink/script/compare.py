"""How what is seen differs from what a script expects: one plain line for each difference."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import cast

import msgspec
from msgspec import UNSET, Struct, UnsetType

from crewlink.match.ruling import Option, Proposal, Severity
from crewlink.match.state import CardShown
from crewlink.match.teams import Role, Team
from crewlink.script.expectations import (
    Expect,
    ExpectCard,
    ExpectNotice,
    ExpectOption,
    ExpectProposal,
    PositionsByTeam,
    RuleValue,
    SixWorn,
)
from crewlink.script.seen import Answer, Both, Seen, SeenNotice

PLAIN = (
    "phase", "set", "score", "sets", "set_scores", "winner", "serves", "server", "left", "courts_changed",
    "change_courts_due", "technical_time_out_due", "toss_due", "line_ups_due", "stopped_for", "protest",
    "remarks",
)  # fmt: skip
BY_TEAM = (
    "next_server", "time_outs", "substitutions", "libero_for", "libero_serves_in", "comes_back", "captain",
    "improper", "delays", "waiting_penalties",
)  # fmt: skip
CREW = (
    "ready", "held_by", "reason", "clocks", "duties", "crew", "writes", "audit", "signed", "signs_next",
    "locked",
)  # fmt: skip
PLAYERS = ("bench", "liberos", "must_leave", "out_for_match", "out_for_set", "recovered")
OFFERS = (Severity.FINE, Severity.FAULT)
"""How an answer stands that nothing was refused by: written, or a question answered by a proposal."""


class Difference(Struct, frozen=True):
    """One thing that is not as expected: what (a dotted name), the value expected and the one seen.

    `expected` "": `seen` says the whole of it.
    """

    what: str
    expected: str
    seen: str

    def __str__(self) -> str:
        if not self.expected:
            return f"{self.what}: {self.seen}"
        return f"{self.what}: expected {self.expected}, got {self.seen}"


def words(value: object) -> str:
    """A value as people write it in a script."""
    return msgspec.json.format(msgspec.json.encode(value), indent=0).decode()


def differences(expect: Expect, answer: Answer, before: Seen, now: Seen) -> list[Difference]:
    """All that differs after a step. `before` is what was seen before it."""
    found = [*_answer(expect, answer), *_match(expect, now), *_findings(expect, before, now)]
    return [*found, *_rules(expect, now), *_notices(expect, now)]


def compared(expect: Expect, now: Seen) -> int:
    """How many expectations were compared; those about notices only where there is a crew."""
    given = sum(getattr(expect, name) not in (UNSET, {}) for name in expect.__struct_fields__)
    return given if now.notices is not None else given - crew_expected(expect)


def crew_expected(expect: Expect) -> int:
    """How many expectations are about notices, which need a crew."""
    return sum(getattr(expect, name) is not UNSET for name in ("notices", "open_notices", *CREW))


def _differ(what: str, expected: object, seen: object) -> Iterator[Difference]:
    if expected is not UNSET and expected != seen:
        yield Difference(what, words(expected), words(seen))


def _answer(expect: Expect, answer: Answer) -> Iterator[Difference]:
    yield from _differ("overlaps", expect.overlaps, answer.overlaps)
    ruling = answer.ruling
    if ruling is None:
        return
    wanted_fine = _wants_fine(expect)
    fine = bool(answer.facts) or ruling.severity in OFFERS
    if wanted_fine is not None and fine is not wanted_fine:
        says = {True: "allowed", False: "refused"}
        yield Difference("answer", says[wanted_fine], f'{says[fine]} ({ruling.code}: "{ruling.sentence}")')
    yield from _differ("severity", expect.severity, ruling.severity)
    yield from _differ("ruling", expect.ruling, ruling.code)
    if expect.defects is not UNSET:
        boxes = tuple(defect.box for defect in ruling.defects)
        yield from _differ("defects", sorted(expect.defects), sorted(boxes))
    if expect.proposal is None:
        if answer.proposal is not None:
            yield Difference("proposal", "none", answer.proposal.subject)
    elif expect.proposal is not UNSET:
        yield from _proposal(expect.proposal, answer.proposal)


def _wants_fine(expect: Expect) -> bool | None:
    """Whether the script expects that the act is allowed; None where it leaves that open."""
    if expect.allowed is not UNSET:
        return expect.allowed
    if expect.severity is not UNSET:
        return expect.severity in OFFERS
    return None if expect.ruling is not UNSET or expect.defects is not UNSET else True


def _proposal(expect: ExpectProposal, got: Proposal | None) -> Iterator[Difference]:
    if got is None:
        yield Difference("proposal", words(expect), "none")
        return
    yield from _differ("proposal.subject", expect.subject, got.subject)
    yield from _differ("proposal.suggested", expect.suggested, got.suggested)
    for code, wanted in expect.options.items():
        option = got.option(code)
        if option is None:
            offered = ", ".join(one.code for one in got.options)
            yield Difference(f"proposal.options.{code}", "offered", f"only {offered}")
        else:
            yield from _option(f"proposal.options.{code}", wanted, option)


def _option(what: str, expect: ExpectOption, got: Option) -> Iterator[Difference]:
    yield from _differ(f"{what}.score", expect.score, got.score)
    yield from _differ(f"{what}.serves", expect.serves, got.serving)
    yield from _differ(f"{what}.server", expect.server, got.server)
    yield from _differ(f"{what}.explanation", expect.explanation, got.explanation)
    if isinstance(expect.positions, PositionsByTeam):
        orders = Both(tuple(got.orders[0]), tuple(got.orders[1]))
        yield from _positions(f"{what}.positions", expect.positions, orders, Both(None, None))


def _match(expect: Expect, now: Seen) -> Iterator[Difference]:
    for name in PLAIN:
        yield from _differ(name, getattr(expect, name), getattr(now, name))
    if expect.owed is not UNSET:
        yield from _differ("owed", sorted(expect.owed), sorted(one.code for one in now.owed))
    for name in ("set_point", "match_point"):
        yield from _differ(name, _as_list(getattr(expect, name)), getattr(now, name))
    for name in BY_TEAM:
        yield from _by_team(name, expect, now, lambda value: value)
    for name in PLAYERS:
        yield from _by_team(name, expect, now, lambda value: tuple(sorted(cast(Sequence[int], value))))
    yield from _by_team(
        "cards", expect, now, lambda value: _cards(cast(Sequence[CardShown | ExpectCard], value))
    )
    if expect.pairs is not UNSET:
        for team in Team:
            made = tuple({"in": swap.comes_in, "out": swap.goes_out} for swap in now.swaps.of(team))
            wanted = getattr(expect.pairs, team.lower())
            pairs = (
                wanted if wanted is UNSET else tuple({"in": p.comes_in, "out": p.goes_out} for p in wanted)
            )
            yield from _differ(f"pairs.{team}", pairs, made)
    if isinstance(expect.positions, PositionsByTeam):
        yield from _positions("positions", expect.positions, now.positions, now.on_as_libero)


def _as_list(teams: Team | tuple[Team, ...] | UnsetType | None) -> object:
    if teams is UNSET or isinstance(teams, tuple):
        return teams
    return () if teams is None else (teams,)


def _by_team(name: str, expect: Expect, now: Seen, form: Callable[[object], object]) -> Iterator[Difference]:
    wanted = getattr(expect, name)
    if wanted is UNSET:
        return
    for team in Team:
        value = getattr(wanted, team.lower())
        if value is not UNSET:
            yield from _differ(f"{name}.{team}", form(value), form(getattr(now, name).of(team)))


def _cards(cards: Sequence[CardShown | ExpectCard]) -> tuple[str, ...]:
    return tuple(_card(card) for card in cards)


def _card(card: CardShown | ExpectCard) -> str:
    if isinstance(card, CardShown):
        who: object = card.person.number if card.person.role is Role.PLAYER else card.person.role.value
    else:
        who = card.player if card.player is not None else (card.member or Role.COACH).value
    return f"{who} {card.card.value}"


def _positions(
    what: str, expect: PositionsByTeam, got: Both[tuple[int, ...]], liberos: Both[int | None]
) -> Iterator[Difference]:
    for team in Team:
        wanted: SixWorn | UnsetType | None = getattr(expect, team.lower())
        if wanted is UNSET:
            continue
        marked = wanted or ()
        libero = next((n for n in marked if isinstance(n, str)), None)
        numbers = tuple(int(n[1:]) if isinstance(n, str) else n for n in marked)
        on = liberos.of(team)
        shown = tuple(f"L{n}" if libero and n == on else n for n in got.of(team))
        same = numbers == got.of(team) and (libero is None or on is None or int(libero[1:]) == on)
        if not same:
            yield Difference(f"{what}.{team}", words(wanted), words(shown or None))


def _findings(expect: Expect, before: Seen, now: Seen) -> Iterator[Difference]:
    new = now.findings[len(before.findings) :]
    wanted = () if expect.findings is UNSET else expect.findings
    if tuple(finding.code for finding in new) != wanted:
        shown = [f"{finding.code}: {finding.sentence}" for finding in new]
        yield Difference("findings", words(wanted), words(shown))


def _rules(expect: Expect, now: Seen) -> Iterator[Difference]:
    for place, wanted in expect.rules.items():
        value: object = now.profile
        for part in place.split("."):
            value = getattr(value, part, UNSET)
        if value is UNSET:
            yield Difference(f"rules.{place}", words(wanted), "no such value in the profile")
        elif _plain(value) != wanted:
            yield Difference(f"rules.{place}", words(wanted), words(value))


def _plain(value: object) -> RuleValue:
    return cast(RuleValue, list(value) if isinstance(value, tuple) else value)


def _end(expect: Expect, now: Seen) -> Iterator[Difference]:
    """Who is there, who writes, who has signed."""
    for name in ("writes", "signed", "signs_next", "locked"):
        yield from _differ(name, getattr(expect, name), getattr(now, name))
    for name in ("crew", "audit"):
        if getattr(expect, name) is not UNSET:
            yield from _differ(name, sorted(getattr(expect, name)), sorted(getattr(now, name)))


def _notices(expect: Expect, now: Seen) -> Iterator[Difference]:
    if now.notices is None:
        return
    for name in ("ready", "held_by", "reason"):
        yield from _differ(name, getattr(expect, name), getattr(now, name))
    if expect.clocks is not UNSET:
        yield from _differ("clocks", sorted(expect.clocks), sorted(now.clocks))
    if expect.duties is not UNSET:
        for code, state in expect.duties.items():
            yield from _differ(f"duties.{code}", state, now.duties.get(code, "none"))
    yield from _end(expect, now)
    if expect.open_notices is not UNSET:
        kinds = sorted(notice.kind for notice in now.notices if notice.state == "open")
        yield from _differ("open_notices", sorted(expect.open_notices), kinds)
    if expect.notices is not UNSET:
        for wanted in expect.notices:
            if not any(_fits(wanted, notice) for notice in now.notices):
                yield Difference("notices", words(wanted), words(now.notices))


def _fits(wanted: ExpectNotice, notice: SeenNotice) -> bool:
    team = UNSET if wanted.team is UNSET else (wanted.team or "")
    pairs: tuple[tuple[object, object], ...] = (
        (wanted.kind, notice.kind),
        (wanted.state, notice.state),
        (team, notice.team),
        (wanted.player, notice.number),
        (UNSET if wanted.asked is UNSET else set(wanted.asked), set(notice.asked)),
        (UNSET if wanted.answered is UNSET else set(wanted.answered), set(notice.answered)),
        (UNSET if wanted.by_sign is UNSET else set(wanted.by_sign), set(notice.by_sign)),
        (wanted.count, notice.count),
        (wanted.told, notice.told),
        (wanted.detail, notice.detail),
        (wanted.held, notice.held),
    )
    return all(expected is UNSET or expected == got for expected, got in pairs)
