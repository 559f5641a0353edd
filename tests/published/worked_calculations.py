"""The worked examples of published works, calculated with the relations of this project, W01 to W76.

Inputs are those of the example; where one had to be inferred, or a step is the example's own and no relation of the
project, the docstring says so. Units are turned in and out here. The printed numbers stand in `worked_examples.csv`.
"""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sqrt
from typing import TYPE_CHECKING

from handwheel.data.iso286 import iso286_deviations
from handwheel.data.ring_scales import ring_scale
from handwheel.domain.contour import Point
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial, Slide
from handwheel.physics.bolt import bolt_preload_n, tightening_torque_nm, turn_of_nut_deg
from handwheel.physics.deflection import cantilever_deflection_mm, cantilever_slope_rad, inner_load_deflection_mm
from handwheel.physics.drilling import kienzle_drill_torque_nm
from handwheel.physics.economic_speed import cut_cost, least_cost_life_min, most_output_life_min
from handwheel.physics.force import kienzle_force_n
from handwheel.physics.jaw_speed import Jaws, grip_to_begin_with_n, jaws_centrifugal_n
from handwheel.physics.lame import Cylinder, fit_pressure_n_mm2, hoop_stress_n_mm2, radial_stress_n_mm2
from handwheel.physics.power import motor_power_w, power_w, torque_at_speed_nm
from handwheel.physics.ring import thin_ring_coefficients
from handwheel.physics.roughness import (
    mean_roughness_um,
    peak_to_valley_um,
    sharp_peak_to_valley_um,
)
from handwheel.physics.screw import (
    ACME_FLANK_DEG,
    Screw,
    lead_angle_deg,
    lowering_torque_nm,
    raising_torque_nm,
    screw_efficiency,
)
from handwheel.physics.shank import shank_width_mm
from handwheel.physics.shear_angle import merchant_shear_angle_deg, shear_plane_forces_n
from handwheel.physics.speed import (
    cutting_speed_m_min,
    facing_time_s,
    removal_rate_cm3_min,
    spindle_speed_rpm,
    turning_time_s,
)
from handwheel.physics.surface_trace import chart_ra_um, trace_ra_um, trace_rq_um
from handwheel.physics.taper_drive import radial_force_n
from handwheel.physics.thermal import size_change_mm
from handwheel.physics.tool_life import (
    LifeLaw,
    edge_life_min,
    law_of_one_test,
    law_of_two_tests,
    life_left_by_speed,
    speed_for_life_m_min,
)
from handwheel.physics.wedge import Wedge, wedge_push_n
from handwheel.planner.dialing import top_scale
from handwheel.planner.kinds.bevel import Bevel
from handwheel.service.intake.ring_sizes import read_number

if TYPE_CHECKING:
    from collections.abc import Callable

    Numbers = dict[str, float]

MM_PER_IN = 25.4
N_PER_LBF = 4.4482216152605
W_PER_HP = 745.69987158227
CM3_PER_IN3 = 16.387064
N_PER_KGF = 9.80665
S_PER_MIN = 60.0
NM_PER_LBF_IN = N_PER_LBF * MM_PER_IN / 1000.0


def kalpakjian_rod() -> Numbers:
    """[KALPAKJIAN] Example 22.1: 0.500 to 0.480 in, 400 rpm, 8 in/min, 6 in, 4/2.73 hp min/in3."""
    feed = 8 * MM_PER_IN / 400
    mean_dia = 0.490 * MM_PER_IN
    speed = cutting_speed_m_min(400.0, cut_dia_mm=0.5 * MM_PER_IN)
    rate = removal_rate_cm3_min(
        cutting_speed_m_min(400.0, cut_dia_mm=mean_dia), depth_mm=0.010 * MM_PER_IN, feed_mm_rev=feed
    )
    power_hp = 4 / 2.73 * rate / CM3_PER_IN3
    torque = torque_at_speed_nm(power_hp * W_PER_HP, speed_rpm=400.0)
    return {
        "V": speed * 1000 / MM_PER_IN,
        "MRR": rate / CM3_PER_IN3,
        "t": turning_time_s(6 * MM_PER_IN, feed_mm_rev=feed, speed_rpm=400.0) / S_PER_MIN,
        "P": power_hp,
        "Fc": 2000 * torque / mean_dia / N_PER_LBF,
    }


