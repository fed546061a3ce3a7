"""The trade's kinds of things, as enums: faults, cards, delays, stops, moments."""

from enum import StrEnum


class RallyFault(StrEnum):
    """Why a rally ended, where an official called it. A rally without a call needs none."""

    SERVICE_OUT = "service_out"
    SERVICE_FOOT = "service_foot"
    SERVICE_TIME = "service_time"
    SERVICE_TOSS = "service_toss"
    SCREEN = "screen"
    POSITION = "position"
    OUTSIDE_COURT = "outside_court"
    NET = "net"
    CENTRE_LINE = "centre_line"
    ANTENNA = "antenna"
    BALL_OUTSIDE = "ball_outside"
    OUTSIDE_OBJECT = "outside_object"
    BACK_ROW = "back_row"
    LIBERO_ATTACK = "libero_attack"
    LIBERO_BLOCK = "libero_block"
    FOUR_HITS = "four_hits"
    DOUBLE = "double"
    HELD = "held"
    OTHER = "other"


class ReplayCause(StrEnum):
    """Why a rally is played again."""

    BOTH_TEAMS = "both_teams"
    INTERFERENCE = "interference"
    INJURY = "injury"
    SERVED_BEFORE_WHISTLE = "served_before_whistle"
    WHISTLED_BY_MISTAKE = "whistled_by_mistake"
    PLAYERS_ON_COURT = "players_on_court"
    CALL_WITHDRAWN = "call_withdrawn"
    OTHER = "other"


class Moment(StrEnum):
    """When a request came: ball out of play before the service whistle, after it, or in the rally."""

    DEAD_BALL = "dead_ball"
    AFTER_WHISTLE = "after_whistle"
    IN_RALLY = "in_rally"


class SubstitutionKind(StrEnum):
    """Regular, forced (injury, illness, expulsion, disqualification), or exceptional (outside the limits)."""

    REGULAR = "regular"
    FORCED = "forced"
    EXCEPTIONAL = "exceptional"


class Card(StrEnum):
    """What the first referee shows: yellow, red, both in one hand, one in each hand."""

    WARNING = "warning"
    PENALTY = "penalty"
    EXPULSION = "expulsion"
    DISQUALIFICATION = "disqualification"


class Conduct(StrEnum):
    """How bad a misconduct was, in the words of the rules."""

    MINOR = "minor"
    RUDE = "rude"
    OFFENSIVE = "offensive"
    AGGRESSION = "aggression"


class DelayCause(StrEnum):
    """What held up the game."""

    SLOW = "slow"
    PROLONGED = "prolonged"
    ILLEGAL_REQUEST = "illegal_request"
    REPEATED_IMPROPER = "repeated_improper"
    NOT_READY = "not_ready"
    LIBERO = "libero"
    PLAYERS_ON_COURT = "players_on_court"
    LATE = "late"
    OTHER = "other"


class DelayStep(StrEnum):
    """The two steps of the delay ladder."""

    WARNING = "warning"
    PENALTY = "penalty"


class RequestKind(StrEnum):
    """What a team asked for in an interruption."""

    TIME_OUT = "time_out"
    SUBSTITUTION = "substitution"
    LIBERO = "libero"
    LINE_UP_CHECK = "line_up_check"
    OTHER = "other"


class StopCause(StrEnum):
    """Why play stands still outside the regular interruptions."""

    INJURY = "injury"
    INTERFERENCE = "interference"
    PROTEST = "protest"
    FACILITY = "facility"
    OTHER = "other"


class LiberoOutCause(StrEnum):
    """Why a libero can play no longer."""

    INJURY = "injury"
    ILLNESS = "illness"
    EXPULSION = "expulsion"
    DISQUALIFICATION = "disqualification"
    DECLARED = "declared"


class Scope(StrEnum):
    """How far an incompleteness or a default reaches."""

    SET = "set"
    MATCH = "match"


class Cause(StrEnum):
    """What a correction of score, order or service puts right."""

    WRONG_SERVER = "wrong_server"
    LINE_UP = "line_up"
    ILLEGAL_SUBSTITUTION = "illegal_substitution"
    ILLEGAL_LIBERO = "illegal_libero"
    UNLISTED_PLAYER = "unlisted_player"
    WRONG_INFORMATION = "wrong_information"
    PROTEST = "protest"
    RULED = "ruled"


class RemarkKind(StrEnum):
    """What a line under "remarks" is about."""

    CAPTAIN_TOLD = "captain_told"
    SCORER_MISTAKE = "scorer_mistake"
    COURT_CHANGE_FORGOTTEN = "court_change_forgotten"
    PROTEST = "protest"
    INJURY = "injury"
    OTHER = "other"


class Phase(StrEnum):
    """Where the match stands. Ball in play or not is not kept: a rally is one fact, at its end."""

    BEFORE_MATCH = "before_match"
    LINE_UPS_DUE = "line_ups_due"
    CHECK = "check"
    PLAY = "play"
    TIME_OUT = "time_out"
    STOPPED = "stopped"
    BETWEEN_SETS = "between_sets"
    FINISHED = "finished"
