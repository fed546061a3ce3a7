"""Writes `README.md` of this folder from the profiles: every value side by side, each with its source.

`python -m crewlink.rules.coverage` writes it; a test sees to it that it is up to date.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from enum import StrEnum
from importlib import resources
from pathlib import Path

from msgspec import Struct

from crewlink.rules.loading import SHIPPED, SourcedProfile, shipped
from crewlink.rules.profile import Profile

FILE = "README.md"


def titles() -> dict[str, str]:
    """The full title behind each tag."""
    text = (resources.files("crewlink.rules") / "sources.toml").read_text("utf-8")
    return {tag: str(title) for tag, title in tomllib.loads(text).items()}


def page() -> str:
    """The whole page."""
    profiles = [shipped(name) for name in SHIPPED]
    parts = [*_head(profiles), *_values(profiles), *_references(profiles), *_readings(), *_titles()]
    return "\n".join(parts) + "\n"


def _head(profiles: list[SourcedProfile]) -> Iterator[str]:
    yield "# Rule profiles"
    yield ""
    yield "Rule profiles are a help: the competition's own rule book and its officials decide."
    yield "This page is written from the profiles; change those and run `python -m crewlink.rules.coverage`."
    yield ""
    for sourced in profiles:
        yield f"- **{sourced.profile.name}**: {sourced.profile.title}"
    yield ""
    yield "An event may set any single value (`section.field`) and the match format over a profile."
    yield "*mem*: the wording was not seen, the value is written from memory. Other tags are listed below."


def _values(profiles: list[SourcedProfile]) -> Iterator[str]:
    for section in Profile.__struct_fields__:
        part = getattr(profiles[0].profile, section)
        if not isinstance(part, Struct):
            continue
        yield from ("", f"## {section}", "", _row("value", *SHIPPED), _row("---", *("---" for _ in SHIPPED)))
        for field in part.__struct_fields__:
            yield _row(field, *(_cell(sourced, section, field) for sourced in profiles))


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


def _titles() -> Iterator[str]:
    yield from ("", "## Sources", "")
    for tag, title in titles().items():
        yield f"- **{tag}**: {title}"


if __name__ == "__main__":
    Path(__file__).with_name(FILE).write_text(page(), "utf-8")