def sharma_metric_cut() -> Numbers:
    """[SHARMA] Example 15.9: 12.70 to 12.19 mm, 400 rpm, 203.2 mm/min, 150 mm, 56 W per mm2 m/min."""
    depth, feed, mean_dia = 0.255, 203.2 / 400, 12.445
    speed = cutting_speed_m_min(400.0, cut_dia_mm=12.70)
    mean_speed = cutting_speed_m_min(400.0, cut_dia_mm=mean_dia)
    power = power_w(56 * S_PER_MIN * depth * feed, cutting_speed_m_min=speed)
    return {
        "v": speed / S_PER_MIN,
        "MRR": 1000 * removal_rate_cm3_min(mean_speed, depth_mm=depth, feed_mm_rev=feed),
        "t": turning_time_s(150.0, feed_mm_rev=feed, speed_rpm=400.0) / S_PER_MIN,
        "P": power,
        "Fc": 2000 * torque_at_speed_nm(power, speed_rpm=400.0) / mean_dia,
    }


def _minutes(length_mm: float, *, feed: float, speed: float, dia: float) -> float:
    rpm = spindle_speed_rpm(speed, cut_dia_mm=dia)
    return turning_time_s(length_mm, feed_mm_rev=feed, speed_rpm=rpm) / S_PER_MIN


def sharma_two_steps() -> Numbers:
    """[SHARMA] Example 4.11: 100 m/min; 76 mm at 50 and 38 mm at 38 mm. The feed of 0.75 mm/rev is inferred."""
    steps = ((76.0, 50.0), (38.0, 38.0))
    return {"total time": sum(_minutes(length, feed=0.75, speed=100.0, dia=dia) for length, dia in steps)}


def sharma_relief() -> Numbers:
    """[SHARMA] Example 4.12: 60 m/min, 38 mm, 0.375 mm/rev, 32 mm."""
    return {"t": _minutes(32.0, feed=0.375, speed=60.0, dia=38.0)}


def sharma_facing() -> Numbers:
    """[SHARMA] Example 4.13: 250 to 100 mm, 27 m/min at the mean diameter of 175 mm, 0.8 mm/rev."""
    rpm = spindle_speed_rpm(27.0, cut_dia_mm=175.0)
    return {"t": facing_time_s(250.0, inner_dia_mm=100.0, feed_mm_rev=0.8, speed_rpm=rpm) / S_PER_MIN}


def sharma_drilling_time() -> Numbers:
    """[SHARMA] Example 4.14: 12.7 mm, 50 mm deep, approach twice 0.29 D as the example says, 75 m/min, 0.175 mm/rev."""
    return {"t": _minutes(50.0 + 2 * 0.29 * 12.7, feed=0.175, speed=75.0, dia=12.7)}


def sharma_known_force() -> Numbers:
    """[SHARMA] Example 14.17: 300 mm, 45 rpm, depth 2, feed 0.3, 1850 N, volume 2.5e6 mm3."""
    speed = cutting_speed_m_min(45.0, cut_dia_mm=300.0)
    power = power_w(1850.0, cutting_speed_m_min=speed)
    energy = power / (removal_rate_cm3_min(speed, depth_mm=2.0, feed_mm_rev=0.3) * 1000 / S_PER_MIN)
    return {"P": power / 1000, "u": energy, "E": energy * 2.5e6 / 3.6e6}


def ghosh_force() -> Numbers:
    """[GHOSH_MALLIK] Problem 4.5: 1400 N/mm2 at 1 mm, exponent 0.4, chip 0.25 by 2.5 mm."""
    force = kienzle_force_n(2.5, feed_mm_rev=0.25, entering_angle_deg=90.0, kc11_n_mm2=1400.0, mc=0.4)
    return {"Fc": force, "Fc, printed book answer": force}


def sharma_motor() -> Numbers:
    """[SHARMA] Example 14.14: force 1593 f^0.85 d^0.98, the example's own law; 0.5, 3.2 mm, 0.2 m/s, drive 0.85."""
    force = 1593 * 0.5**0.85 * 3.2**0.98
    power = power_w(force, cutting_speed_m_min=12.0)
    return {
        "Pc": power / 1000,
        "Pm": motor_power_w(power, efficiency=0.85) / 1000,
        "ks": 1000 * power / (removal_rate_cm3_min(12.0, depth_mm=3.2, feed_mm_rev=0.5) * 1000 / S_PER_MIN),
    }


