"""What a shop file means, read without the intake: a table of every key and the field it fills."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from numbers import Rational

from msgspec import NODEFAULT, Struct
from msgspec.structs import fields

from handwheel.domain.gauges import GaugeKind, GaugeUse
from handwheel.domain.habits import Habits
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.lathe import Nose
from handwheel.domain.motion import Edge, Motion
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AidKind, Reads
from handwheel.domain.tools import Hand, ToolKind
from tests.damage.sizes import Inherited, size
from tests.damage.values import flag, leave_unjudged, length, metal, number, refuse, rows, table, whole_number, words

Reader = Callable[[object, str], object]
"""Makes a value of what is written, in the units of the file."""


INCH = "inch"


@dataclass(frozen=True, slots=True)
class Keys:
    """Keys of a table, the fields they fill, and which of them another thing must make up for if they are there."""

    fields: Mapping[str, tuple[str, Reader | Keys]]
    lists: frozenset[str] = frozenset()
    unjudged: frozenset[str] = frozenset()


def _mm(written: object, units: str) -> object:
    return length(written, inch=units == INCH)


def _plain(read: Callable[[object], object]) -> Reader:
    return lambda written, _: read(written)


def _one_of(words_for: Mapping[str, object]) -> Reader:
    def read(written: object, _: str) -> object:
        if not isinstance(written, str) or written not in words_for:
            refuse(str(written))
        return words_for[written]

    return read


def _enum(kind: type[Enum]) -> Reader:
    return _one_of({str(member.value): member for member in kind})


def _uses(written: object, units: str) -> object:
    if not isinstance(written, list) or not written:
        refuse(str(written))
    known = _enum(GaugeUse)
    return tuple(known(word, units) for word in written)


N, T, COUNT, B = _plain(number), _plain(words), _plain(whole_number), _plain(flag)
ALONG = _one_of({"left": Motion.LEFT, "right": Motion.RIGHT})
ACROSS = _one_of({"in": Motion.IN, "out": Motion.OUT})
ZERO = _one_of({"along the axis": True, "across the axis": False})


def _dial(reads: Mapping[str, object]) -> Keys:
    return Keys(
        {
            "lead": ("lead_mm", _mm),
            "marks": ("marks", COUNT),
            "engraved": ("label_mm", _mm),
            "reads": ("reads", _one_of(reads)),
            "settable": ("settable", B),
            "halves": ("halves", B),
        }
    )


def _slide(clockwise: Reader, reads: Mapping[str, object]) -> Keys:
    aid = Keys({"kind": ("kind", _enum(AidKind)), "step": ("step_mm", _mm), "range": ("range_mm", _mm)})
    scale = Keys({"zero": ("zero_along_axis", ZERO), "division_deg": ("step_deg", N), "highest_deg": ("max_deg", N)})
    return Keys(
        {
            "clockwise": ("clockwise_moves", clockwise),
            "slack": ("slack_mm", _mm),
            "travel": ("travel_mm", _mm),
            "dial": ("dial", _dial(reads)),
            "readout_step": ("readout_step_mm", _mm),
            "per_turn": ("turn_mm", _mm),
            "aid": ("aids", aid),
            "angle_scale": ("angle_scale", scale),
        },
        lists=frozenset({"aid"}),
    )


TRAVEL = {"travel": Reads.TRAVEL}
SPEED = Keys(
    {
        "rpm": ("rpm", N),
        "position": ("position", T),
        "measured": ("measured", B),
        "torque_limit_nm": ("torque_limit_nm", N),
    }
)
FEED = Keys({"per_rev": ("mm_rev", _mm), "position": ("position", T)})
CHUCK = Keys(
    {
        "name": ("name", T),
        "jaws": ("jaws", COUNT),
        "max_rpm": ("max_rpm", N),
        "body_diameter": ("body_dia_mm", _mm),
        "jaw_length": ("jaw_length_mm", _mm),
        "jaw_height": ("jaw_height_mm", _mm),
        "grip_smallest": ("grip_low_dia_mm", _mm),
        "grip_largest": ("grip_high_dia_mm", _mm),
        "runout": ("runout_mm", _mm),
    }
)
TAILSTOCK = Keys(
    {
        "quill": ("quill", _slide(ALONG, TRAVEL)),
        "drill_chuck_largest": ("chuck_high_dia_mm", _mm),
        "play": ("play_mm", _mm),
        "taper": ("taper_dia_mm", _mm),
    }
)
LATHE = Keys(
    {
        "name": ("name", T),
        "nose": ("nose", _enum(Nose)),
        "spindle_bore": ("spindle_bore_dia_mm", _mm),
        "spindle_length": ("spindle_length_mm", _mm),
        "motor_power_w": ("motor_power_w", N),
        "drive_efficiency": ("drive_efficiency", N),
        "tool_stiffness_n_um": ("tool_stiffness_n_um", N),
        "speed": ("speeds", SPEED),
        "feed_along": ("feeds_along", FEED),
        "feed_across": ("feeds_across", FEED),
        "cross_slide": ("cross", _slide(ACROSS, {"radius": Reads.TRAVEL, "diameter": Reads.DIAMETER})),
        "top_slide": ("top", _slide(ALONG, TRAVEL)),
        "carriage": ("carriage", _slide(ALONG, TRAVEL)),
        "chuck": ("chuck", CHUCK),
        "tailstock": ("tailstock", TAILSTOCK),
    },
    lists=frozenset({"speed", "feed_along", "feed_across"}),
    unjudged=frozenset({"belts", "variable_speed", "collet_chuck"}),
)
TOOL = Keys(
    {
        "id": ("id", T),
        "name": ("name", T),
        "kind": ("kind", _enum(ToolKind)),
        "edge": ("edge", _enum(Edge)),
        "hand": ("hand", _enum(Hand)),
        "nose_radius": ("nose_radius_mm", _mm),
        "edge_radius_um": ("edge_radius_um", N),
        "entering_deg": ("entering_deg", N),
        "width": ("width_mm", _mm),
        "reach": ("reach_mm", _mm),
        "bar_diameter": ("bar_dia_mm", _mm),
        "head": ("head_mm", _mm),
        "shank": ("shank_mm", _mm),
        "rake_deg": ("rake_deg", N),
    },
    unjudged=frozenset({"piece"}),
)
DRILL = Keys(
    {
        "id": ("id", T),
        "kind": ("kind", _enum(DrillKind)),
        "diameter": ("dia_mm", _mm),
        "point_deg": ("point_deg", N),
        "flute": ("flute_mm", _mm),
        "dubbed": ("dubbed", B),
    }
)
GAUGE = Keys(
    {
        "id": ("id", T),
        "name": ("name", T),
        "uses": ("uses", _uses),
        "smallest": ("low_mm", _mm),
        "largest": ("high_mm", _mm),
        "step": ("step_mm", _mm),
        "uncertainty": ("uncertainty_mm", _mm),
        "kind": ("kind", _enum(GaugeKind)),
        "flat": ("flat_mm", _mm),
    }
)
HOLDING = Keys(
    {
        "id": ("id", T),
        "kind": ("kind", T),
        "name": ("name", T),
        "smallest": ("low_dia_mm", _mm),
        "largest": ("high_dia_mm", _mm),
        "grip": ("grip_mm", _mm),
        "runout": ("runout_mm", _mm),
        "ready_s": ("ready_s", N),
        "max_rpm": ("max_rpm", N),
        "force_n": ("force_n", N),
        "step": ("step_mm", _mm),
        "wrap_deg": ("wrap_deg", N),
        "pressure_n_mm2": ("pressure_n_mm2", N),
        "bond_n_mm2": ("bond_n_mm2", N),
        "body_diameter": ("body_dia_mm", _mm),
    },
    unjudged=frozenset({"closes", "diameters", "size_step"}),
)
HABITS = Keys(
    {field.name.removesuffix("_mm"): (field.name, _mm if field.name.endswith("_mm") else N) for field in fields(Habits)}
)
BAR = {"id", "metal", "diameter", "limits", "plus_minus", "general_class", "length", "delivered_as"}
SHOP = Keys(
    {
        "name": ("name", T),
        "lathe": ("lathe", LATHE),
        "tool": ("tools", TOOL),
        "drill": ("drills", DRILL),
        "gauge": ("gauges", GAUGE),
        "holding": ("holdings", HOLDING),
        "habits": ("habits", HABITS),
    },
    lists=frozenset({"tool", "drill", "gauge", "holding"}),
    unjudged=frozenset({"reamer", "tap", "chatter"}),
)


def shop_meaning(values: dict[str, object]) -> dict[str, object]:
    """Every field that a parsed shop file fills, by its path in the shop."""
    if values.get("units") not in {"mm", "inch"}:
        refuse("units")
    units = str(values["units"])
    rest = {key: value for key, value in values.items() if key not in {"units", "bar"}}
    said = dict(_said(rest, SHOP, "", units=units))
    bars = rows(values.get("bar", []), BAR | {"shape", "bore"})
    said |= {"units": values["units"], "bars.count": len(bars)}
    for place, bar in enumerate(bars):
        said |= _bar(bar, f"bars.{place}", units=units)
    return said


def _said(values: dict[str, object], keys: Keys, path: str, *, units: str) -> Iterator[tuple[str, object]]:
    if keys.unjudged & set(values):
        leave_unjudged(str(keys.unjudged & set(values)))
    for key, written in table(values, set(keys.fields)).items():
        name, read = keys.fields[key]
        full = f"{path}.{name}" if path else name
        if not isinstance(read, Keys):
            yield full, read(written, units)
        elif key in keys.lists:
            inner = rows(written, set(read.fields) | read.unjudged)
            yield f"{full}.count", len(inner)
            for place, row in enumerate(inner):
                yield from _said(row, read, f"{full}.{place}", units=units)
        else:
            yield from _said(table(written, set(read.fields) | read.unjudged), read, full, units=units)


def _bar(bar: dict[str, object], path: str, *, units: str) -> dict[str, object]:
    if {"shape", "bore"} & set(bar):
        leave_unjudged("a bar that is not round")
    sized = {key: value for key, value in bar.items() if key not in {"id", "metal", "length", "delivered_as"}}
    dia = size(sized, "diameter", Inherited(inch=units == INCH))
    return {
        f"{path}.id": words(bar.get("id")),
        f"{path}.material": metal(bar.get("metal")),
        f"{path}.dia_mm": dia.nominal,
        f"{path}.dia_lower_mm": dia.lower,
        f"{path}.dia_upper_mm": dia.upper,
        f"{path}.length_mm": length(bar.get("length"), inch=units == INCH),
        f"{path}.tolerance_rule": words(bar.get("delivered_as")),
    }


IMPLIED = {"lathe.cross.handle", "lathe.top.handle", "lathe.carriage.handle", "lathe.tailstock.quill.handle"}
"""Fields that no key fills: which slide it is, by its table."""
USUAL = {"drills.kind": DrillKind.TWIST}
"""What a key means that is left out, where the field itself has no usual value."""


def shop_facts(shop: Shop) -> tuple[dict[str, object], set[str]]:
    """Every field of a shop by its path, and those that stand at the value they have if nothing is said."""
    facts: dict[str, object] = {}
    usual: set[str] = set(IMPLIED)
    for path, value, is_usual in _flat(shop, ""):
        facts[path] = value
        if is_usual or value == USUAL.get(re.sub(r"\.[0-9]+", "", path), ...):
            usual.add(path)
    facts["units"] = shop.units.value
    return facts, usual


def _flat(value: object, path: str) -> Iterator[tuple[str, object, bool]]:
    if not isinstance(value, Struct):
        return
    for field in fields(value):
        inner = getattr(value, field.name)
        full = f"{path}.{field.name}" if path else field.name
        default = field.default if field.default is not NODEFAULT else None
        if isinstance(inner, Struct):
            yield from _flat(inner, full)
        elif isinstance(inner, tuple) and (not inner or isinstance(inner[0], Struct)):
            yield f"{full}.count", len(inner), not inner
            for place, row in enumerate(inner):
                yield from _flat(row, f"{full}.{place}")
        else:
            yield full, inner, inner == default


def same(read: object, said: object) -> bool:
    """Whether a field holds what the file says; lengths for work in floats are rounded once, exact ones never."""
    if isinstance(said, Rational) and isinstance(read, float):
        return read == float(said)
    return read == said and isinstance(read, bool) is isinstance(said, bool)
