"""The page of the rule profiles, `README.md`: every value side by side, each with its source and its checks.

Which cases and tests notice a changed value is found out by changing it: `python -m tests.rules.mutation`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from enum import StrEnum
from importlib import resources

from msgspec import Struct

from crewlink.rules.loading import SHIPPED, SourcedProfile, shipped
from crewlink.rules.profile import Profile

FILE = "README.md"
CASES_SHOWN = 6
TOLD = {
    "faults.ball_back_outside_antenna": "a call of the referees",
    "faults.hands_above_head_in_screen": "a call of the referees",
    "faults.net_contact": "a call of the referees",
    "faults.double_contact_second_hit": "a call of the referees",
    "faults.centre_line_whole_foot": "a call of the referees",
    "faults.ceiling_over_own_side": "a call of the referees",
    "wrong_server.stop_at_hit": "what the table does; all four books agree",
    "times.middle_interval": "only on request of the organiser; the time between sets runs by interval",
}
"""Values that are kept for people: no part of the program computes with them, and why."""


class Check(Struct, frozen=True):
    """What notices that a value was changed: worked cases, how many tests by file.

    `gap`: some change of it is noticed by nothing.
    """

    cases: tuple[str, ...]
    tests: dict[str, int]
    gap: bool = False


Checks = Mapping[tuple[str, str], Check]
"""By profile and "section.field"."""


def titles() -> dict[str, str]:
    """The full title behind each tag."""
    text = (resources.files("crewlink.rules") / "sources.toml").read_text("utf-8")
    return {tag: str(title) for tag, title in tomllib.loads(text).items()}


def page(checks: Checks) -> str:
    """The whole page."""
    profiles = [shipped(name) for name in SHIPPED]
    parts = [*_head(profiles), *_values(profiles, checks), *_references(profiles), *_readings(), *_titles()]
    return "\n".join(parts) + "\n"


def _head(profiles: list[SourcedProfile]) -> Iterator[str]:
    yield "# Rule profiles"
    yield ""
    yield "Rule profiles are a help: the competition's own rule book and its officials decide."
    yield "This page is written from the profiles; change those, then run"
    yield "`python -m tests.rules.mutation --write`: it changes one value at a time and notes which of the"
    yield "worked cases (O01 to O66) and tests notice. Where none does, the value is only told to people."
    yield ""
    for sourced in profiles:
        yield f"- **{sourced.profile.name}**: {sourced.profile.title}"
    yield ""
    yield "An event may set any single value (`section.field`) and the match format over a profile."
    yield "*mem*: the wording was not seen, the value is written from memory. Other tags are listed below."


def _values(profiles: list[SourcedProfile], checks: Checks) -> Iterator[str]:
    for section in Profile.__struct_fields__:
        part = getattr(profiles[0].profile, section)
        if not isinstance(part, Struct):
            continue
        yield from ("", f"## {section}", "", _row("value", *SHIPPED), _row("---", *("---" for _ in SHIPPED)))
        for field in part.__struct_fields__:
            yield _row(field, *(_cell(sourced, section, field) for sourced in profiles))
        yield from ("", _row("checked by", *SHIPPED), _row("---", *("---" for _ in SHIPPED)))
        for field in part.__struct_fields__:
            path = f"{section}.{field}"
            yield _row(field, *(_checked(path, checks.get((name, path))) for name in SHIPPED))


def _checked(path: str, check: Check | None) -> str:
    """Cases and tests that notice a changed value."""
    if path in TOLD:
        return f"told, not computed: {TOLD[path]}"
    if check is None or not (check.cases or check.tests):
        return "one value only: nothing to change" if check is not None and not check.gap else "nothing"
    cases = ", ".join(check.cases[:CASES_SHOWN])
    if len(check.cases) > CASES_SHOWN:
        cases += f" and {len(check.cases) - CASES_SHOWN} more"
    files = (_file(file, times) for file, times in check.tests.items())
    return "; ".join(part for part in (cases, ", ".join(files)) if part)


def _file(file: str, times: int) -> str:
    """ "match/test_libero.py", 3: "libero x3"."""
    name = file.rpartition("/")[2].removeprefix("test_").removesuffix(".py")
    return name if times == 1 else f"{name} x{times}"


def _cell(sourced: SourcedProfile, section: str, field: str) -> str:
    value = getattr(getattr(sourced.profile, section), field)
    source = sourced.sources[f"{section}.{field}"].replace("from memory", "*mem*")
    return f"{_shown(value)} ({source})"


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(_shown(one) for one in value) or "none"
    if value is None:
        return "none"
    text = value.value if isinstance(value, StrEnum) else str(value)
    return text.replace("_", " ")


def _row(*cells: str) -> str:
    return f"| {' | '.join(cells)} |"


def _references(profiles: list[SourcedProfile]) -> Iterator[str]:
    codes = sorted({code for sourced in profiles for code in sourced.profile.references})
    yield from ("", "## Rule numbers behind rulings", "")
    yield "The numbers of USJ are those of the international rules (*mem*: its own book was not seen)."
    yield from ("", _row("ruling", *SHIPPED), _row("---", *("---" for _ in SHIPPED)))
    for code in codes:
        yield _row(code, *(sourced.profile.reference(code) for sourced in profiles))


def _readings() -> Iterator[str]:
    yield from ("", "## Readings where the rule text is silent", "")
    yield "- The last rally begun by a wrong server counts as won by the opponent, once."
    yield "- Only points are cancelled; time-outs, substitutions and sanctions in between stay."
    yield "- Rotations that a team was entitled to stay, also where the point for them is cancelled."
    yield "- A player who is not on the list costs the sets played with that player, not other sets."
    yield "- Penalties given before a set: the team due to serve first is penalised first."
    yield "- No libero replacement before a rally is played again but for an injury: refused, no sanction."
    yield "- A player who is off for the libero comes back before a substitution; asking costs nothing."
    yield "- A set lost before the toss leaves the toss due before the next one."
    yield "- A point played while a libero or the courts should have changed counts; the audit tells it."
    yield "- OLD has the technical time-outs of top events; others set `time_outs.technical_at` to nothing."


def _titles() -> Iterator[str]:
    yield from ("", "## Sources", "")
    for tag, title in titles().items():
        yield f"- **{tag}**: {title}"