def ghosh_shear_plane() -> Numbers:
    """[GHOSH_MALLIK] Problem 4.3: chip 0.2 by 2 mm, 400 N/mm2 in shear, rake 10 deg, friction 0.5."""
    angle = merchant_shear_angle_deg(10.0, friction=0.5)
    cutting, thrust = shear_plane_forces_n(
        0.2, width_mm=2.0, shear_strength_n_mm2=400.0, rake_deg=10.0, friction=0.5, shear_angle_deg=angle
    )
    return {"phi": angle, "Fc": cutting, "Ft": thrust, "Fc, printed book answer": cutting}


def groover_two_tests() -> Numbers:
    """[GROOVER] tool-life example: 160 m/min 5 min, 100 m/min 41 min."""
    law = law_of_two_tests((160.0, 5.0), (100.0, 41.0))
    return {"n": law.n, "C": law.speed_at_1_min_m_min}


def sharma_two_tests() -> Numbers:
    """[SHARMA] Example 14.7: 25 m/min 90 min, 35 m/min 20 min."""
    law = law_of_two_tests((25.0, 90.0), (35.0, 20.0))
    return {"n": law.n, "C": law.speed_at_1_min_m_min, "v60": speed_for_life_m_min(60.0, law=law)}


def kalpakjian_half_speed() -> Numbers:
    """[KALPAKJIAN] Example 20.2: n 0.5, half the speed; the increase in percent."""
    return {"life increase": 100 * (life_left_by_speed(0.5, n=0.5) - 1)}


def sharma_sensitivity() -> Numbers:
    """[SHARMA] Example 14.4: v T^0.13 f^0.77 d^0.37 = C; 60 min at 30 m/min, 0.3 mm/rev, 2.5 mm; each a fifth more."""
    constant = law_of_one_test(30.0, lasted_min=60.0, n=0.13).speed_at_1_min_m_min * 0.3**0.77 * 2.5**0.37
    law = LifeLaw(n=0.13, speed_at_1_min_m_min=constant, feed_exponent=0.77, depth_exponent=0.37)

    def life(v: float, f: float, d: float) -> float:
        return edge_life_min(30.0 * v, law=law, feed_mm_rev=0.3 * f, depth_mm=2.5 * d)

    return {
        "C": constant,
        "T (v+20%)": life(1.2, 1.0, 1.0),
        "T (f+20%)": life(1.0, 1.2, 1.0),
        "T (d+20%)": life(1.0, 1.0, 1.2),
        "T (all +20%)": life(1.2, 1.2, 1.2),
    }


def ghosh_least_cost() -> Numbers:
    """[GHOSH_MALLIK] Problem 4.26: n 0.25, C 75 m/min, 0.15 $/min, change 2 min, edge 2.50 $."""
    life = least_cost_life_min(0.25, tool_change_min=2.0, edge_cost=2.50, cost_a_minute=0.15)
    return {"v": speed_for_life_m_min(life, law=LifeLaw(n=0.25, speed_at_1_min_m_min=75.0))}


def ghosh_most_output() -> Numbers:
    """[GHOSH_MALLIK] Problem 4.28: n 0.25, C 75 m/min, change 2 min."""
    life = most_output_life_min(0.25, tool_change_min=2.0)
    return {"v": speed_for_life_m_min(life, law=LifeLaw(n=0.25, speed_at_1_min_m_min=75.0))}


def ghosh_piece() -> Numbers:
    """[GHOSH_MALLIK] Problem 4.27, tool Y: 300 by 30 mm, 0.25 mm/rev, 0.25 $/min, regrind 2 $, change 1 min.

    Each piece costs 3 $ and one minute besides; n 0.16, C 76 m/min.
    """
    life = least_cost_life_min(0.16, tool_change_min=1.0, edge_cost=2.0, cost_a_minute=0.25)
    speed = speed_for_life_m_min(life, law=LifeLaw(n=0.16, speed_at_1_min_m_min=76.0))
    cut = _minutes(300.0, feed=0.25, speed=speed, dia=30.0)
    worn = cut_cost(cut, edge_life_min=life, tool_change_min=1.0, edge_cost=2.0, cost_a_minute=0.25)
    return {"cost Y": 3.0 + 0.25 * 1.0 + worn}


def groover_economics() -> Numbers:
    """[GROOVER] machining economics: n 0.125, C 70 m/min, change 2 min, 30 $/h, edge 3 $; 500 x 100 mm, 0.25 mm/rev."""
    law = LifeLaw(n=0.125, speed_at_1_min_m_min=70.0)
    most = most_output_life_min(0.125, tool_change_min=2.0)
    least = least_cost_life_min(0.125, tool_change_min=2.0, edge_cost=3.0, cost_a_minute=0.5)
    return {
        "v max production": speed_for_life_m_min(most, law=law),
        "v min cost": speed_for_life_m_min(least, law=law),
        "Tm at 50 m/min": _minutes(500.0, feed=0.25, speed=50.0, dia=100.0),
    }


