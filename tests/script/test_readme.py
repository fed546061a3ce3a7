"""The page about scripts names everything that can stand in one, and its example comes out as it says."""

from __future__ import annotations

import enum
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_type_hints

import msgspec
import pytest
from msgspec import inspect

import crewlink.script
from crewlink.crew.kinds import all_kinds
from crewlink.crew.notice import End, EndKind, Notice, Raised
from crewlink.crew.posts import CREW, Post, word
from crewlink.match.commands import LiberoSwap, Pair, Replay, Sanction, Substitute, TimeOut, WrongServer
from crewlink.match.setup import TeamStart
from crewlink.match.teams import Person, Role
from crewlink.match.terms import Card, Moment, SubstitutionKind
from crewlink.rules.profile import Profile
from crewlink.script.codes import FINDINGS, RULINGS
from crewlink.script.expectations import Expect
from crewlink.script.format import FormatChoice, Script, Start, StartTeam
from crewlink.script.player import play
from crewlink.script.reading import STEPS, parse
from crewlink.script.rehearse import stage_for
from crewlink.script.schema import HERE, schema_text
from tests.match.playing import BASE_A, A, B, in_middle

FOLDER = Path(crewlink.script.__file__).parent
PAGE = (FOLDER / "README.md").read_text("utf-8")
PROSE = re.sub(r"```.*?```", "", PAGE, flags=re.DOTALL)
NAMED = set(re.findall(r"[A-Za-z0-9_$]+", " ".join(re.findall(r"`([^`]+)`", PROSE))))
NOT_IN_SCRIPTS = {"Cause", "State"}  # only some of these words may stand in a script; listed below


def fields(kind: object) -> list[str]:
    info = inspect.type_info(kind)
    assert isinstance(info, inspect.StructType)
    return [field.encode_name for field in info.fields]


@pytest.mark.parametrize("step", STEPS)
def test_every_step_and_its_fields_are_named(step: str) -> None:
    missing = [name for name in (step, *fields(STEPS[step])) if name not in NAMED]
    assert not missing


@pytest.mark.parametrize("kind", [Script, Start, StartTeam, Expect, FormatChoice])
def test_every_field_is_named(kind: type) -> None:
    missing = [name for name in fields(kind) if name not in NAMED]
    assert not missing


def words(kind: object) -> Iterator[tuple[str, str]]:
    """Every word that may stand in a field of a few words, with the name of the field's type."""
    seen: set[object] = set()
    waiting = [inspect.type_info(kind)]
    while waiting:
        one = waiting.pop()
        if isinstance(one, inspect.EnumType):
            yield from ((one.cls.__name__, str(member.value)) for member in one.cls)
        elif isinstance(one, inspect.StructType) and one.cls not in seen:
            seen.add(one.cls)
            waiting += [field.type for field in one.fields]
        elif isinstance(one, inspect.UnionType):
            waiting += one.types
        elif isinstance(one, inspect.VarTupleType | inspect.ListType):
            waiting.append(one.item_type)
        elif isinstance(one, inspect.TupleType):
            waiting += one.item_types
        elif isinstance(one, inspect.DictType):
            waiting.append(one.value_type)
        elif isinstance(one, inspect.Metadata):
            waiting.append(one.type)


def test_every_word_is_named() -> None:
    missing = {
        f"{kind}: {word}" for kind, word in words(Script) if kind not in NOT_IN_SCRIPTS and word not in NAMED
    }
    assert not missing
    assert {"line_up", "illegal_substitution", "illegal_libero"} <= NAMED
    assert {"open", "answered", "closed", "withdrawn", "lapsed"} <= NAMED


def test_every_notice_is_named() -> None:
    assert not set(all_kinds()) - NAMED


def test_every_value_of_a_profile_is_named() -> None:
    for section, kind in get_type_hints(Profile).items():
        if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
            assert section in NAMED
            for name, value in get_type_hints(kind).items():
                assert name in NAMED, f"{section}.{name}"
                if isinstance(value, type) and issubclass(value, enum.Enum):
                    assert {member.value for member in value} <= NAMED


def test_the_example_comes_out_as_it_says() -> None:
    examples = [text for text in re.findall(r"```json\n(.*?)```", PAGE, re.DOTALL) if '"script"' in text]
    assert examples
    for text in examples:
        script = parse(text, "README.md")
        for run in script.runs:
            for profile in run.profiles:
                assert not [
                    step.differences
                    for step in play(run, stage_for(script, run, profile))
                    if step.differences
                ]


def test_the_schema_file_is_the_one_that_the_types_give() -> None:
    assert (FOLDER / HERE).read_text("utf-8") == schema_text()


ENDINGS = {
    "answered": "when all asked have answered",
    "closed": "when it is closed",
    "released": "when it is released",
    "outcome": "when R1 closes or settles it",
    "lapses": "when it is no longer true",
    "done": "when its cause is gone",
    "missing": "when nothing is missing, or it is closed",
    "rally": "answered, or when the next rally is over",
}
WHO = {"others": "the crew", "addressee": "who is named", "any": "any post", "program": "the program"}


