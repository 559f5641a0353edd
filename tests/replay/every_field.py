"""Mutations of the fields that no other sort names: handles exchanged, words that carry a rule, times, limits.

With these every field of every act is changed by some mutation; `test_every_field` fails for one that is not.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceBand, AdviceTable, Do
from handwheel.domain.errors import DataTableError
from handwheel.domain.holding import Holding
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BACK_FACE, BORE, FRONT_FACE, OUTSIDE, Aspect
from tests.replay.mutation import Mutation, Writer
from tests.replay.story import Moment, Story, changed, setting_of, used_later, with_setting

MORE_STOCK_MM = 0.5
LONGER = 1.2
LARGER = 1.02
TRUER_SHARE = 0.5
NO_SURFACE = "no-such-surface"


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    makers = {
        a.LoadBar: _load_bar,
        a.Regrip: _regrip,
        a.SetSpeed: _set_speed,
        a.SetFeed: _set_feed,
        a.Touch: _other_handle,
        a.Retract: _other_handle,
        a.Cut: _cut,
        a.SetZero: _set_zero,
        a.SetCollar: _set_collar,
        a.SetReadout: _set_readout,
        a.Lock: _lock,
        a.Unlock: _lock,
        a.Measure: _measure,
        a.Indicate: _indicate,
        a.SwingSlide: _swing,
        a.HandStep: _hand_step,
        a.DrillHole: _drill_hole,
        a.Cool: _cool,
    }
    for moment in story.moments:
        maker = makers.get(type(moment.act))
        if maker is not None:
            yield from maker(writer, moment)
        yield from _setting(writer, moment)


def crossed(handle: Handle) -> Handle:
    """A handle that moves the tool square to another."""
    return Handle.TOP if handle is Handle.CROSS else Handle.CROSS


# holding and drive ---------------------------------------------------------------------------------------------------


def _load_bar(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if isinstance(act, a.LoadBar):
        stock = changed(act, face_stock_mm=act.face_stock_mm + MORE_STOCK_MM)
        yield writer.caught("face stock printed wrong", moment, "jaw face and stick-out say otherwise", stock)
        yield from _words_of_holding(writer, moment, act.holding)


def _regrip(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.Regrip):
        return
    unknown = changed(act, holding=replace(act.holding, kind="by-magic"))
    yield writer.caught("held by an unknown kind", moment, "the shop's means are of another kind", unknown)
    if act.holding.kind == "soft-jaws":
        hollow = changed(act, holding=replace(act.holding, seat_dia_mm=act.holding.grip_dia_mm + 1.0))
        yield writer.caught("a seat wider than the ring", moment, "nothing bears behind it", hollow)
    yield from _words_of_holding(writer, moment, act.holding)


def _words_of_holding(writer: Writer, moment: Moment, holding: Holding) -> Iterator[Mutation]:
    """What a holding says of itself beside its place: the check takes the shop's word and its own reckoning."""
    for kind, why, other in (
        ("jaws drawn otherwise", "what stands in the way follows from the shop", replace(holding, blocked=())),
        ("holding said to run truer", "it is indicated all the same", _truer(holding)),
        ("held surface in other words", "the grip's diameter and place say it", replace(holding, gripped_surface="it")),
        (
            "a washer that no such holding has",
            "nothing presses on the face",
            replace(holding, cover_dia_mm=holding.cover_dia_mm + (0.0 if holding.cover_dia_mm else 0.1)),
        ),
        (
            "grip said weaker, growth said larger",
            "no cut hangs on the figures",
            replace(
                holding, grip_torque_nm=0.9 * holding.grip_torque_nm + 0.1, growth_dia_mm=holding.growth_dia_mm + 1e-4
            ),
        ),
        ("lobes said smaller", "no cut hangs on the figure", replace(holding, lobes_mm=0.9 * holding.lobes_mm + 1e-6)),
    ):
        if other != holding:  # a plate has no jaws that could be drawn otherwise
            yield writer.harmless(kind, moment, why, changed(moment.act, holding=other))


def _truer(holding: Holding) -> Holding:
    return replace(holding, runout_mm=TRUER_SHARE * holding.runout_mm + 1e-6)


def _set_speed(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SetSpeed):
        return
    smaller = changed(act, cut_dia_mm=0.8 * act.cut_dia_mm)
    yield writer.caught("speed for a smaller diameter", moment, "pi d n is not the printed speed", smaller)
    larger = changed(act, cut_dia_mm=LARGER * act.cut_dia_mm, cutting_speed_m_min=LARGER * act.cutting_speed_m_min)
    if _far_below(writer.story, moment, act):
        why = "nothing so large is cut, and the metal would bear it"
        yield writer.harmless("speed for a larger diameter", moment, why, larger)


