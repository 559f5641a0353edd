"""What spoils a surface: speed, feed and depth against what metal and edge bear, oil, an unknown alloy."""

from __future__ import annotations

from handwheel.bench.diagnosis.effect import Effect, EffectKind, absent, known
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import CutSort, JobFacts
from handwheel.bench.diagnosis.loads import metal_of
from handwheel.data.speeds import CutKind, SpeedRange, cutting_speed
from handwheel.domain.motion import Edge
from handwheel.domain.said import said, said_cutting_speed, said_feed, said_short, said_short_range
from handwheel.physics.min_chip import EDGE_SHARE, THIN_CHIP, is_nose_cut, least_chip_mm, mean_chip_mm
from handwheel.physics.roughness import mean_roughness_um, real_mean_roughness_band_um
from handwheel.physics.speed import cutting_speed_m_min, spindle_speed_rpm

UM_PER_MM = 1000.0
SHORT_NAMES = {Edge.HSS: "high speed steel", Edge.CARBIDE: "carbide"}
TYPED_SPEED = ("rpm", "diameter")
_KINDS = {
    CutSort.TURN: (CutKind.ROUGH, CutKind.FINISH),
    CutSort.FACE: (CutKind.ROUGH, CutKind.FINISH),
    CutSort.BORE: (CutKind.BORE,),
    CutSort.PART: (CutKind.PART,),
    CutSort.EDGE: (CutKind.PART,),
    CutSort.DRILL: (CutKind.DRILL,),
    CutSort.REAM: (CutKind.REAM,),
}


def speed_words(facts: JobFacts) -> str:
    """Say what spindle speed and diameter make together; empty if one of them is not known."""
    found = known(facts.rpm, facts.cut_dia_mm)
    if found is None:
        return ""
    speed = cutting_speed_m_min(found[0], cut_dia_mm=found[1])
    dia = said(found[1], facts.units)
    return f"{found[0]:.0f} rev/min on Ø {dia} is {said_cutting_speed(speed, places=1)}"


