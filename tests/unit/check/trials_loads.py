"""What must be refused because lathe, holding, edge or hand does not bear it: each limit passed, and kept."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.acts import Cool
from handwheel.domain.contour import Contour
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from tests.unit.check.sheets import CROSS, before, by_hand, changed, edited, ring_part, sheet_of, simple_shop
from tests.unit.check.trials import LATHE, A, Code, Trial, shop_with, trial
from tests.unit.check.trials_setup import COARSE_SHOP, STAINLESS, in_metal


def with_motor(power_w: float) -> Shop:
    """0.7 of it arrives."""
    return shop_with(lathe=replace(LATHE, motor_power_w=power_w))


def with_slides(stiffness_n_um: float) -> Shop:
    """How stiff the lathe is between tool and work."""
    return shop_with(lathe=replace(LATHE, tool_stiffness_n_um=stiffness_n_um))


def with_belt(torque_nm: float) -> Shop:
    """What the belt of 400 rev/min bears."""
    speeds = (bearing(speed, torque_nm) if speed.rpm == 400.0 else speed for speed in LATHE.speeds)
    return shop_with(lathe=replace(LATHE, speeds=tuple(speeds)))


def bearing(speed: SpindleSpeed, torque_nm: float) -> SpindleSpeed:
    return replace(speed, torque_limit_nm=torque_nm)


def with_jaws(force_n: float) -> Shop:
    """Three soft jaws on a ring of 18 mm: 0.1 · 3 · F · 9 mm carry 2.7 N m for each kilonewton."""
    shop = simple_shop()
    return replace(shop, holdings=tuple(replace(one, force_n=force_n) for one in shop.holdings))


def with_edge(radius_um: float) -> Shop:
    return shop_with(tool=replace(simple_shop().tool("right"), edge_radius_um=radius_um))


def with_habits(habits: Habits) -> Shop:
    """Another person, on a lathe that has the power for quick feeds."""
    return replace(with_motor(1500.0), habits=habits)


def asking_ra(roughness_um: float) -> Part:
    """The ring with a finish asked of its outside."""
    part = ring_part()
    segments = tuple(
        replace(segment, finish_ra_um=roughness_um) if segment.id == "outside" else segment
        for segment in part.outer.segments
    )
    return replace(part, outer=Contour(segments=segments))


WAIT = Cool(id="wait", step="s", seconds=5.0)
QUICK = with_habits(Habits(hand_pace_fast_s=1.0))

LOADS: tuple[Trial, ...] = (
    # drill-10 at 0.05 mm/rev and 800 rev/min: 2.95 N m, 247 W
    trial(
        Code.POWER_EXCEEDED,
        "a drill for more than the motor gives",
        A,
        wrong_shop=with_motor(330.0),
        right_shop=with_motor(360.0),
    ),
    # the blade, 2 mm wide, at 0.05 mm/rev: 513 N on 18 mm are 4.62 N m
    trial(Code.TORQUE_EXCEEDED, "a blade for a slack belt", A, wrong_shop=with_belt(4.5), right_shop=with_belt(4.7)),
    # the sweep of the outer edge at the back: 1.00 N m
    trial(Code.GRIP_SLIPS, "jaws that hardly press", A, wrong_shop=with_jaws(360.0), right_shop=with_jaws(380.0)),
    trial(
        Code.CHATTERS,
        "a boring bar that stands out twice as far as it needs",
        changed(A, "fit-bore", stands_out_mm=24.0),
        changed(A, "fit-bore", stands_out_mm=14.0),
    ),
    # the last cut in the bore, which no reading precedes: 81 N on 16.6 N/µm, lathe and bar, are 9.8 µm of 40 µm
    trial(Code.BENDS_AWAY, "a last cut on a soft lathe", A, wrong_shop=with_slides(25.0), right_shop=with_slides(27.0)),
    # the last cut outside, 0.2 mm deep on a nose of 0.2 mm at 0.05 mm/rev: 0.029 mm on the mean; 0.6 of the radius rubs
    trial(Code.CHIP_TOO_THIN, "a blunt edge", A, wrong_shop=with_edge(52.0), right_shop=with_edge(47.0)),
    # 1 mm of lead in 1.2 s at 400 rev/min: 0.125 mm/rev, and a blade in this steel bears 0.12
    trial(
        Code.FEED_TOO_COARSE,
        "a blade wound in faster than the metal bears",
        edited(A, "feed-part", lambda _: by_hand("feed-part", CROSS, 400, fast=1.2, slow=2.0)),
        edited(A, "feed-part", lambda _: by_hand("feed-part", CROSS, 400, fast=1.3, slow=2.0)),
        wrong_shop=QUICK,
        right_shop=QUICK,
    ),
    # 0.1 mm/rev on a nose of 0.2 mm: Ra 1.6 µm; 0.05 mm/rev: Ra 0.4 µm
    trial(
        Code.ROUGHER_THAN_ASKED,
        "the last cut at the feed of the first",
        sheet_of(changed(A, "feed-finish", low_mm_rev=0.1, high_mm_rev=0.1, position="B"), asking_ra(0.8)),
        sheet_of(A, asking_ra(0.8)),
    ),
    # drill-10 into the solid at 0.05 mm/rev: 1134 N
    trial(
        Code.PUSH_EXCEEDED,
        "a drill for a stronger arm",
        A,
        wrong_shop=with_habits(Habits(quill_push_n=1100.0)),
        right_shop=with_habits(Habits(quill_push_n=1150.0)),
    ),
    trial(
        Code.DWELLS,
        "waiting in the cut in stainless steel",
        in_metal("ss304", "stainless-20", before(STAINLESS, "back-turn-2", WAIT)),
        in_metal("ss304", "stainless-20", before(STAINLESS, "to-turn-3", WAIT)),
        wrong_shop=COARSE_SHOP,
        right_shop=COARSE_SHOP,
    ),
)