def ghosh_feed_marks() -> Numbers:
    """[GHOSH_MALLIK] Problem 4.24: 0.125 mm/rev; side angle 30 (from across the feed), end angle 7; or nose 0.7 mm."""
    sharp = sharp_peak_to_valley_um(0.125, entering_angle_deg=60.0, trailing_angle_deg=7.0)
    return {"h sharp": sharp / 1000, "h round": peak_to_valley_um(0.125, nose_radius_mm=0.7) / 1000}


def groover_surface() -> Numbers:
    """[GROOVER] surface finish: 0.25 mm/rev, nose 1.2 mm, real to ideal 1.25 by the book's chart."""
    ideal = mean_roughness_um(0.25, nose_radius_mm=1.2)
    return {"Ri": ideal, "Ra": 1.25 * ideal}


def sharma_ordinates() -> Numbers:
    """[SHARMA] Example 11.2: ten ordinates from the mean line, without sign."""
    ordinates = (0.15, 0.25, 0.35, 0.25, 0.30, 0.15, 0.10, 0.30, 0.35, 0.10)
    return {"Ra": trace_ra_um(ordinates), "Rq": trace_rq_um(ordinates)}


def sharma_trace_areas() -> Numbers:
    """[SHARMA] Example 11.1: eight areas of a chart, 15000 times high, 100 times long, over 0.8 mm."""
    areas = (160.0, 90.0, 180.0, 50.0, 95.0, 65.0, 170.0, 150.0)
    return {"Ra": chart_ra_um(areas, height_magnification=15000.0, length_magnification=100.0, length_mm=0.8)}


def kalpakjian_drill() -> Numbers:
    """[KALPAKJIAN] Example 22.2, [SHARMA] Example 15.10: 10 mm, 0.2 mm/rev, 800 rpm, 0.5 W s/mm3.

    A drill takes a depth of a quarter of its diameter at the speed of its rim.
    """
    surface = cutting_speed_m_min(800.0, cut_dia_mm=10.0)
    rate = removal_rate_cm3_min(surface, depth_mm=10.0 / 4.0, feed_mm_rev=0.2) * 1000 / S_PER_MIN
    return {"MRR": rate, "P": 0.5 * rate, "T": torque_at_speed_nm(0.5 * rate, speed_rpm=800.0)}


def sharma_drill_moment() -> Numbers:
    """[SHARMA] Example 15.4: 200 HB, 12.7 mm, 0.254 mm/rev: two lips at a force of HB kgf/mm2 whatever the chip."""
    torque = kienzle_drill_torque_nm(12.7, feed_mm_rev=0.254, kc11_n_mm2=200 * N_PER_KGF, mc=0.0)
    return {"M": torque * 1000 / N_PER_KGF}


def _half_angle_deg(large: float, small: float, length: float) -> float:
    corner = Point(0.0, large / 2.0)
    return Bevel(corner=corner, along_mm=length, across_mm=(large - small) / 2.0, inside=False).angle_deg


def tapers_per_foot() -> Numbers:
    """[MH31] table of tapers per foot: 1/2, 3/4 and 1 in on 12 in."""
    named = (("1/2 in/ft", 0.5), ("3/4 in/ft", 0.75), ("1 in/ft", 1.0))
    return {name: 2.0 * _half_angle_deg(inches, 0.0, 12.0) for name, inches in named}


def short_taper() -> Numbers:
    """A machinists' question page, opened: 0.750 to 0.500 over 2.000 in."""
    return {"half angle": _half_angle_deg(0.750, 0.500, 2.000)}


def lever_taper() -> Numbers:
    """A machinists' question page, opened: 0.218 to 0.146 over 0.758 in."""
    return {"half angle": _half_angle_deg(0.218, 0.146, 0.758)}


def swung_top_slide() -> Numbers:
    """Rule of shop texts, [MH31]: a thou of a top slide swung by 5 deg 44 min, and by 30 deg."""
    top = Slide(
        handle=Handle.TOP,
        clockwise_moves=Motion.LEFT,
        slack_mm=Fraction(0),
        travel_mm=100.0,
        dial=Dial(lead_mm=MM_PER_INCH / 10, marks=100, label_mm=MM_PER_INCH / 1000),
    )
    found = {}
    for name, angle in (("radial at 5d44m", Fraction(5) + Fraction(44, 60)), ("radial at 30d", Fraction(30))):
        scale = top_scale(top, angle)
        if scale is not None:
            found[name] = float(scale.radius_per_step_mm / float(MM_PER_INCH))
    return found