def _far_below(story: Story, moment: Moment, act: a.SetSpeed) -> bool:
    """Whether the speed, even so, lies below what the table gives for the slowest kind of cut."""
    metal = material(story.job.sheet.part.material)
    kinds = (CutKind.ROUGH, CutKind.FINISH, CutKind.BORE, CutKind.PART, CutKind.DRILL)
    try:
        least = min(cutting_speed(metal, edge=Edge.HSS, cut=kind).high_m_min for kind in kinds)
    except DataTableError:
        return False
    return LARGER * act.cutting_speed_m_min < least and moment.holding is not None


def _set_feed(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SetFeed):
        return
    kinds = {a.FeedKind.POWER: a.FeedKind.HAND, a.FeedKind.HAND: a.FeedKind.POWER}
    why = "no gearbox gives a band" if act.kind is a.FeedKind.HAND else "no hand turns in no time"
    yield writer.caught("feed called the other kind", moment, why, changed(act, kind=kinds[act.kind]))
    if _serves_a_cut(writer.story, moment, act):
        other = changed(act, handle=crossed(act.handle))
        yield writer.caught("feed of another handle", moment, "the handle that cuts has none", other)


def _serves_a_cut(story: Story, moment: Moment, act: a.SetFeed) -> bool:
    """Whether a cut by the handle follows before its next feed, and no feed of the handle came before."""
    if any(isinstance(m.act, a.SetFeed) and m.act.handle is act.handle for m in story.moments[: moment.index]):
        return False
    for later in story.later(moment):
        if isinstance(later.act, a.SetFeed) and later.act.handle is act.handle:
            return False
        if isinstance(later.act, a.Cut) and later.act.handle is act.handle:
            return True
    return False


# handles and surfaces ------------------------------------------------------------------------------------------------


