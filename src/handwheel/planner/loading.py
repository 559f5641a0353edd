"""The first acts of a sheet: the bar into the lathe, with what is to be known about it."""

from __future__ import annotations

from handwheel.data.hazards import gates_of
from handwheel.domain import acts as a
from handwheel.domain.bars import BarShape
from handwheel.domain.exact import Fraction
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.lathe import Nose
from handwheel.domain.said import said, said_at_most, said_short, said_short_range
from handwheel.planner.bar_use import Loading, loading
from handwheel.planner.gripping import collet_for
from handwheel.planner.holdings import bar_holding
from handwheel.planner.way import PARALLEL_SWING
from handwheel.planner.writer import Writer

KEY_OUT = "grip the bar, tighten the chuck, then take the key out before anything else"
NUT_OFF = "push the bar in, tighten the closing nut with its spanner, then take the spanner off before anything else"
PARALLEL_TRUE = (
    "The top slide has no angle scale: see with an indicator along its side that it stands parallel to the bed, and "
    "leave it so."
)


def load_bar(w: Writer) -> None:
    """Write what must be ready for the metal, then what loads the bar; the top slide is then set parallel."""
    job, lathe, found = w.job, w.lathe, loading(w.job)
    w.step = "load"
    _confirm(w)
    _say_collet(w)
    _say_piece(w, found)
    holding = bar_holding(job)
    w.act(
        a.LoadBar,
        says=_cautions(w, found),
        bar=job.bar.id,
        holding=holding,
        stick_out_mm=job.stick_out_mm,
        grip_length_mm=lathe.chuck.jaw_length_mm,
        bar_length_mm=found.length_mm,
        face_stock_mm=job.face_stock_mm,
        tail=found.tail,
        note=NUT_OFF if lathe.chuck.collets else KEY_OUT,
    )
    w.holding = holding
    w.face_mm = job.face_stock_mm
    w.outside_dia_mm = 2.0 * job.bar_radius_mm
    w.bore_dia_mm = 2.0 * job.bar_bore_radius_mm
    if lathe.top.angle_scale is None:  # it does not swing, or not to a figure: it is left as it stands
        w.hand(a.HandKind.NOTE, PARALLEL_TRUE)
        return
    w.swing = type(PARALLEL_SWING)(Fraction(-1), PARALLEL_SWING.leftward)  # nobody knows how it stands
    w.swing_to(PARALLEL_SWING)


def _confirm(w: Writer) -> None:
    """Ask for what must be ready before the metal is sawn or gripped: an act for each of its hazards."""
    for gate in gates_of(w.job.material):
        w.confirm(gate)


def _say_collet(w: Writer) -> None:
    """Say which collet goes into the chuck, where there is one."""
    collet = collet_for(w.lathe.chuck, w.job.bar)
    if collet is not None:
        w.hand(
            a.HandKind.NOTE,
            f"Fit the {said_short(collet.dia_mm, w.job.units)} collet, clean inside and out; it grips "
            f"{said_short_range(collet.dia_mm - collet.closes_mm, collet.dia_mm, w.job.units)}. Never close it on "
            "nothing.",
        )


def _say_piece(w: Writer, found: Loading) -> None:
    """Say what has to be sawn, or that the bar stands out behind."""
    job, lathe, units = w.job, w.lathe, w.job.units
    if found.tail is a.TailSupport.BLANK:
        w.hand(
            a.HandKind.NOTE,
            f"Saw a blank of {said(found.length_mm, units, places=0)} from the bar: it does not pass through the "
            f"spindle (Ø {said(lathe.spindle_bore_dia_mm, units, places=1)}).",
        )
    elif found.tail is a.TailSupport.OVERHANGS:
        limits = any(speed.fastest_rpm > found.max_rpm for speed in lathe.speeds)
        w.before_first_start = ("bar-first-run",)
        w.findings.append(
            Finding(
                code="bar-overhangs",
                severity=Severity.WARNING,
                where="load",
                problem=f"{said(found.overhang_mm, job.units, places=0)} of bar stand out behind the spindle "
                f"without support: {found.max_rpm:.0f} rev/min is half the speed at which it would begin to whirl"
                + (", and the most at which it may run" if limits else "; no speed of this lathe is faster"),
                remedy=("a faster plan needs the bar cut, or supported behind the spindle; " if limits else "")
                + "fence its end off; nobody stands beside it",
                source_key="DEN_HARTOG",
            )
        )
    elif found.length_mm < job.bar.length_mm:
        w.hand(
            a.HandKind.NOTE,
            f"Saw a piece of at most {said_at_most(found.length_mm, units)} from the bar of "
            f"{said(job.bar.length_mm, units, places=0)}: the rest would whip behind the spindle.",
            says=("bar-whips",),
        )
        w.findings.append(
            Finding(
                code="bar-cut",
                severity=Severity.WARNING,
                where="load",
                problem=f"the bar, {said(job.bar.length_mm, job.units, places=0)}, would stand out behind the "
                "spindle and whip",
                remedy=f"cut it to at most {said(found.length_mm, job.units, places=0)}, or support it along its "
                "whole length behind the spindle",
                source_key="COMMON",
            )
        )


def _cautions(w: Writer, found: Loading) -> tuple[str, ...]:
    """Codes of what a bar of this shape and length, and this spindle nose, ask of the hands."""
    asked = (
        ("threaded-nose", w.lathe.nose is Nose.THREADED),
        ("bar-turns-behind", found.tail is a.TailSupport.OVERHANGS),
        ("hexagon-bar", w.job.bar.shape is BarShape.HEXAGON),
        ("tube-bar", w.job.bar.shape is BarShape.TUBE),
    )
    return tuple(code for code, applies in asked if applies)
