"""What a part file means, read a second time and without the intake: every size, every word."""

from __future__ import annotations

from handwheel.domain.part import Aspect, Part
from handwheel.domain.size import Size
from tests.damage.sizes import BESIDE, Inherited, SizeRead, inherit, leg, size
from tests.damage.values import flag, leave_unjudged, length, metal, refuse, rows, table, whole_number, words

TOP = {
    "kind", "name", "metal", "units", "quantity", "worn_on_skin", "general_class",
    "bore", "outside", "width", "edges",
}  # fmt: skip
STEPPED = {"corner_radius", "outside_step", "bore_step"}
ROUND = BESIDE | {"diameter", "between", "finish_ra", "true_to"}
LATER = {"finish", "loss", "allowance"}
ELSE = {"thread", "ring_size", "measured_by", "wide_band", "eased_bore", "pressed_into", "fit", "finished"} | LATER
"""Keys that change what a diameter means; they are not judged here."""
EDGES = ("front_outer", "front_inner", "back_outer", "back_inner")
LEGS = (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL)
USUAL_CORNER_MM = 0.5


def part_meaning(values: dict[str, object]) -> dict[str, object]:
    """Everything that a parsed part file says, by the name under which `part_facts` gives it."""
    stepped = _word(values, "kind", {"plain-ring", "stepped-ring"}) == "stepped-ring"
    table(values, TOP | STEPPED if stepped else TOP)
    outer = inherit({k: v for k, v in values.items() if k == "general_class"}, Inherited(inch=_is_inch(values)))
    said: dict[str, object] = {
        "name": words(values.get("name")),
        "metal": metal(values.get("metal")),
        "quantity": whole_number(values.get("quantity", 1)),
        "worn": flag(values.get("worn_on_skin", False)),
        "units": values["units"],
    }
    for surface in ("bore", "outside"):
        said[f"{surface} diameter"] = _round(values.get(surface), outer)
    said["back-face width"] = _width(values.get("width"), outer)
    said |= _edges(values.get("edges"), outer)
    said["corner"] = (
        float(length(values["corner_radius"], inch=outer.inch)) if "corner_radius" in values else USUAL_CORNER_MM
    )
    for key in ("outside_step", "bore_step"):
        said |= _steps(values.get(key, []), key.removesuffix("_step"), outer)
    return said


def _is_inch(values: dict[str, object]) -> bool:
    return _word(values, "units", {"mm", "inch"}) == "inch"


def _word(values: dict[str, object], key: str, known: set[str]) -> str:
    if (word := values.get(key)) not in known:
        refuse(f"{key} = {word}")
    return str(word)


def _round(written: object, outer: Inherited) -> SizeRead:
    if isinstance(written, dict) and ELSE & set(written):
        leave_unjudged("another way to state a diameter")
    return size(table(written, ROUND), "diameter", outer)


def _width(written: object, outer: Inherited) -> SizeRead:
    if isinstance(written, dict) and LATER & set(written):
        leave_unjudged("metal that goes later")
    return size(table(written, BESIDE | {"length", "between", "finish_ra"}), "length", outer)


def _edges(written: object, outer: Inherited) -> dict[str, object]:
    values = table(written, {*EDGES, "all", "plus_minus", "general_class"})
    inner = inherit(values, outer)
    said: dict[str, object] = {}
    for name in EDGES:
        if name not in values and "all" not in values:
            refuse(f"{name} is missing")
        legs = leg(values.get(name, values.get("all")), inner)
        for aspect, one in zip(LEGS, legs or (), strict=False):
            said[f"{name.replace('_', '-')}-edge {aspect.value}"] = one
    return said


def _steps(written: object, surface: str, outer: Inherited) -> dict[str, object]:
    said: dict[str, object] = {}
    count = {"front": 0, "back": 0}
    for row in rows(written, ROUND | ELSE | {"from", "depth"}):
        end = _word(row, "from", set(count))
        count[end] += 1
        name = f"{surface}-{end}-{count[end]}"
        said[f"{name} diameter"] = _round({k: v for k, v in row.items() if k not in {"from", "depth"}}, outer)
        said[f"{name}-shoulder depth"] = _depth(row.get("depth"), outer)
    return said


def _depth(written: object, outer: Inherited) -> SizeRead:
    if isinstance(written, dict):
        return size(table(written, BESIDE | {"length", "between"}), "length", outer)
    if written is None:
        refuse("no depth")
    return size({"depth": written}, "depth", outer)


def part_facts(part: Part) -> dict[str, object]:
    """Everything that the intake made of a part file, under the same names."""
    facts: dict[str, object] = {
        "name": part.name,
        "metal": part.material,
        "quantity": part.quantity,
        "worn": part.skin_contact,
        "units": part.units.value,
        "corner": part.corner_radius_mm,
    }
    return facts | {f"{feature.surface} {feature.aspect.value}": _read(feature.size) for feature in part.sizes}


def _read(made: Size) -> SizeRead:
    return SizeRead(nominal=made.nominal, lower=made.lower, upper=made.upper, change=made.finishing_change)