def slow_speed(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Surface speed against the lower end of the range of metal, edge and kind of cut."""
    return _against_range(facts, slow=True)


def fast_speed(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Surface speed against the upper end of the range of metal, edge and kind of cut."""
    return _against_range(facts, slow=False)


def _against_range(facts: JobFacts, *, slow: bool) -> Effect | None:
    found = known(facts.rpm, facts.cut_dia_mm)
    if found is None:
        return None
    ranges = speed_ranges(facts)
    if not ranges:
        return Effect(kind=EffectKind.FIGURE, words=speed_words(facts), uses=TYPED_SPEED, relation="surface speed")
    speed = cutting_speed_m_min(found[0], cut_dia_mm=found[1])
    low, high = min(each.low_m_min for each in ranges), max(each.high_m_min for each in ranges)
    share = low / speed if slow else speed / high
    where = "below" if speed < low else "above" if speed > high else "within"
    weakest = ranges[0]
    return Effect(
        kind=EffectKind.LIMIT,
        amount=share,
        words=f"{speed_words(facts)}, {where} the {said_cutting_speed(low, high)} of the tables"
        f"{_for_whom(facts)}{_nearest_speed(facts, found[1], high, outside=where != 'within')}",
        uses=TYPED_SPEED,
        relation="surface speed against the range of metal, edge and kind of cut",
        source_key=weakest.source_key,
        standing=weakest.standing.value,
    )


def speed_ranges(facts: JobFacts) -> tuple[SpeedRange, ...]:
    """What the tables say of the speed of such a cut; nothing if metal or edge is not known."""
    metal = metal_of(facts)
    if metal is None or facts.edge is None:
        return ()
    kinds = _KINDS.get(facts.cut or CutSort.TURN, (CutKind.ROUGH, CutKind.FINISH))
    return tuple(cutting_speed(metal, edge=facts.edge, cut=kind) for kind in kinds)


def _for_whom(facts: JobFacts) -> str:
    metal = metal_of(facts)
    if metal is None or facts.edge is None:
        return ""
    return f" for {metal.name} with {SHORT_NAMES[facts.edge]}"


def listed_at_most_rpm(facts: JobFacts, most_rpm: float) -> float | None:
    """Fastest listed speed that is no faster, else the slowest; ``None`` if the lathe's list is not known. [rev/min]"""
    below = [speed for speed in facts.speeds_rpm if speed <= most_rpm]
    return max(below) if below else min(facts.speeds_rpm, default=None)


def _nearest_speed(facts: JobFacts, dia_mm: float, high_m_min: float, *, outside: bool) -> str:
    """What the lathe has that lies nearer, if the speed set lies outside."""
    listed = listed_at_most_rpm(facts, spindle_speed_rpm(high_m_min, cut_dia_mm=dia_mm))
    if not outside or listed is None:
        return ""
    if listed == facts.rpm:
        return "; the lathe has none that comes nearer"
    speed = cutting_speed_m_min(listed, cut_dia_mm=dia_mm)
    return f"; {listed:.0f} rev/min would be {said_cutting_speed(speed, places=1)}, if drive and holding bear it"


def thin_chip(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Least chip of edge and metal against the chip of this cut."""
    metal, found = metal_of(facts), known(facts.feed_low_mm_rev, facts.edge_radius_um)
    if found is None:
        return None
    feed, radius = found
    chip = _chip_mm(facts, feed)
    least_chip = THIN_CHIP * least_chip_mm(radius)
    share = least_chip / chip
    least_feed = None if metal is None else metal.find("min_feed")
    floor = "" if least_feed is None else f"; least feed of the metal {said_feed(least_feed.least, least_feed.most)}"
    if least_feed is not None:
        share = max(share, least_feed.least / feed)
    return Effect(
        kind=EffectKind.LIMIT,
        amount=share,
        words=f"feed {said_feed(feed, facts.feed_high_mm_rev or feed)} makes a chip of {UM_PER_MM * chip:.0f} µm; "
        f"below {UM_PER_MM * least_chip:.0f} µm such an edge rubs{floor}",
        uses=("feed", "depth"),
        relation=f"mean chip against {THIN_CHIP:g} x {EDGE_SHARE:g} x edge radius",
    )


def _chip_mm(facts: JobFacts, feed_mm_rev: float) -> float:
    if facts.cut in {CutSort.PART, CutSort.EDGE, CutSort.DRILL, CutSort.REAM} or not facts.depth_mm:
        return feed_mm_rev
    return mean_chip_mm(
        facts.depth_mm,
        feed_mm_rev=feed_mm_rev,
        nose_radius_mm=facts.nose_radius_mm or 0.0,
        entering_angle_deg=facts.entering_deg,
    )


def depth_floor(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Least cut of the metal against the depth of this cut."""
    metal, found = metal_of(facts), known(facts.depth_mm)
    least = None if metal is None else metal.find("min_depth")
    if metal is None or found is None or least is None:
        return None
    return Effect(
        kind=EffectKind.LIMIT,
        amount=least.least / found[0],
        uncertain=least.most / least.least,
        words=f"a cut of {said(found[0], facts.units, places=3)} a side; least cut of {metal.name} "
        f"{said_short_range(least.least, least.most, facts.units)}",
        uses=("depth",),
        relation="least cut of the metal against the depth",
        source_key=least.source_key,
        standing=least.standing.value,
    )


def feed_marks(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Roughness that the feed alone leaves, against what the surface may have."""
    found = known(facts.feed_high_mm_rev, facts.nose_radius_mm)
    if found is None:
        return None
    ideal = mean_roughness_um(found[0], nose_radius_mm=found[1])
    low, high = real_mean_roughness_band_um(ideal)
    words = f"feed and nose alone leave Ra {ideal:.1f} µm, in practice {low:.1f} to {high:.1f} µm"
    if facts.ra_um is None:
        return Effect(
            kind=EffectKind.FIGURE, words=words, uses=("feed",), relation="ridges of a round nose", standing="computed"
        )
    return Effect(
        kind=EffectKind.LIMIT,
        amount=low / facts.ra_um,
        uncertain=high / low,
        words=f"{words}; the drawing allows Ra {facts.ra_um:g} µm",
        uses=("feed",),
        relation="ridges of a round nose, 1.5 to 3 times that in practice",
    )


def nose_cut(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Whether the cut stays on the round of the nose."""
    found = known(facts.depth_mm, facts.nose_radius_mm)
    if found is None:
        return None
    on_nose = is_nose_cut(found[0], nose_radius_mm=found[1], entering_angle_deg=facts.entering_deg)
    depth, nose = said(found[0], facts.units, places=3), said_short(found[1], facts.units)
    if not on_nose:
        return absent(f"a cut of {depth} goes beyond the nose of {nose}")
    return Effect(
        kind=EffectKind.FIGURE,
        words=f"a cut of {depth} stays on the nose of {nose}, as most last cuts do",
        uses=("depth",),
        relation="depth against what the round of the nose takes",
        standing="computed",
    )


def hand_feed(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Whether a hand feeds at all."""
    if facts.by_hand is None:
        return None
    if not facts.by_hand:
        return absent("the gearbox feeds this cut")
    found = known(facts.feed_low_mm_rev, facts.feed_high_mm_rev)
    band = "" if found is None else f", {said_feed(*found)}"
    return Effect(kind=EffectKind.FIGURE, words=f"fed by hand{band}", relation="the plan")


def lubricant(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """What the metal wants."""
    metal = metal_of(facts)
    if metal is None:
        return None
    return Effect(
        kind=EffectKind.FIGURE,
        words=f"for {metal.name}: {metal.lubricant_words}",
        relation="table of metals",
        source_key=metal.source_key,
        standing=metal.standing.value,
    )


def alloy(facts: JobFacts, _evidence: Evidence) -> Effect | None:
    """Whether anybody knows the alloy."""
    metal = metal_of(facts)
    if metal is None:
        return None
    if metal.is_unknown:
        return Effect(
            kind=EffectKind.LIMIT,
            amount=1.0,
            words=f"{metal.name}: it may be any of {len(metal.members)} metals of the tables, so less can be promised",
            uses=("metal",),
            relation="table of unknown metals",
        )
    return Effect(kind=EffectKind.FIGURE, words=f"taken for {metal.name}", uses=("metal",), relation="the plan")
