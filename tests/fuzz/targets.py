"""All parsers of outside bytes, each once."""

from __future__ import annotations

from tests.fuzz import court_targets, file_targets, link_targets, meeting_targets
from tests.fuzz.target import Target

TARGETS: tuple[Target, ...] = (
    *link_targets.TARGETS,
    *meeting_targets.TARGETS,
    *file_targets.TARGETS,
    *court_targets.TARGETS,
)


def target(name: str) -> Target:
    """The target of a name. Errors: KeyError."""
    return {each.name: each for each in TARGETS}[name]
