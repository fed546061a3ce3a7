"""The match format: how many sets, to how many points, lead, cap, start score, change of courts.

An organiser sets it; a profile gives the defaults. Formats are data: best of n, all sets played, any score.
"""

from __future__ import annotations

from msgspec import Struct, structs

Score = tuple[int, int]


class FormatError(ValueError):
    """A format that cannot be played: `option` and what is wrong with it."""

    def __init__(self, option: str, problem: str) -> None:
        super().__init__(f"format, {option}: {problem}")
        self.option = option
        self.problem = problem


class FormatOptions(Struct, frozen=True, omit_defaults=True):
    """What an organiser sets; None keeps the profile's value.

    `all_sets`: exactly so many sets, all played. `cap` 0: no cap. `court_change_at` 0: no change of courts.
    `deciding_set`: False plays the last set like the others.
    """

    best_of: int | None = None
    all_sets: int | None = None
    points: int | None = None
    deciding_points: int | None = None
    lead: int | None = None
    cap: int | None = None
    deciding_cap: int | None = None
    start_score: Score | None = None
    deciding_start_score: Score | None = None
    court_change_at: int | None = None
    deciding_set: bool | None = None


class Format(Struct, frozen=True):
    """A match format, complete. `sets_to_win` None: all sets are played whatever the result."""

    max_sets: int
    sets_to_win: int | None
    points: int
    deciding_points: int
    lead: int
    cap: int | None
    deciding_cap: int | None
    start_score: Score
    deciding_start_score: Score
    court_change_at: int | None
    deciding_set: bool

    def is_deciding(self, set_number: int) -> bool:
        """True if this set is played as the deciding one."""
        return self.deciding_set and set_number == self.max_sets

    def target(self, set_number: int) -> int:
        """Points that win this set, the lead given."""
        return self.deciding_points if self.is_deciding(set_number) else self.points

    def cap_of(self, set_number: int) -> int | None:
        """Points that win this set whatever the lead, or None."""
        return self.deciding_cap if self.is_deciding(set_number) else self.cap

    def start_of(self, set_number: int) -> Score:
        """The score this set starts at."""
        return self.deciding_start_score if self.is_deciding(set_number) else self.start_score


def resolve(base: Format, options: FormatOptions) -> Format:
    """Put an organiser's options over a profile's format.

    Errors: `FormatError`.
    """
    chosen = {k: v for k, v in structs.asdict(options).items() if v is not None}
    _check_sets(options)
    best_of = chosen.pop("best_of", None)
    all_sets = chosen.pop("all_sets", None)
    for cap in ("cap", "deciding_cap", "court_change_at"):
        if chosen.get(cap) == 0:
            chosen[cap] = None
    if best_of is not None:
        chosen |= {"max_sets": best_of, "sets_to_win": best_of // 2 + 1}
        if best_of == 1:  # a single set is played like any other, unless the organiser says so
            chosen.setdefault("deciding_set", False)
    elif all_sets is not None:
        chosen |= {"max_sets": all_sets, "sets_to_win": None}
        chosen.setdefault("deciding_set", False)
    made = structs.replace(base, **chosen)
    _check_decider(made)
    _check_points(made)
    return made


def _check_sets(options: FormatOptions) -> None:
    if options.best_of is not None and options.all_sets is not None:
        raise FormatError("best_of", "give either best_of or all_sets, not both")
    if options.best_of is not None and (options.best_of < 1 or options.best_of % 2 == 0):
        raise FormatError("best_of", f"{options.best_of} is not an odd number of sets: use all_sets")
    if options.all_sets is not None and options.all_sets < 1:
        raise FormatError("all_sets", "at least one set")


def _check_decider(made: Format) -> None:
    if made.sets_to_win is not None and made.max_sets != 2 * made.sets_to_win - 1:
        last = 2 * made.sets_to_win - 1
        raise FormatError("sets_to_win", f"{made.sets_to_win} to win: set {last} must be the deciding one")


def _check_points(made: Format) -> None:
    if made.lead < 1:
        raise FormatError("lead", "must be at least 1")
    pairs = (
        ("cap", made.points, made.cap, made.start_score),
        ("deciding_cap", made.deciding_points, made.deciding_cap, made.deciding_start_score),
    )
    for name, points, cap, start in pairs:
        if points < 1:
            raise FormatError(name.replace("cap", "points"), "must be at least 1")
        if cap is not None and cap < points:
            raise FormatError(name, f"{cap} is below the {points} points that win a set")
        if min(start) < 0 or max(start) >= points:
            raise FormatError(
                name.replace("cap", "start_score"), f"{start[0]}:{start[1]} does not leave a set to play"
            )
