"""What is true at the machine as the acts go by: tool, speed, feed, angle, zeros, where each handle stands."""

from __future__ import annotations

from enum import Enum
from math import cos, radians, sin
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

from handwheel.domain.acts import (
    Act,
    Approach,
    Cut,
    DrillHole,
    FitDrill,
    FitReamer,
    FitTool,
    Lock,
    Move,
    ReamHole,
    Retract,
    SetCollar,
    SetFeed,
    SetReadout,
    SetSpeed,
    Setting,
    SettingKind,
    SetZero,
    SwingSlide,
    Unlock,
)
from handwheel.domain.errors import ShopError
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Dial, Slide
from handwheel.report.words import zero_letter

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

TOOLPOST_HANDLES = (Handle.CROSS, Handle.TOP, Handle.CARRIAGE)
COUNTED_UP = (Motion.LEFT, Motion.IN)
"""Motions along which a readout, an indicator or a rule counts upward on the sheet."""
HARDLY_MM = 0.01
"""A part of a movement shorter than this is not worth a word. [mm for each mm of the slide]"""


class Means(Enum):
    """What the size expected at a setting is counted from."""

    DIAMETER = "diameter"
    ALONG = "place along the axis"
    DEPTH = "depth below the corner that was touched"


class Stand(Struct, frozen=True, kw_only=True):
    """Where a handle stands, from its live zero: marks clockwise for a dial, else mm to the left or inward."""

    kind: SettingKind
    position: Fraction


class Situation(Struct, frozen=True, kw_only=True):
    """State between two acts, as far as the sheet needs it; handles without a live zero are not in ``stands``.

    ``tailstock`` says that its quill is locked: it presses on the work.
    """

    tool: FitTool | None = None
    drill: FitDrill | FitReamer | None = None
    speed: SetSpeed | None = None
    feed: SetFeed | None = None
    swing: SwingSlide | None = None
    tailstock: bool = False
    letters: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    means: Mapping[str, Means] = field(default_factory=lambda: MappingProxyType({}))
    stands: Mapping[Handle, Stand] = field(default_factory=lambda: MappingProxyType({}))

    def letter(self, zero: str) -> str:
        """Letter of a zero; ``?`` if no act has set it, which the check refuses."""
        return self.letters.get(zero, "?")


def dial_of(shop: Shop, handle: Handle) -> Dial:
    """Dial of a handle.

    Raises
    ------
    ShopError
        If the slide has none.
    """
    dial = shop.lathe.slide(handle).dial
    if dial is None:
        msg = (
            f"{handle.value}: the sheet counts marks, but this slide of shop {shop.name!r} has no dial; "
            "plan again with this shop"
        )
        raise ShopError(msg)
    return dial


def position_of(setting: Setting, shop: Shop) -> Fraction:
    """Place of a setting from its zero: marks clockwise for a dial, else mm to the left or inward."""
    if setting.kind is SettingKind.MARKS:
        return setting.turns * dial_of(shop, setting.handle).marks + setting.marks
    return setting.value_mm


def motions_of(slide: Slide, turn: Turn, swing: SwingSlide | None) -> tuple[Motion, ...]:
    """Where the tool goes when the hand turns that way; two motions for a slide that stands at an angle."""
    motion = slide.motion_for(turn)
    if slide.handle is not Handle.TOP or swing is None:
        return (motion,)
    across = swing.leftward if motion is Motion.LEFT else swing.leftward.other
    angle = radians(float(swing.angle_deg))
    parts = ((motion, cos(angle)), (across, sin(angle)))
    return tuple(part for part, share in parts if share > HARDLY_MM)


def turn_towards(slide: Slide, motion: Motion, swing: SwingSlide | None) -> Turn:
    """How the hand turns to make the tool go that way, also across with a top slide that stands at an angle."""
    if motion.across and slide.handle is Handle.TOP and swing is not None:
        motion = Motion.LEFT if motion is swing.leftward else Motion.RIGHT
    return slide.turn_for(motion)


def tool_at(handle: Handle, now: Situation) -> FitTool | FitDrill | FitReamer | None:
    """What a handle carries: the drill in the tailstock, or the tool in the toolpost."""
    return now.drill if handle is Handle.QUILL else now.tool


def lies_behind(setting: Setting, before: Situation, shop: Shop) -> bool:
    """Whether the handle has to go back past the setting first, to come in from its side with the slack taken up."""
    stand = before.stands.get(setting.handle)
    if stand is None or stand.kind is not setting.kind:
        return False
    way = position_of(setting, shop) - stand.position
    if setting.kind is not SettingKind.MARKS:
        way = way if shop.lathe.slide(setting.handle).clockwise_moves in COUNTED_UP else -way
    return way < 0 if setting.approach is Turn.CLOCKWISE else way > 0