def _steel(inner_dia_mm: float, outer_dia_mm: float) -> Cylinder:
    return Cylinder(inner_dia_mm=inner_dia_mm, outer_dia_mm=outer_dia_mm, e_n_mm2=200e3, poisson=0.3)


def ugural_pressures() -> Numbers:
    """[UGURAL] Example 8.1: 0.3 and 0.4 m, hoop stress 250 MPa; stress is in proportion to pressure."""
    tube = _steel(300.0, 400.0)
    inner = hoop_stress_n_mm2(tube, at_dia_mm=300.0, inner_pressure_n_mm2=1.0)
    outer = hoop_stress_n_mm2(tube, at_dia_mm=300.0, outer_pressure_n_mm2=1.0)
    return {"pi": 250.0 / inner, "po": -250.0 / outer}


def boresi_cylinder() -> Numbers:
    """[BORESI] Example 11.1: radii 10 and 50 mm, 300 MPa inside."""
    tube = _steel(20.0, 100.0)
    found = {
        f"hoop r={radius}": hoop_stress_n_mm2(tube, at_dia_mm=2.0 * radius, inner_pressure_n_mm2=300.0)
        for radius in (10, 25, 50)
    }
    return {**found, "radial r=25": radial_stress_n_mm2(tube, at_dia_mm=50.0, inner_pressure_n_mm2=300.0)}


def ugural_compound() -> Numbers:
    """[UGURAL] Example 8.3: radii 0.15, 0.2, 0.25 m, 0.1 mm of radius; stresses at the rounded 12.3 MPa, as printed."""
    inner, outer = _steel(300.0, 400.0), _steel(400.0, 500.0)
    return {
        "p": fit_pressure_n_mm2(inner, outer, interference_dia_mm=0.2),
        "hoop outer, r=b": hoop_stress_n_mm2(outer, at_dia_mm=400.0, inner_pressure_n_mm2=12.3),
        "hoop outer, r=c": hoop_stress_n_mm2(outer, at_dia_mm=500.0, inner_pressure_n_mm2=12.3),
        "hoop inner, r=a": hoop_stress_n_mm2(inner, at_dia_mm=300.0, outer_pressure_n_mm2=12.3),
        "hoop inner, r=b": hoop_stress_n_mm2(inner, at_dia_mm=400.0, outer_pressure_n_mm2=12.3),
    }


def boresi_shrink_fit() -> Numbers:
    """[BORESI] Example 11.3: radii 10, 25, 50 mm, 0.072 mm of radius, clearance to assemble 0.025 mm, 11.7e-6."""
    inner, outer = _steel(20.0, 50.0), _steel(50.0, 100.0)
    pressure = fit_pressure_n_mm2(inner, outer, interference_dia_mm=0.144)
    per_degree = size_change_mm(50.0, alpha_per_k=11.7e-6, difference_k=1.0)
    return {
        "p": pressure,
        "hoop inner bore": hoop_stress_n_mm2(inner, at_dia_mm=20.0, outer_pressure_n_mm2=pressure),
        "hoop outer, r=25": hoop_stress_n_mm2(outer, at_dia_mm=50.0, inner_pressure_n_mm2=pressure),
        "hoop outer, r=50": hoop_stress_n_mm2(outer, at_dia_mm=100.0, inner_pressure_n_mm2=pressure),
        "dT": 2 * (0.072 + 0.025) / per_degree,
    }


def ring_moments() -> Numbers:
    """[MEGSON] moment law of two opposed loads: 1/pi under them, 0.182 between; the signs are opposite."""
    ring = thin_ring_coefficients(2)
    return {"M at load /PR": -ring.moment_at_load, "M at 90 deg /PR": ring.moment_midway}


def ring_diameters() -> Numbers:
    """[ROARK] circular rings, two opposed loads: changes of the two diameters."""
    ring = thin_ring_coefficients(2)
    return {"0.149 coefficient": 2 * ring.toward_load, "0.137 coefficient": 2 * ring.away_midway}


def ring_in_three_jaws() -> Numbers:
    """[ROARK] circular rings, three equally spaced loads."""
    ring = thin_ring_coefficients(3)
    return {
        "M load /WR": -ring.moment_at_load,
        "M between /WR": ring.moment_midway,
        "u load .EI/WR3": ring.toward_load,
        "u between .EI/WR3": ring.away_midway,
    }


