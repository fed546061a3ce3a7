"""A rule profile: every number or yes/no that a rule book sets. `loading` reads it from TOML."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from crewlink.rules.format import Format


class Pairing(StrEnum):
    """Who may be exchanged for whom: a starter and one substitute, or anyone in one place of the order."""

    STARTER_AND_SUBSTITUTE = "starter_and_substitute"
    ONE_POSITION = "one_position"


class Reach(StrEnum):
    """How far back points are cancelled."""

    FROM_FAULT = "from_fault"
    SERVICE_TERM = "service_term"


class Return(StrEnum):
    """When a player replaced exceptionally may come back."""

    NEVER = "never"
    NEXT_SET = "next_set"


class Several(StrEnum):
    """How several substitutes of one team come: all in the zone together, or one after the other."""

    TOGETHER = "together"
    ONE_BY_ONE = "one_by_one"


class Unlisted(StrEnum):
    """What happens if no libero was written on the sheet."""

    NONE = "none_that_set"
    NONE_MATCH = "none_that_match"
    NAMED_AT_CHECK = "named_at_check"


class DefaultResult(StrEnum):
    """What a team in default for the match loses."""

    ALL_SETS_TO_NIL = "all_sets_to_nil"


class Late(StrEnum):
    """What a team loses that has not come in time: the match, a point a minute, or the sets in stages."""

    DEFAULT = "default"
    POINTS_BY_MINUTE = "points_by_minute"
    IN_STAGES = "in_stages"


class Asker(StrEnum):
    """Who may ask for a time-out."""

    COACH = "coach"
    ASSISTANT_COACH = "assistant_coach"
    CAPTAIN = "captain"


class Sheet(StrEnum):
    """Where the liberos are written."""

    SCORE_SHEET = "score_sheet"
    LINE_UP_SHEET = "line_up_sheet"


class ExpelledGo(StrEnum):
    """Where an expelled member stays until the set ends."""

    DRESSING_ROOM = "dressing_room"
    LEAVES_PLAYING_AREA = "leaves_playing_area"
    PENALTY_AREA = "penalty_area"


class BallBack(StrEnum):
    """Until when a ball that went past an antenna may be played back."""

    AFTER_FIRST_CONTACT = "after_first_contact"
    WITHIN_TEAM_CONTACTS = "within_team_contacts"


class NetContact(StrEnum):
    """When touching the net is a fault."""

    BETWEEN_ANTENNAE_PLAYING_BALL = "between_antennae_playing_ball"
    ONLY_INTERFERING = "only_interfering"


class WholeFoot(StrEnum):
    """When a whole foot across the centre line is a fault."""

    FAULT = "fault"
    ONLY_WITH_INTERFERENCE_OR_DANGER = "only_with_interference_or_danger"


class Ceiling(StrEnum):
    """A ball on the ceiling over the own side."""

    OUT = "out"
    PLAYABLE = "playable"


class Signer(StrEnum):
    """Who signs the score sheet."""

    SCORER = "scorer"
    CAPTAIN_A = "captain_a"
    CAPTAIN_B = "captain_b"
    COACH_A = "coach_a"
    COACH_B = "coach_b"
    R1 = "R1"
    R2 = "R2"


class MatchRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Length of a match and of its sets; defaults of the format."""

    sets_to_win: int
    deciding_set_number: int
    points: int
    deciding_points: int
    lead: int
    cap: int | None
    court_change_at: int | None
    default_result: DefaultResult
    late: Late


class SubstitutionRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Substitutions."""

    per_set: int
    pairing: Pairing
    announce: tuple[int, ...]
    time_out_opens_request: bool
    blocked_after_delay_warning: bool
    exceptional_for_expelled: bool
    exceptional_return: Return
    several: Several


class TimeOutRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Time-outs and who may ask for an interruption."""

    per_set: int
    seconds: int
    announce: tuple[int, ...]
    technical_at: tuple[int, ...]
    technical_seconds: int
    technical_in_deciding_set: bool
    requested_by: tuple[Asker, ...]


class LineUpRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Line-up sheets. Deadlines in seconds before the warm-up or the time between sets ends."""

    deadline_first_set: int | None
    deadline_later_sets: int | None
    free_changes_until: int | None
    captains_raise_hand: bool


class PositionRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Positions at the service hit."""

    serving_team_in_order: bool
    level_is_legal: bool


class WrongServerRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Service out of order, and players who should not be on court."""

    single_point: bool
    stop_at_hit: bool
    reach: Reach
    illegal_player_reach: Reach


class LiberoRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Liberos."""

    most: int
    each_set: bool
    named_on: Sheet
    not_listed: Unlisted
    may_serve: bool
    to_serve_without_rally: bool
    may_be_captain: bool
    named_anew_if_expelled: bool


class ConductRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Misconduct sanctions."""

    expulsion_gives_point: bool
    place_of_expelled: ExpelledGo


class TimeRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Times, in seconds."""

    service: int
    interval: int
    middle_interval: int
    recovery: int


class FaultRules(Struct, frozen=True, forbid_unknown_fields=True):
    """What the referees judge by: differs between books, is shown in practice and in calls."""

    ball_back_outside_antenna: BallBack
    hands_above_head_in_screen: bool
    net_contact: NetContact
    double_contact_second_hit: bool
    centre_line_whole_foot: WholeFoot
    ceiling_over_own_side: Ceiling


class SignOffRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Who signs, in order."""

    order: tuple[Signer, ...]


class Profile(Struct, frozen=True, forbid_unknown_fields=True):
    """A rule profile. `references`: rule number by ruling code."""

    name: str
    title: str
    match: MatchRules
    substitutions: SubstitutionRules
    time_outs: TimeOutRules
    line_up: LineUpRules
    positions: PositionRules
    wrong_server: WrongServerRules
    libero: LiberoRules
    conduct: ConductRules
    times: TimeRules
    faults: FaultRules
    sign_off: SignOffRules
    references: dict[str, str]

    def reference(self, code: str) -> str:
        """The rule number that stands behind a ruling, or "" if none is known."""
        return self.references.get(code, "")

    def format(self) -> Format:
        """The match format this rule book plays."""
        rules = self.match
        return Format(
            max_sets=rules.deciding_set_number,
            sets_to_win=rules.sets_to_win,
            points=rules.points,
            deciding_points=rules.deciding_points,
            lead=rules.lead,
            cap=rules.cap,
            deciding_cap=rules.cap,
            start_score=(0, 0),
            deciding_start_score=(0, 0),
            court_change_at=rules.court_change_at,
            deciding_set=True,
        )
