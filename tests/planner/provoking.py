"""Plans that provoke something to be told: a finding, or a caution. Parts and shops for them."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from handwheel.bench.learning.overlay import shop_with_beliefs
from handwheel.domain.beliefs import About, Beliefs, Evidence, Learned, Noted, Quantity
from handwheel.domain.chatter import ChatterHeard
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.lathe import PowerFeed
from handwheel.domain.part import Part, PressedBore, PressFit
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner.planner import make_plan
from handwheel.service.believing import BelievedShop, with_believed
from tests.demo_plans import demo_part, demo_shop, of_metal
from tests.planner.held import MEANS, shop_with
from tests.planner.jobs import Ring, lean_shop
from tests.planner.test_wishes import bush
from tests.shops import part_of, shop_of

METRIC, INCH = "metric-lathe", "inch-lathe"
ENDS, SIDES = ("front", "back"), ("outer", "inner")


def in_metal(metal: str, *, worn: bool = False, lathe: str = METRIC) -> Plan:
    """The demo band in another metal, worn on the skin or not."""
    part, shop = of_metal(demo_part("band"), demo_shop(lathe), metal)
    return make_plan(replace(part, skin_contact=worn), shop)


def worn_band() -> Plan:
    """The titanium band, worn on the skin."""
    return make_plan(replace(demo_part("band"), skin_contact=True), demo_shop(METRIC))


def learned_at() -> Plan:
    """The bush at a lathe whose cross-slide was found to travel 0.4 % further than its dial says."""
    part, shop = demo_part("bush"), demo_shop(METRIC)
    evidence = Evidence(date="2026-11-01", what="trial", value=0.004, spread=0.0005)
    noted = Noted(quantity=Quantity.LEAD_ERROR, about=About(thing="cross-slide"), evidence=evidence)
    beliefs = Beliefs(shop=shop, learned=Learned(noted=(noted,)), today="2026-11-02")
    laid_over, believed = shop_with_beliefs(beliefs, part)
    return with_believed(make_plan(part, laid_over), BelievedShop(of_file=shop, shop=laid_over, believed=believed))


def many_bushes() -> Plan:
    """More bushes than a bar of the rack gives."""
    return make_plan(replace(demo_part("bush"), quantity=200), demo_shop(METRIC))


def singing() -> Plan:
    """The bush in a shop that has heard its blade chatter in the metal of the bush."""
    part, shop = demo_part("bush"), demo_shop(METRIC)
    blade = next(tool for tool in shop.tools if tool.kind is ToolKind.PARTING)
    heard = ChatterHeard(tool=blade.id, metal=part.material, depth_mm=blade.width_mm, chattered=True)
    return make_plan(part, replace(shop, chatter=(heard,)))


def with_taper(dia_mm: float) -> Plan:
    """The bush, its drill chuck on a taper of some diameter."""
    shop = demo_shop(METRIC)
    tailstock = replace(shop.lathe.tailstock, taper_dia_mm=dia_mm)
    return make_plan(demo_part("bush"), replace(shop, lathe=replace(shop.lathe, tailstock=tailstock)))


def pressed(surface: str, mate_mm: str, *, part: Part | None = None) -> Plan:
    """A bush whose outside (or bore) goes into a hole (or on a shaft) of one measured size. [mm]"""
    mate = Fraction(mate_mm)
    press = PressFit(surface=surface, mate_lower=mate, mate_upper=mate, bore=PressedBore.AS_BORED)
    return make_plan(replace(part or demo_part("bush"), presses=(press,)), demo_shop(METRIC))


def wide_bore() -> Part:
    """The bush with a tolerance of the bore that a press fit does not use up."""
    return bush(('diameter = "20 H8"', 'diameter = "20 H12"'))


def wide_outside() -> Part:
    """The bush with a tolerance of the outside that is wider than it may grow."""
    return bush(('diameter = "28 h11"', 'diameter = "28 h14"'))


def narrow_outside() -> Part:
    """The bush with a tolerance of the outside that is narrower than it may grow."""
    return bush(('diameter = "28 h11"', 'diameter = "28 h8"'))


def unbroken() -> Part:
    """The bush with sharp edges."""
    return bush(*((f'{end}_{side} = "0.5 x 45"', f'{end}_{side} = "sharp"') for end in ENDS for side in SIDES))


def rough(asked: str, *, feed_mm_rev: float | None = None) -> Plan:
    """The bush with a roughness asked of its outside, on a lathe with one feed or with its own."""
    shop = demo_shop(METRIC)
    if feed_mm_rev is not None:
        feeds = (PowerFeed(mm_rev=feed_mm_rev, position="the only one"),)
        shop = replace(shop, lathe=replace(shop.lathe, feeds_along=feeds))
    return make_plan(bush(('diameter = "28 h11"', f'diameter = "28 h11"\nfinish_ra = {asked}')), shop)


def rubbed() -> Plan:
    """The bush with a roughness asked of its faces, whose back is rubbed on a plate."""
    return make_plan(bush(("length = 18", 'length = 18\nfinish_ra = "N6"')), demo_shop(METRIC))


def without_centre_drill() -> Plan:
    """The bush in a shop whose first drill is a twist drill."""
    shop = demo_shop(METRIC)
    kept = tuple(drill for drill in shop.drills if drill.kind is DrillKind.TWIST)
    return make_plan(demo_part("bush"), replace(shop, drills=kept))


def with_odd_cross_slide(*, settable: bool, share: int) -> Plan:
    """The band on a cross-slide with a fixed collar, or with marks engraved as so many times what they are."""
    shop = demo_shop(METRIC)
    cross = shop.lathe.cross
    assert cross.dial is not None
    dial = replace(cross.dial, settable=settable, label_mm=share * cross.dial.label_mm)
    return make_plan(demo_part("band"), replace(shop, lathe=replace(shop.lathe, cross=replace(cross, dial=dial))))


def swung(bore_pm: float, *, scale_step: Fraction | None = None) -> Plan:
    """A ring whose bore is finer than a mark, on a top slide whose scale is as it is, or finer. [mm, deg]"""
    shop = lean_shop(METRIC)
    scale = shop.lathe.top.angle_scale
    assert scale is not None
    if scale_step is not None:
        top = replace(shop.lathe.top, angle_scale=replace(scale, step_deg=scale_step))
        shop = replace(shop, lathe=replace(shop.lathe, top=top))
    return make_plan(Ring(bore_pm=bore_pm).part, shop)


def expanded() -> Plan:
    """The bush turned on an expanding mandrel."""
    return make_plan(demo_part("bush"), shop_with(METRIC, MEANS["expanding-mandrel"]))


def on_belts() -> Plan:
    """A bush on a lathe whose speeds are worked out from its pulleys."""
    return make_plan(part_of("brass-bush"), pulleys())


def pulleys() -> Shop:
    """A lathe with a range for each speed, as pulleys give it."""
    shop = shop_of("readouts")
    speeds = tuple(replace(speed, low_rpm=0.95 * speed.rpm, high_rpm=1.05 * speed.rpm) for speed in shop.lathe.speeds)
    return replace(shop, lathe=replace(shop.lathe, speeds=speeds))