def bansal_end_load() -> Numbers:
    """[BANSAL] Problem 13.1: 3 m, 25 kN at the end, 1e8 mm4, 2.1e5 N/mm2."""
    beam = {"length_mm": 3000.0, "e_n_mm2": 2.1e5, "moment_mm4": 1e8}
    return {"theta": cantilever_slope_rad(25e3, **beam), "y": cantilever_deflection_mm(25e3, **beam)}


def bansal_inner_load() -> Numbers:
    """[BANSAL] Problem 13.2: 50 kN at 2 m of 3 m, 1e8 mm4, 2e5 N/mm2; beyond the load the beam is straight."""
    return {
        "theta": cantilever_slope_rad(50e3, length_mm=2000.0, e_n_mm2=2e5, moment_mm4=1e8),
        "y": inner_load_deflection_mm(50e3, load_at_mm=2000.0, length_mm=3000.0, e_n_mm2=2e5, moment_mm4=1e8),
    }


def sharma_shank() -> Numbers:
    """[SHARMA] Example 15.8: 10 kW, efficiency 0.7, 40 m/min, 250 N/mm2; overhang 1.25 heights, height 1.6 widths."""
    width = shank_width_mm(
        10e3 * 0.7 * S_PER_MIN / 40.0, overhang_in_heights=1.25, height_in_widths=1.6, stress_n_mm2=250.0
    )
    return {"B": width, "h": 1.6 * width, "l": 1.25 * 1.6 * width}


def shigley_double_start() -> Numbers:
    """[SHIGLEY] Example 8-1: 32 mm, pitch 4, two starts, so 30 mm in the mean; 0.08 everywhere, collar 40, 6.4 kN."""
    screw = Screw(mean_dia_mm=30.0, lead_mm=8.0, friction=0.08, collar_dia_mm=40.0, collar_friction=0.08)
    return {
        "T_R": raising_torque_nm(6400.0, screw=screw),
        "T_L": lowering_torque_nm(6400.0, screw=screw),
        "e": screw_efficiency(screw),
    }


def _raising_lbf_in(pull_lbf: float, *, mean_dia: float, lead: float, friction: float, flank_deg: float = 0.0) -> float:
    screw = Screw(mean_dia_mm=mean_dia * MM_PER_IN, lead_mm=lead * MM_PER_IN, friction=friction, flank_deg=flank_deg)
    return raising_torque_nm(pull_lbf * N_PER_LBF, screw=screw) / NM_PER_LBF_IN


def wentzell_square_thread() -> Numbers:
    """[WENTZELL] Examples 18.1 and 18.2: half of 5800 lb, 1.354 in, lead 1/3 in, 0.15; efficiency in percent."""
    screw = Screw(mean_dia_mm=1.354 * MM_PER_IN, lead_mm=MM_PER_IN / 3, friction=0.15)
    return {
        "T": _raising_lbf_in(2900.0, mean_dia=1.354, lead=1 / 3, friction=0.15),
        "lead angle": lead_angle_deg(screw),
        "efficiency": 100 * screw_efficiency(screw),
    }


def wentzell_acme_thread() -> Numbers:
    """[WENTZELL] Example 18.3: 2900 lb, 1.375 in, lead 1/4 in, 0.15, flank 14.5 deg."""
    return {"T": _raising_lbf_in(2900.0, mean_dia=1.375, lead=0.25, friction=0.15, flank_deg=ACME_FLANK_DEG)}


def jindal_screw_and_collar() -> Numbers:
    """[JINDAL] Example 16-1: 30 mm, pitch 6, so 27 in the mean; 20 kN, 0.2; collar radii 8 and 16 mm, 0.15."""
    screw = Screw(mean_dia_mm=27.0, lead_mm=6.0, friction=0.2, collar_dia_mm=8.0 + 16.0, collar_friction=0.15)
    return {"T": raising_torque_nm(20e3, screw=screw)}


def statics_jack() -> Numbers:
    """[OPEN_STATICS] screw-thread problem: 10000 lb, two threads an inch, 2 in, 0.2."""
    return {"T": _raising_lbf_in(10e3, mean_dia=2.0, lead=0.5, friction=0.2)}


def _wentzell_preload_n() -> float:
    return bolt_preload_n(0.334 * MM_PER_IN**2, proof_n_mm2=85e3 * N_PER_LBF / MM_PER_IN**2, share=0.85)