def _other_handle(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if isinstance(act, a.Touch | a.Retract | a.Cut) and act.handle is not Handle.QUILL:
        other = changed(act, handle=crossed(act.handle))
        why = f"the {crossed(act.handle).value} does not move the tool {act.motion.value}"
        if act.motion in (Motion.LEFT, Motion.RIGHT) or not moment.swing_deg:
            yield writer.caught("wound by another handle", moment, why, other)


def _cut(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.Cut):
        return
    yield from _other_handle(writer, moment)
    longer = changed(act, seconds=LONGER * act.seconds)
    yield writer.harmless("a cut takes longer", moment, "the time is an estimate", longer)
    collar = _collar_after(writer.story, moment)
    if collar is not None and collar.surface == act.surface:
        other = changed(act, surface=OUTSIDE if act.surface == BORE else BORE)
        why = "the collar is then set from a size that no cut before it has made"
        yield writer.caught("cut of another surface", moment, why, other)


def _collar_after(story: Story, moment: Moment) -> a.SetCollar | None:
    """Collar that is set from the reading after this cut, if no other cut comes between."""
    for later in story.later(moment):
        if isinstance(later.act, a.Cut):
            return None
        if isinstance(later.act, a.SetCollar):
            return later.act
    return None


def _set_zero(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SetZero):
        return
    nowhere = changed(act, surface=NO_SURFACE)
    yield writer.caught("zero on no surface", moment, "the part has none of that name", nowhere)
    if used_later(writer.story, moment, act.zero):
        other = changed(act, handle=crossed(act.handle))
        yield writer.caught("zero of another handle", moment, "what counts from it turns the old one", other)


def _set_collar(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SetCollar):
        return
    other = changed(act, surface=OUTSIDE if act.surface == BORE else BORE)
    yield writer.caught("collar of another surface", moment, "that surface was not measured last", other)
    crossing = changed(act, handle=crossed(act.handle))
    yield writer.caught("collar of another handle", moment, "the size was set by the old one", crossing)
    dial = writer.story.shop.lathe.slide(act.handle).dial
    if dial is not None and not dial.settable:
        turned = changed(act, settable=True)
        yield writer.caught("a fixed collar turned", moment, "this collar cannot be turned on its own", turned)
    elif act.settable:
        box = changed(act, settable=False)
        yield writer.harmless("offset box for a collar", moment, "the figure is the same on paper", box)


def _set_readout(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SetReadout):
        return
    step = Fraction(act.dia_per_step_mm / 2.0).limit_denominator(10**6)
    for kind, why, wrong in (
        ("readout of another surface", "that surface was not measured last", changed(act, surface=_other(act.surface))),
        ("readout of another handle", "the size was set by the old one", changed(act, handle=crossed(act.handle))),
        ("readout entered wrong", "the rule gives another figure", changed(act, value_mm=act.value_mm + 3 * step)),
        ("worth of a step", "twice what a step changes", changed(act, dia_per_step_mm=2.0 * act.dia_per_step_mm)),
        (
            "size at 0 off",
            "the entered figure then means another size",
            changed(act, zero_dia_mm=act.zero_dia_mm + 0.1),
        ),
        ("expected size off", "the tool stands elsewhere", changed(act, expected_dia_mm=act.expected_dia_mm + 0.1)),
    ):
        yield writer.caught(kind, moment, why, wrong)


def _other(surface: str) -> str:
    return OUTSIDE if surface == BORE else BORE


def _lock(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.Lock | a.Unlock) or act.handle is not Handle.CARRIAGE:
        return
    if isinstance(act, a.Lock) is (Handle.CARRIAGE in moment.locked):
        return  # it was so already
    following = _next_of_bed(writer.story, moment)
    wants_lock = isinstance(following, a.Cut) and following.handle is not Handle.CARRIAGE
    wants_free = following is not None and not wants_lock
    if (isinstance(act, a.Lock) and wants_lock) or (isinstance(act, a.Unlock) and wants_free):
        other = changed(act, handle=Handle.TOP)
        yield writer.caught("another slide locked or freed", moment, "the carriage stays as it was", other)


def _next_of_bed(story: Story, moment: Moment) -> a.Act | None:
    """Next act that needs the carriage locked or free."""
    for later in story.later(moment):
        act = later.act
        if isinstance(act, a.Lock | a.Unlock):
            return None
        if isinstance(act, a.Cut | a.Approach):
            return act
        setting = setting_of(act)
        handle = setting.handle if setting is not None else getattr(act, "handle", None)
        if handle is Handle.CARRIAGE and isinstance(act, a.Move | a.Retract | a.Touch):
            return act
    return None


# readings ------------------------------------------------------------------------------------------------------------


def _measure(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.Measure):
        return
    if act.surface in (BORE, OUTSIDE) and act.aspect == Aspect.DIAMETER.value:
        other = changed(act, surface=OUTSIDE if act.surface == BORE else BORE)
        yield writer.caught("another surface measured", moment, "it has another size, or another gauge", other)
        aspect = changed(act, aspect=Aspect.WIDTH.value, surface=BACK_FACE)
        yield writer.caught("another aspect measured", moment, "the width is another figure", aspect)
    if not act.final:
        final = changed(act, final=True, lower_mm=0.0, upper_mm=0.0)
        yield writer.caught("called the finished size", moment, "limits of 0 are not the drawing's", final)
    bands = (AdviceBand(low_mm=act.stop_low_mm, high_mm=act.stop_high_mm, do=Do.GO_ON),)
    table = changed(act, table=AdviceTable(bands=bands, step_mm=0.01))
    yield writer.harmless("advice beside a reading", moment, "it tells what to do, and moves nothing", table)


def _indicate(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.Indicate):
        return
    finer = changed(act, high_mm=0.0)
    yield writer.caught("indicated to nothing", moment, "no indicator shows that", finer)
    other = changed(act, surface=OUTSIDE if act.surface == BORE else BORE)
    yield writer.harmless("indicated on the other surface", moment, "both were turned in one holding", other)


def _swing(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.SwingSlide):
        return
    if act.angle_deg:
        twice = changed(act, check_travel_mm=2.0 * act.check_travel_mm)
        yield writer.caught("check move twice as long", moment, "it goes twice as far across", twice)
    surer = changed(act, error_deg=TRUER_SHARE * act.error_deg)
    yield writer.harmless("angle said to be surer", moment, "no cut hangs on the figure", surer)


def _hand_step(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if not isinstance(act, a.HandStep):
        return
    if act.kind is a.HandKind.RUB_FACE:
        front = changed(act, surface=FRONT_FACE)
        yield writer.caught("the other face rubbed", moment, "the back keeps its allowance", front)
        note = changed(act, kind=a.HandKind.NOTE)
        yield writer.caught("rubbing called a note", moment, "a note takes no metal off", note)
    elif act.kind is a.HandKind.CATCH_ROD:
        note = changed(act, kind=a.HandKind.NOTE)
        yield writer.caught("no rod to catch the ring", moment, "a note catches nothing", note)
    elif act.kind in (a.HandKind.LUBRICATE, a.HandKind.INK):
        note = changed(act, kind=a.HandKind.NOTE)
        yield writer.harmless("oil or ink called a note", moment, "the words are the same", note)


def _drill_hole(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if isinstance(act, a.DrillHole):
        longer = changed(act, seconds=LONGER * act.seconds)
        yield writer.harmless("a hole takes longer", moment, "the time is an estimate", longer)


def _cool(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if isinstance(act, a.Cool):
        backwards = changed(act, seconds=-act.seconds)
        yield writer.caught("cooled backwards", moment, "no time is below nothing", backwards)


def _setting(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    setting = setting_of(act)
    if setting is None:
        return
    if setting.handle is not Handle.QUILL:
        other = with_setting(act, replace(setting, handle=crossed(setting.handle)))
        yield writer.caught("setting of another handle", moment, "the zero is the old handle's", other)
    if setting.kind is a.SettingKind.MARKS:
        stop = with_setting(act, replace(setting, kind=a.SettingKind.STOP))
        yield writer.caught("marks called a stop", moment, "no stop was set to zero there", stop)
        band = with_setting(act, replace(setting, band_mm=0.01))
        yield writer.harmless("a band beside marks", moment, "a mark is set to itself", band)