def situations(acts: tuple[Act, ...], shop: Shop) -> Iterator[tuple[Situation, Situation]]:
    """Yield the situation before and after each act."""
    before = Situation()
    for act in acts:
        after = after_act(act, before, shop)
        yield before, after
        before = after


def after_act(act: Act, now: Situation, shop: Shop) -> Situation:
    """Return the situation that an act leaves; most acts change nothing that the sheet has to remember."""
    match act:
        case SetZero() | SetCollar() | SetReadout():
            changed = _with_zero(act, now, shop)
        case Move() | Cut() | DrillHole() | ReamHole() | Retract():
            changed = _moved(act, now, shop)
        case SetSpeed():
            changed = replace(now, speed=act)
        case SetFeed():
            changed = replace(now, feed=act)
        case FitDrill() | FitReamer():
            changed = replace(_without_zeros(now, (Handle.QUILL,)), drill=act)
        case Lock() | Unlock() if act.handle is Handle.QUILL:
            changed = replace(now, tailstock=isinstance(act, Lock))
        case FitTool() | Approach() | SwingSlide():
            changed = _with_toolpost_lost(act, now)
        case _:
            changed = now
    return changed


def _with_toolpost_lost(act: FitTool | Approach | SwingSlide, now: Situation) -> Situation:
    lost = _without_zeros(now, TOOLPOST_HANDLES)
    match act:
        case FitTool():
            return replace(lost, tool=act)
        case SwingSlide():
            return replace(lost, swing=act)
        case _:
            return lost


def _without_zeros(now: Situation, handles: tuple[Handle, ...]) -> Situation:
    return replace(now, stands=_without(now.stands, handles))


def _with_zero(act: SetZero | SetCollar | SetReadout, now: Situation, shop: Shop) -> Situation:
    letter = now.letters.get(act.zero) or zero_letter(len(now.letters))
    return replace(
        now,
        letters=_with(now.letters, act.zero, letter),
        means=_with(now.means, act.zero, _meaning(act)),
        stands=_with(now.stands, act.handle, _stand_at_zero(act, shop)),
    )


def _stand_at_zero(act: SetZero | SetCollar | SetReadout, shop: Shop) -> Stand:
    if isinstance(act, SetZero):
        return Stand(kind=act.kind, position=Fraction(0))
    if isinstance(act, SetReadout):
        return Stand(kind=SettingKind.READOUT, position=act.value_mm)
    return Stand(kind=SettingKind.MARKS, position=act.turns * dial_of(shop, act.handle).marks + act.marks)


def _meaning(act: SetZero | SetCollar | SetReadout) -> Means:
    """What sizes are counted from a zero: settled by the surface that was touched or measured."""
    if act.surface.endswith("-edge"):
        return Means.DEPTH
    along = act.handle in (Handle.CARRIAGE, Handle.QUILL) or act.surface.endswith("-face")
    return Means.ALONG if along else Means.DIAMETER


def _moved(act: Move | Cut | DrillHole | ReamHole | Retract, now: Situation, shop: Shop) -> Situation:
    setting = setting_of(act)
    if setting is not None:
        stand = Stand(kind=setting.kind, position=position_of(setting, shop))
        return replace(now, stands=_with(now.stands, setting.handle, stand))
    if isinstance(act, Cut | Retract) and act.handle in now.stands:
        return replace(now, stands=_with(now.stands, act.handle, _by_eye(act, now, shop)))
    return now


def setting_of(act: Act) -> Setting | None:
    """Setting that an act winds to, if it has one."""
    match act:
        case Move() | DrillHole() | ReamHole():
            return act.setting
        case Cut():
            return act.to
        case _:
            return None


def _by_eye(act: Cut | Retract, now: Situation, shop: Shop) -> Stand:
    """Where a handle stands after it was moved by about a distance, not to a setting."""
    slide, stand = shop.lathe.slide(act.handle), now.stands[act.handle]
    distance_mm = Fraction(act.length_mm if isinstance(act, Cut) else act.distance_mm)
    turn = turn_towards(slide, act.motion, now.swing)
    if stand.kind is not SettingKind.MARKS:
        way = distance_mm if slide.motion_for(turn) in COUNTED_UP else -distance_mm
        return replace(stand, position=stand.position + way)
    dial = dial_of(shop, act.handle)
    turns = act.turns if isinstance(act, Retract) else None
    marks = distance_mm / dial.travel_per_mark_mm if turns is None else turns * dial.marks
    return replace(stand, position=stand.position + (marks if turn is Turn.CLOCKWISE else -marks))


Key = TypeVar("Key")
Value = TypeVar("Value")


def _with(old: Mapping[Key, Value], key: Key, value: Value) -> Mapping[Key, Value]:
    return MappingProxyType({**old, key: value})


def _without(old: Mapping[Key, Value], keys: tuple[Key, ...]) -> Mapping[Key, Value]:
    return MappingProxyType({key: value for key, value in old.items() if key not in keys})