def wentzell_bolt_torque() -> Numbers:
    """[WENTZELL] Example 6.1: 3/4 in, 0.334 in2, proof 85000 psi, 85 percent of it, nut factor 0.2."""
    torque = tightening_torque_nm(_wentzell_preload_n(), dia_mm=0.75 * MM_PER_IN, nut_factor=0.2)
    return {"T": torque / NM_PER_LBF_IN}


def wentzell_turn_of_nut() -> Numbers:
    """[WENTZELL] Example 6.2: the same preload, 5 in long, 30e6 psi, pitch 0.1 in."""
    turn = turn_of_nut_deg(
        _wentzell_preload_n(),
        length_mm=5.0 * MM_PER_IN,
        stress_area_mm2=0.334 * MM_PER_IN**2,
        e_n_mm2=30e6 * N_PER_LBF / MM_PER_IN**2,
        pitch_mm=0.1 * MM_PER_IN,
    )
    return {"angle": turn}


def jindal_cone() -> Numbers:
    """[JINDAL] Example 22-8: 15 deg half angle, 0.3, 300 N, mean radius 45 mm; no friction while it is seated."""
    normal = radial_force_n(300.0, half_angle_deg=15.0, friction=0.0) / cos(radians(15.0))
    return {"T": 0.3 * normal * 0.045}


def jindal_torque() -> Numbers:
    """[JINDAL] Example 22-7: 12 kW at 750 rpm."""
    return {"T": torque_at_speed_nm(12e3, speed_rpm=750.0)}


def bansal_wedge() -> Numbers:
    """[BANSAL_MECHANICS] wedge example: 10 deg, 0.3 on every face, 1500 N."""
    wedge = Wedge(angle_deg=10.0, slope_friction=0.3, floor_friction=0.3, wall_friction=0.3)
    return {"P": wedge_push_n(1500.0, wedge=wedge)}


def pytel_rod() -> Numbers:
    """[PYTEL] Example 2.10: 2.5 m, 11.7e-6, 200 GPa, 40 degrees; held, then with walls that yield 0.5 mm."""
    free = size_change_mm(2500.0, alpha_per_k=11.7e-6, difference_k=40.0)
    return {"s1": 200e3 * free / 2500.0, "s2": 200e3 * (free - 0.5) / 2500.0}


def gum_temperature() -> Numbers:
    """[GUM] Annex H.1: 50.000623 mm, 11.5e-6, ±0.05 degrees, all alike likely."""
    return {"u": size_change_mm(50.000623, alpha_per_k=11.5e-6, difference_k=0.05) / sqrt(3) * 1e6}


def jindal_clearance() -> Numbers:
    """[JINDAL] Example 4-3: 50 H8/g7, both from the tables of the package."""
    hole_lower, hole_upper = iso286_deviations(Fraction(50), "H8")
    shaft_lower, shaft_upper = iso286_deviations(Fraction(50), "g7")
    return {"Cmax": float(hole_upper - shaft_lower), "Cmin": float(hole_lower - shaft_upper)}


def jindal_interference() -> Numbers:
    """[JINDAL] Example 4-2: hole of 25 mm +21/0, which is H7, from the tables; shaft +41/+28 as the example has it."""
    hole_lower, hole_upper = iso286_deviations(Fraction(25), "H7")
    shaft_lower, shaft_upper = Fraction("0.028"), Fraction("0.041")
    return {
        "max interference": float(shaft_upper - hole_lower),
        "min interference": float(shaft_lower - hole_upper),
    }


def grip_before_turning() -> Numbers:
    """[VDI3106] in a chuck maker's manual: 3000 N, 2.668 kg m in all, both safeties 1.5; 500 rpm is inferred."""
    jaws = Jaws(count=1, jaw_mass_kg=2.668, centre_radius_mm=1000.0)
    centrifugal = jaws_centrifugal_n(jaws, speed_rpm=500.0)
    return {"F0": grip_to_begin_with_n(3000.0, centrifugal_n=centrifugal, cut_safety=1.5, jaw_safety=1.5)}


def sharma_speed_series() -> Numbers:
    """[SHARMA] Example 22.1: 30 m/min on 60 to 10 mm, six speeds in geometric series; diameters go as the speeds do."""
    dias = (60.0 * (10.0 / 60.0) ** (step / 5) for step in range(6))
    return {f"n{place}": spindle_speed_rpm(30.0, cut_dia_mm=dia) for place, dia in enumerate(dias, start=1)}


