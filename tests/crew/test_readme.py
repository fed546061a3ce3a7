"""The tables of the crew's README are what the program does; set WRITE=1 to write them anew.

The acts are counted on live stations: the least that must be said until the notice does its work (it is open,
and for a wrong server a decision is offered to R1), and the least that answers it.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import NamedTuple

import pytest

import crewlink.crew
from crewlink.crew.commands import AnswerNotice, Hold, Raise
from crewlink.crew.kinds import Kind, all_kinds
from crewlink.crew.permissions import ACTS, COMMANDS, WRITING, may
from crewlink.crew.posts import CREW, Post, word
from crewlink.match.commands import Point
from crewlink.match.teams import Team
from tests.crew.hall import Hall
from ui.line.keys import Key
from ui.line.shapes import SHAPES, Whose
from ui.line.state import Line
from ui.line.step import press
from ui.line.world import Command, World

README = Path(crewlink.crew.__file__).parent / "README.md"
MOST_TO_RAISE, MOST_TO_ANSWER = 2, 1
MOST_KEYS = 20
URGENT = [code for code, kind in all_kinds().items() if not kind.by_program and not kind.quiet]


def raiser(kind: Kind) -> Post:
    return Post.SITE if kind.raised_by == ("site",) else Post.SCORER


def stations() -> Hall:
    hall = Hall((*CREW, Post.SITE))
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    return hall


def works(code: str, command: Raise) -> Hall | None:
    """Stations on which the notice is raised and does its work, or None if that was not enough.

    A wrong server must lead to a decision for R1, a message must say something.
    """
    hall = stations()
    if not hall.do(raiser(all_kinds()[code]), command).done or not hall.notices(Post.R1, code):
        return None
    (notice,) = hall.notices(Post.R1, code)
    empty = code == "site_message" and notice.raised is not None and not notice.raised.detail
    return None if empty or (code == "wrong_server" and not hall.look(Post.R1).proposals) else hall


def counted(code: str) -> tuple[int, int, str]:
    """Acts to raise, acts of each post to answer, and what must be said besides the kind."""
    tries = (
        (Raise(code), 1, "nothing more"),
        (Raise(code, "A", 4), 2, "team and number"),
        (Raise(code, detail="next match waits"), 2, "the words"),
    )
    for command, acts, said in tries:
        hall = works(code, command)
        if hall is not None:
            return acts, _answers(hall, code), said
    pytest.fail(f"{code} cannot be raised in two acts")


def _answers(hall: Hall, code: str) -> int:
    """The most acts that one post needs until it has answered; none is left to answer after them."""
    (notice,) = hall.notices(Post.R1, code)
    needed = []
    for post in map(Post, notice.asks):
        acts = 0
        while post not in hall.notices(post, code)[0].answers and acts < 9:
            hall.do(post, AnswerNotice(notice.id.hex()))
            acts += 1
        needed.append(acts)
    assert hall.notices(Post.R1, code)[0].unanswered == ()
    return max(needed)


class Typed(NamedTuple):
    """A notice raised at the table's number line: choices made, keys pressed, what was sent."""

    choices: int
    keys: int
    command: Command


def typed(code: str) -> Typed | None:
    """The least keys at the table that raise a kind, by the line that every table face has; None where it
    does not offer it.
    """
    world = World(stations().look(Post.SCORER), now=100.0)
    for steps in range(1, MOST_KEYS):
        line, keys = Line(), 0
        for _ in range(steps):
            line, keys = press(line, world, Key.UP).line, keys + 1
        found = _filled(line, world, keys)
        kind = "hold_service" if found is not None and isinstance(found.command, Hold) else code
        if found is not None and kind == code and getattr(found.command, "kind", code) == code:
            if isinstance(found.command, Raise | Hold):
                return found
    return None


def _filled(line: Line, world: World, keys: int) -> Typed | None:
    """Fill what an open act needs with the keys that the line asks for, and press Enter."""
    choices = 1
    for _ in range(MOST_KEYS):
        form = line.form
        if form is None:
            return None
        done = press(line, world, Key.ENTER)
        if done.command is not None:
            return Typed(choices, keys + 1, done.command)
        if SHAPES[form.act].whose is Whose.SAID and not form.team:
            line, keys, choices = press(line, world, Key.LEFT).line, keys + 1, choices + 1
            continue
        box = form.box if form.box is not None and not form.box.value else None
        if box is None:  # Enter went to the box that is still empty
            line, keys = done.line, keys + 1
            continue
        asked = Key.FOUR if box.typed else Key.DOWN
        line, keys, choices = press(line, world, asked).line, keys + 1, choices + 1
    return None


@pytest.mark.parametrize("code", [one for one in URGENT if raiser(all_kinds()[one]) is Post.SCORER])
def test_the_keys_of_the_table_raise_it_and_space_answers(code: str) -> None:
    found = typed(code)
    assert found is not None, "the number line does not offer it"
    assert found.choices <= MOST_TO_RAISE or all_kinds()[code].level != "now"
    hall = stations()
    assert hall.do(Post.SCORER, found.command).done and hall.notices(Post.R1, code)
    if code == "wrong_server":
        assert hall.look(Post.R1).proposals, "R1 has a decision at once"
    other = stations()
    other.do(Post.R2, found.command)
    if any(one.asked for one in other.plates(Post.SCORER, code)):
        world = World(other.look(Post.SCORER), now=100.0)
        answer = press(Line(), world, Key.SPACE).command
        assert isinstance(answer, AnswerNotice)
        other.do(Post.SCORER, answer)
        assert "scorer" in other.notices(Post.R1, code)[0].answers


def acts_table() -> str:
    rows = [
        "| kind | level | must be said | acts to raise | at the table | who answers | acts to answer |",
        "|---|---|---|---|---|---|---|",
    ]
    for code in URGENT:
        kind, (raised, answered, said) = all_kinds()[code], counted(code)
        assert raised <= MOST_TO_RAISE and answered <= MOST_TO_ANSWER, code
        level = "as sent" if kind.as_sent else kind.level
        found = typed(code) if raiser(kind) is Post.SCORER else None
        table = "" if found is None else f"{found.choices} ({found.keys} keys)"
        who = ", ".join(kind.asks)
        cells = (f"{kind.title} (`{code}`)", level, said, str(raised), table, who, str(answered))
        rows.append(f"| {' | '.join(cells)} |")
    return "\n".join(rows)


def permissions_table() -> str:
    posts = list(map(str, Post))
    rows = [f"| | {' | '.join(word(post) for post in posts)} |", "|---|" + "---|" * len(posts)]
    groups: dict[tuple[bool, ...], list[str]] = {}
    for name in (*ACTS, *COMMANDS, *WRITING):
        groups.setdefault(tuple(may(post, name) for post in posts), []).append(f"`{name}`")
    for allowed, names in groups.items():
        rows.append(f"| {', '.join(names)} | {' | '.join('yes' if one else '' for one in allowed)} |")
    return "\n".join(rows)


@pytest.mark.parametrize(("name", "make"), [("acts", acts_table), ("permissions", permissions_table)])
def test_the_readme_says_what_the_program_does(name: str, make: object) -> None:
    assert callable(make)
    text, table = README.read_text("utf-8"), make()
    place = re.compile(rf"(<!-- {name}: .*? -->\n)(.*?)(<!-- end of {name} -->)", re.DOTALL)
    assert place.search(text), f"the README has no place for {name}"
    wanted = place.sub(lambda found: f"{found[1]}\n{table}\n\n{found[3]}", text)
    if os.environ.get("WRITE"):
        README.write_text(wanted, "utf-8")
    assert wanted == README.read_text("utf-8")