def closers(code: str) -> str:
    """Who may close a notice of a kind, asked of the notice itself."""
    kind = all_kinds()[code]
    raiser = next((post for post in reversed(Post) if kind.may_raise(post)), Post.SITE)
    raised = Raised(0, b"r", b"d", raiser, code, b"a", 0)
    may = [
        post
        for post in Post
        if Notice(b"n", raised, ends=(End(EndKind.CLOSED, 0, b"e", b"d", post, post, "", 0),)).end is not None
    ]
    if set(CREW) <= set(may):
        return "raiser, the crew, who is asked"
    return " or ".join("raiser" if post == raiser != Post.R1 else word(post) for post in may)


def kinds_table() -> str:
    rows = ["| kind | raised by | must answer | may close | ends |", "|---|---|---|---|---|"]
    for code, kind in all_kinds().items():
        raised, asks = (
            ", ".join(WHO.get(one, word(one)) for one in some) for some in (kind.raised_by, kind.asks)
        )
        rows.append(f"| `{code}` | {raised} | {asks or 'nobody'} | {closers(code)} | {ENDINGS[kind.ends]} |")
    return "\n".join(rows)


def codes_list() -> str:
    return "\n\n".join(
        f"{title}: {', '.join(f'`{code}`' for code in sorted(codes))}."
        for title, codes in (("Rulings", RULINGS), ("Findings", FINDINGS))
    )


@pytest.mark.parametrize(("name", "made"), [("kinds", kinds_table()), ("codes", codes_list())])
def test_what_is_made_is_up_to_date(name: str, made: str) -> None:
    path = FOLDER / "README.md"
    place = re.compile(rf"(<!-- {name}: .*? -->\n)(.*?)(<!-- end of {name} -->)", re.DOTALL)
    text = path.read_text("utf-8")
    assert place.search(text), f"the README has no place for {name}"
    wanted = place.sub(lambda found: f"{found[1]}\n{made}\n\n{found[3]}", text)
    if os.environ.get("WRITE"):
        path.write_text(wanted, "utf-8")
    assert wanted == path.read_text("utf-8")


FULL = TeamStart(BASE_A, time_outs=2, substitutions=6)
ON = TeamStart((4, 9, 7, 12, 20, 15), libero=(20, 2))
IMPROPER = TeamStart(BASE_A, improper=1)


def asked(kind: object, start: TeamStart | None = None, *before: object) -> tuple[str, str]:
    table = in_middle((5, 5), A, a=start)
    for command in before:
        table.do(command)  # type: ignore[arg-type]
    ruling = table.ask(kind).ruling  # type: ignore[arg-type]
    return ruling.code, ruling.severity.value


@pytest.mark.parametrize(
    ("row", "found"),
    [
        (1, asked(TimeOut(A, moment=Moment.IN_RALLY))),
        (1, asked(TimeOut(A, moment=Moment.AFTER_WHISTLE))),
        (1, asked(TimeOut(A, Role.THERAPIST))),
        (1, asked(TimeOut(A), FULL)),
        (1, asked(TimeOut(A), None, Replay())),
        (2, asked(Substitute(A, (Pair(6, 9),), moment=Moment.IN_RALLY))),
        (2, asked(Substitute(A, (Pair(6, 9),), moment=Moment.AFTER_WHISTLE))),
        (2, asked(Substitute(A, (Pair(11, 7),)), None, Substitute(A, (Pair(6, 9),)))),
        (2, asked(Substitute(A, (Pair(6, 9),)), None, Replay())),
        (2, asked(Substitute(A, (Pair(6, 9),)), FULL)),
        (3, asked(TimeOut(A, moment=Moment.IN_RALLY), IMPROPER)),
        (3, asked(Substitute(A, (Pair(6, 9),), moment=Moment.IN_RALLY, cost_time=True))),
        (4, asked(Substitute(A, (Pair(6, 9),), ready=False))),
        (4, asked(Substitute(A, (Pair(20, 9),)))),
        (5, asked(Substitute(A, (Pair(6, 11),)))),
        (5, asked(Substitute(A, (Pair(4, 9),)))),
        (5, asked(Substitute(A, (Pair(77, 9),)))),
        (5, asked(Substitute(A, (Pair(6, 2),)), ON)),
        (5, asked(Substitute(A, (Pair(6, 9),), SubstitutionKind.EXCEPTIONAL))),
        (6, asked(LiberoSwap(A, 20, 7))),
        (6, asked(LiberoSwap(A, 6, 20), ON)),
        (6, asked(LiberoSwap(A, 2, 20), None, LiberoSwap(A, 20, 2))),
        (6, asked(LiberoSwap(A, 20, 4))),
        (7, asked(LiberoSwap(A, 20, 2), None, Replay())),
        (7, asked(LiberoSwap(A, 6, 2))),
        (7, asked(LiberoSwap(A, 77, 2))),
        (8, asked(Sanction(A, Person(number=77), Card.WARNING))),
        (9, asked(WrongServer(A, 15, 1, False))),
        (9, asked(WrongServer(A, 4))),
        (9, asked(WrongServer(B, 8))),
    ],
)
def test_what_is_refused_and_how(row: int, found: tuple[str, str]) -> None:
    table = PAGE.split("What is refused, and how:")[1].split("\n\n")[1].splitlines()[2:]
    _, _, severity, codes, _ = table[row - 1].split("|")
    if codes.strip() == "the same":
        codes = "".join(table[:2])
    assert severity.strip() == f"`{found[1]}`"
    assert f"`{found[0]}`" in codes