def iso_ring_sizes() -> Numbers:
    """[RING_ENCYCLOPAEDIA] table of ISO 8653: inside diameter by size."""
    scale = ring_scale("iso")
    return {str(size): float(scale.girth(Fraction(size)).diameter_mm) for size in (49, 54, 60, 66, 72)}


def us_ring_sizes() -> Numbers:
    """[RING_ENCYCLOPAEDIA] conversion chart: US sizes by diameter and circumference."""
    scale = ring_scale("us")
    found = {str(size): float(scale.girth(Fraction(size)).diameter_mm) for size in (0, 1, 4)}
    around = {f"{size} circumference": float(scale.girth(Fraction(size)).circumference_mm) for size in (2, 3)}
    return found | around


def uk_ring_letters() -> Numbers:
    """[UNITS_DICTIONARY]: C is ISO 40; four letters are five sizes of ISO 8653."""
    scale = ring_scale("uk")
    letter_c = scale.girth(read_number(scale, "C")).circumference_mm
    return {"C (ISO 40)": float(letter_c), "four letters = five ISO sizes": float(4 * scale.per_size_mm)}


def standard_tolerances() -> Numbers:
    """[ISO286_1]: widths of grades, in µm; from the tables, as the list advises, not from the tolerance unit."""
    named = (("IT8 50-80", 80, "H8"), ("IT7 18-30", 30, "H7"), ("IT7 80-120", 120, "H7"))
    found = {}
    for name, nominal, tolerance_class in named:
        lower, upper = iso286_deviations(Fraction(nominal), tolerance_class)
        found[name] = float(1000 * (upper - lower))
    return found


CALCULATIONS: dict[str, Callable[[], Numbers]] = {
    "W01": kalpakjian_rod,
    "W02": sharma_metric_cut,
    "W03": sharma_two_steps,
    "W04": sharma_relief,
    "W05": sharma_facing,
    "W06": sharma_drilling_time,
    "W07": sharma_known_force,
    "W08": ghosh_force,
    "W09": sharma_motor,
    "W10": ghosh_shear_plane,
    "W11": groover_two_tests,
    "W12": sharma_two_tests,
    "W13": kalpakjian_half_speed,
    "W14": sharma_sensitivity,
    "W15": ghosh_least_cost,
    "W16": ghosh_most_output,
    "W17": ghosh_piece,
    "W18": groover_economics,
    "W19": ghosh_feed_marks,
    "W20": groover_surface,
    "W21": sharma_ordinates,
    "W22": sharma_trace_areas,
    "W23": kalpakjian_drill,
    "W24": sharma_drill_moment,
    "W25": tapers_per_foot,
    "W26": short_taper,
    "W27": lever_taper,
    "W28": swung_top_slide,
    "W29": ugural_pressures,
    "W30": boresi_cylinder,
    "W31": ugural_compound,
    "W32": boresi_shrink_fit,
    "W33": ring_moments,
    "W34": ring_diameters,
    "W35": ring_in_three_jaws,
    "W36": bansal_end_load,
    "W37": bansal_inner_load,
    "W38": sharma_shank,
    "W39": shigley_double_start,
    "W40": wentzell_square_thread,
    "W41": wentzell_acme_thread,
    "W42": jindal_screw_and_collar,
    "W43": statics_jack,
    "W44": wentzell_bolt_torque,
    "W45": wentzell_turn_of_nut,
    "W46": jindal_cone,
    "W47": jindal_torque,
    "W48": bansal_wedge,
    "W49": pytel_rod,
    "W50": gum_temperature,
    "W67": jindal_clearance,
    "W68": jindal_interference,
    "W69": grip_before_turning,
    "W70": sharma_speed_series,
    "W73": iso_ring_sizes,
    "W74": us_ring_sizes,
    "W75": uk_ring_letters,
    "W76": standard_tolerances,
}
"""Every example whose relation is in the project."""

LEFT: dict[str, tuple[str, ...]] = {
    "no relation of this yet: budgets of measurement uncertainty": ("W51",),
    "no relation of this yet: control charts": ("W52", "W53", "W54", "W55", "W56"),
    "no relation of this yet: process capability": ("W57", "W58"),
    "no relation of this yet: sizes of samples and acceptance": ("W59", "W60", "W61", "W62", "W63", "W64"),
    "no relation of this yet: best cutting of bars for many different lengths": ("W65", "W66"),
    "no relation of this yet: cost of a piece with its material, and of a machine": ("W71", "W72"),
}
"""Every other example, by the reason why it is not calculated."""
