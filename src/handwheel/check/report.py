"""What the check hands back: every refusal with a stable code, and the sizes that the sheet really cuts."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct


class RefusalCode(Enum):
    """Why an act is refused; the values are stable names for documents and tests."""

    # sense
    MALFORMED = "malformed"
    UNKNOWN_ACT = "unknown-act"
    UNKNOWN_MATERIAL = "unknown-material"
    UNKNOWN_TOOL = "unknown-tool"
    UNKNOWN_DRILL = "unknown-drill"
    UNKNOWN_REAMER = "unknown-reamer"
    UNKNOWN_TAP = "unknown-tap"
    UNKNOWN_BAR = "unknown-bar"
    UNKNOWN_HOLDING = "unknown-holding"
    UNKNOWN_GAUGE = "unknown-gauge"
    UNKNOWN_SURFACE = "unknown-surface"
    WRONG_SURFACE = "wrong-surface"
    REST_NOT_LOOKED_AT = "rest-not-looked-at"
    # holding
    WRONG_BAR = "wrong-bar"
    BAR_NOT_SUPPORTED = "bar-not-supported"
    BAR_NOT_GRIPPED = "bar-not-gripped"
    ALREADY_HELD = "already-held"
    NOT_HELD = "not-held"
    NOT_PARTED = "not-parted"
    NOT_INDICATED = "not-indicated"
    HOLDING_DOES_NOT_FIT = "holding-does-not-fit"
    HOLDING_NOT_READY = "holding-not-ready"
    TAILSTOCK_BUSY = "tailstock-busy"
    QUILL_NOT_LOCKED = "quill-not-locked"
    NO_CATCH_ROD = "no-catch-rod"
    NOT_SEVERED = "not-severed"
    SEVERED = "severed"
    # spindle, speed, feed
    SPINDLE_RUNS = "spindle-runs"
    SPINDLE_STANDS = "spindle-stands"
    RUNS_BACKWARDS = "runs-backwards"
    REVERSE_ON_THREAD = "reverse-on-thread"
    SPEED_NOT_SET = "speed-not-set"
    SPEED_NOT_LISTED = "speed-not-listed"
    SPEED_ABOVE_HOLDING = "speed-above-holding"
    SPEED_ABOVE_METAL = "speed-above-metal"
    SPEED_WORDS_WRONG = "speed-words-wrong"
    NO_SPEED_DATA = "no-speed-data"
    FEED_NOT_SET = "feed-not-set"
    FEED_NOT_LISTED = "feed-not-listed"
    FEED_TOO_FINE = "feed-too-fine"
    PACE_NOT_KEPT = "pace-not-kept"
    CUT_TOO_SHALLOW = "cut-too-shallow"
    CHIP_TOO_THIN = "chip-too-thin"
    FEED_TOO_COARSE = "feed-too-coarse"
    ROUGHER_THAN_ASKED = "rougher-than-asked"
    POWER_EXCEEDED = "power-exceeded"
    TORQUE_EXCEEDED = "torque-exceeded"
    GRIP_SLIPS = "grip-slips"
    CHATTERS = "chatters"
    BENDS_AWAY = "bends-away"
    DWELLS = "dwells"
    PUSH_EXCEEDED = "push-exceeded"
    CUTS_AIR = "cuts-air"
    DEEPER_THAN_SAID = "deeper-than-said"
    LENGTH_DISAGREES = "length-disagrees"
    MISSING_CAUTION = "missing-caution"
    HAZARD_NOT_CONFIRMED = "hazard-not-confirmed"
    # tools
    NO_TOOL = "no-tool"
    TOOL_CANNOT = "tool-cannot"
    DRILL_TOO_SHORT = "drill-too-short"
    DRILL_GRABS = "drill-grabs"
    DRILL_POINT = "drill-point"
    DRILL_WANDERS = "drill-wanders"
    REAM_ALLOWANCE = "ream-allowance"
    REAM_BOTTOMS = "ream-bottoms"
    REAM_LEAD = "ream-lead"
    REAM_LIMITS = "ream-limits"
    REAM_NOT_THROUGH = "ream-not-through"
    REAM_NOT_MEASURED = "ream-not-measured"
    TAP_CORE = "tap-core"
    TAP_ENTRY = "tap-entry"
    TAP_NOT_THROUGH = "tap-not-through"
    # places, zeros, dials
    POSITION_UNKNOWN = "position-unknown"
    POSITION_BY_EYE = "position-by-eye"
    NO_LIVE_ZERO = "no-live-zero"
    ZERO_LOST = "zero-lost"
    ZERO_NOT_TRUE = "zero-not-true"
    ZERO_IN_SLACK = "zero-in-slack"
    NOT_SETTABLE = "not-settable"
    MARKS_NOT_ON_DIAL = "marks-not-on-dial"
    MARKS_NOT_WHOLE = "marks-not-whole"
    AID_CANNOT = "aid-cannot"
    WRONG_SIDE = "wrong-side"
    BACK_OFF_TOO_SMALL = "back-off-too-small"
    WRONG_DIRECTION = "wrong-direction"
    EXPECTED_NOT_MET = "expected-not-met"
    WRONG_TURNS = "wrong-turns"
    RADIUS_FOR_DIAMETER = "radius-for-diameter"
    PAST_TRAVEL = "past-travel"
    SLIDE_LOCKED = "slide-locked"
    CARRIAGE_NOT_LOCKED = "carriage-not-locked"
    COLLAR_RULE_BROKEN = "collar-rule-broken"
    COLLAR_NOT_MEASURED = "collar-not-measured"
    COLLAR_MOVED = "collar-moved"
    COMPLEMENT_ANGLE = "complement-angle"
    ANGLE_NOT_SETTABLE = "angle-not-settable"
    ANGLE_CHECK_WRONG = "angle-check-wrong"
    # meeting metal
    NO_CONTACT = "no-contact"
    WRONG_CONTACT = "wrong-contact"
    PLOUGHS = "ploughs"
    RUBS = "rubs"
    STRIKES_HOLDING = "strikes-holding"
    STRIKES_FAR_WALL = "strikes-far-wall"
    STRIKES_BAR = "strikes-bar"
    STRIKES_DRILL = "strikes-drill"
    CANNOT_GET_THERE = "cannot-get-there"
    BY_EYE_TOO_CLOSE = "by-eye-too-close"
    NOTHING_LEFT = "nothing-left"
    # measuring
    TOOL_IN_THE_WAY = "tool-in-the-way"
    BURR = "burr"
    GAUGE_CANNOT = "gauge-cannot"
    MEASURE_DISAGREES = "measure-disagrees"
    LIMITS_DISAGREE = "limits-disagree"
    WIDTH_NOT_REACHABLE = "width-not-reachable"
    # the end
    STILL_TURNING = "still-turning"
    STILL_HELD = "still-held"
    UNFINISHED = "unfinished"
    BURR_LEFT = "burr-left"
    EDGE_NOT_BROKEN = "edge-not-broken"
    NOT_TAPPED = "not-tapped"
    NOT_JUDGED = "not-judged"
    SIZE_NOT_FOUND = "size-not-found"
    SIZE_OUTSIDE_LIMITS = "size-outside-limits"
    LEFTOVER = "leftover"
    GOUGE = "gouge"


class Refusal(Struct, frozen=True, kw_only=True):
    """One thing that the machine or the person would meet: at which act, its code, what and what to do.

    ``act`` is the id of the act, or empty where no act is to blame (the end of the sheet).
    """

    act: str
    code: RefusalCode
    text: str


class CheckedSize(Struct, frozen=True, kw_only=True):
    """One size of the drawing as the replayed cuts leave it.

    Parameters
    ----------
    feature : str
        `handwheel.domain.part.SizedFeature.id`.
    value_mm : float
        Size cut; where it varies over the surface, the value furthest from the middle of the limits. [mm]
    lower_mm, upper_mm : float
        Limits before finishing changes the size (cut limits). [mm]
    inside : bool
        Whether every value over the surface lies within them.
    """

    feature: str
    value_mm: float
    lower_mm: float
    upper_mm: float
    inside: bool


class CheckReport(Struct, frozen=True, kw_only=True):
    """Outcome of a check: refusals in the order of the acts, and the sizes of the part that came out."""

    refusals: tuple[Refusal, ...]
    sizes: tuple[CheckedSize, ...]

    @property
    def ok(self) -> bool:
        """Whether nothing was refused."""
        return not self.refusals
