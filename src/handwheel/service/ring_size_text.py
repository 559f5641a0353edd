"""The answer about a ring size as lines for the terminal, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from handwheel.data.loader import source, sources
from handwheel.data.ring_scales import FINGER_DIAMETER_MM, Girth, NearSize, RingScale, ring_scale
from handwheel.domain.exact import Fraction
from handwheel.domain.size import MM_PER_INCH
from handwheel.report.layout import labelled, table, wrap
from handwheel.report.wording import printed_in
from handwheel.service.ring_size import BandAdvice, OnStick, RingAnswer, stick_marks
from handwheel.service.wording import wording_without_shop

if TYPE_CHECKING:
    from handwheel.data.ring_allowances import Advice
    from handwheel.domain.ring_stick import RingStick

WIDTH = 80
LABEL_COLUMN = 12
RING_SCHEMA = 1
SHOWN_MM, SHOWN_IN, KEPT_MM = 3, 4, 6
"""Decimals that are printed in mm and in inches, and that JSON keeps; a gauge tells a hundredth of a millimetre."""

THE_FINGER_DECIDES = (
    "The finger decides, not a table: measure it with a gauge as wide as the ring, warm (cold hands measure small), "
    "and try a ring of that width in brass or aluminium first. Note what the size was measured with."
)
"""Practice cases PC-17 and PC-18, and common practice."""
READ_A_STICK = "On a tapered stick a ring touches at one edge: read the edge that touches, or measure the bore."
"""Practice case PC-18."""
NOTHING_APPLIED = "they disagree; nothing of it is applied: --wide-band and --eased-bore state your own choice"


def answer_text(answer: RingAnswer, *, show: str | None = None, words: str | None = None) -> str:
    """The answer for a terminal, at most `WIDTH` columns; unit and words are those of `wording_without_shop`."""
    stick = None if answer.stick is None else answer.stick.stick
    titles = tuple(work.citation for work in sources().values())
    with printed_in(wording_without_shop(titles, stick, show=show, words=words)):
        return "\n".join(_answer_lines(answer)) + "\n"


def answer_json(answer: RingAnswer) -> str:
    """The answer as JSON: lengths in mm, to six decimals; exact figures as text."""
    asked, size = answer.asked, answer.asked.size
    made: dict[str, object] = {
        "schema": RING_SCHEMA,
        "asked": {
            "written": asked.written,
            "size": size.name if size else None,
            **_girth_json(asked.girth),
            "rule": size.scale.rule if size else None,
            "standing": size.scale.standing.value if size else None,
            "source": source(size.scale.source_key).citation if size else None,
        },
        "other_rules": [
            {"rule_word": other.scale.rule_word, "rule": other.scale.rule, **_girth_json(other.girth)}
            for other in answer.other_rules
        ],
        "choices": [
            {"choice": made.choice.value, "written": made.written, "diameter_mm": _kept(made.diameter_mm)}
            for made in answer.choices
        ],
        "made": {**_girth_json(answer.made), "is_for_a_finger": answer.is_for_a_finger},
        "nearest": [_near_json(scale, near, answer) for scale, near in answer.near],
        "stick": _on_stick_json(answer.stick) if answer.stick else None,
        "advice": _advice_json(answer.advice) if answer.advice else None,
    }
    return _json(made)


def stick_text(stick: RingStick, *, show: str | None = None, words: str | None = None) -> str:
    """What the marks of a stick are worth, and how far each is from what it claims; worded as `answer_text` is."""
    with printed_in(wording_without_shop(stick, show=show, words=words)):
        return "\n".join(_stick_lines(stick)) + "\n"


def stick_json(stick: RingStick) -> str:
    """The same as JSON."""
    marks = [_on_stick_json(mark) for mark in stick_marks(stick)]
    return _json({"schema": RING_SCHEMA, "stick": stick.name, "marks": marks})


def _json(made: dict[str, object]) -> str:
    from json import dumps

    return dumps(made, indent=2, ensure_ascii=False) + "\n"


def _answer_lines(answer: RingAnswer) -> Iterator[str]:
    asked = answer.asked
    name = asked.size.name if asked.size else " ".join(asked.written.split())
    if answer.stick and answer.stick.was_read:
        name = f"{name} on {answer.stick.stick.name}"
    yield from wrap(f"{name}:  {_both(asked.girth)}", width=WIDTH)
    if asked.size:
        scale = asked.size.scale
        yield from _labelled("rule", f"{scale.rule} ({scale.standing.value}: {source(scale.source_key).citation})")
    for other in answer.other_rules:
        apart = other.girth.diameter_mm - asked.girth.diameter_mm
        told = f"{other.scale.title} ({other.scale.standing.value}) gives {_across(other.girth)}, {_signed(apart)}"
        yield from _labelled("but", told)
    for choice in answer.choices:
        yield from _labelled("choice", choice.words)
    if answer.choices:
        yield from _labelled("to make", _both(answer.made))
    if not answer.is_for_a_finger:
        low, high = (f"{float(end):g}" for end in FINGER_DIAMETER_MM)
        yield from _labelled("question", f"fingers are {low} to {high} mm across; is this one? Measure it again")
    if answer.stick:
        yield from _on_stick_lines(answer.stick, answer.advice)
    yield ""
    yield from _near_lines(answer)
    if answer.advice:
        yield ""
        yield from _advice_lines(answer.advice)
    yield ""
    yield from wrap(THE_FINGER_DECIDES, width=WIDTH)


def _near_lines(answer: RingAnswer) -> Iterator[str]:
    yield 'NEAREST SIZE OF EACH SCALE: near, not the same, unless it says "exactly"'
    head = ("scale", "size", "Ø mm", "size less asked", "of a step")
    rows = [_near_row(near, is_exact=answer.is_exact(near)) for _, near in answer.near if near]
    yield from table((head, *rows), right=frozenset({2, 3, 4}))
    beyond = [
        f"{scale.title} ({scale.label(scale.first)} to {scale.label(scale.last)})"
        for scale, near in answer.near
        if not near
    ]
    if beyond:
        yield from _labelled("outside", "; ".join(beyond))
    for standing in dict.fromkeys(scale.standing for scale, _ in answer.near):
        alike = ", ".join(scale.title for scale, _ in answer.near if scale.standing is standing)
        yield from _labelled("rules", f"{standing.value}, in reproductions: {alike}")


def _near_row(near: NearSize, *, is_exact: bool) -> tuple[str, ...]:
    scale = near.size.scale
    diameter = f"{float(near.size.girth.diameter_mm):.{SHOWN_MM}f}"
    label = scale.label(near.size.number)
    if is_exact:
        return (scale.title, label, diameter, "exactly", "")
    share = f"{float(100 * near.share_of_step):+.0f} % of {scale.step_words}"
    return (scale.title, label, diameter, _signed(near.residual_mm), share)


def _on_stick_lines(found: OnStick, advice: BandAdvice | None) -> Iterator[str]:
    reading = found.reading
    place = _place(found)
    spread = f"± {float(reading.spread_mm):.{SHOWN_MM}f} mm (mark, eye and measured marks, added)"
    if found.was_read:
        yield from _labelled("stick", f"Ø {float(reading.diameter_mm):.{SHOWN_MM}f} {spread}")
    else:
        yield from _labelled("stick", f"at {place} of {found.stick.name}, {spread}")
    yield from _labelled("claims", f"Ø {float(found.claimed_mm):.{SHOWN_MM}f} mm there; {_deviation(found)}")
    if advice:
        differ = float(reading.edges_differ_mm(advice.width_mm))
        told = f"the stick differs by {differ:.{SHOWN_MM}f} mm between its edges"
        yield from _labelled("edges", f"a ring {float(advice.width_mm):g} mm wide: {told}")
    yield from _labelled("", READ_A_STICK)


def _stick_lines(stick: RingStick) -> Iterator[str]:
    scale = ring_scale(stick.scale_key)
    yield from wrap(f"{stick.name}: engraved {scale.title}, {len(stick.marks)} marks measured", width=WIDTH)
    head = ("mark", "Ø mm", "spread", "claims", "stick less claim", "in sizes")
    rows = [
        (
            scale.label(mark.reading.number),
            f"{float(mark.reading.diameter_mm):.{SHOWN_MM}f}",
            f"± {float(mark.reading.spread_mm):.{SHOWN_MM}f}",
            f"{float(mark.claimed_mm):.{SHOWN_MM}f}",
            _signed(mark.deviation_mm),
            f"{float(mark.deviation_sizes):+.2f}",
        )
        for mark in stick_marks(stick)
    ]
    yield from table((head, *rows), right=frozenset({1, 2, 3, 4, 5}))
    told = "Read between the marks, never beyond them. Spread: half a mark and the eye, along the taper, and how well"
    yield from wrap(f"{told} the marks were measured, added: a bound. {READ_A_STICK}", width=WIDTH)


def _advice_lines(advice: BandAdvice) -> Iterator[str]:
    yield from wrap(f"SAID OF BANDS {float(advice.width_mm):g} mm WIDE: {NOTHING_APPLIED}", width=WIDTH)
    for said in advice.said:
        figures = f"{_advised_mm(said)}; " if _advised_mm(said) else ""
        yield from _labelled(said.choice.words, f"{said.says} ({figures}{said.standing.value})")
    if advice.relief_mm is not None and advice.eased_radius_mm is not None:
        arc = (
            f"relieved {float(advice.relief_mm):g} mm at each edge the inside is an arc of radius "
            f"{advice.eased_radius_mm:.1f} mm; the size is its smallest bore"
        )
        yield from _labelled("eased", arc)


def _advised_mm(said: Advice) -> str:
    """Advice on the diameter, for it is given in US sizes. [mm]"""
    per_size = ring_scale("us").diameter_per_size_mm
    ends = [end for end in (said.low_us_sizes, said.high_us_sizes) if end is not None]
    told = [f"{float(end * per_size):+.2f}" if end else "0" for end in dict.fromkeys(ends)]
    return f"{' to '.join(told)} mm" if told else ""


def _deviation(found: OnStick) -> str:
    apart = found.deviation_mm
    word = "larger" if apart > 0 else "smaller"
    sizes = f"{abs(float(found.deviation_sizes)):.2f} of a size"
    return f"the stick is {abs(float(apart)):.{SHOWN_MM}f} mm {word}, {sizes}" if apart else "the stick is just that"


def _place(found: OnStick) -> str:
    """Place on a stick in numbers of its scale, as a decimal; a letter with its share to the next."""
    number, scale = found.reading.number, found.scale
    if scale.has(number):
        return f"{scale.label(number)}"
    below = number - number % scale.step
    share = float((number - below) / scale.step)
    return f"{scale.label(below)} and {share:.2f} of the way to {scale.label(below + scale.step)}"


def _labelled(label: str, text: str) -> Iterator[str]:
    return labelled(label, text, width=WIDTH, column=LABEL_COLUMN)


def _both(girth: Girth) -> str:
    return f"{_across(girth)}   around {_lengths(girth.circumference_mm)}"


def _across(girth: Girth) -> str:
    return f"Ø {_lengths(girth.diameter_mm)}"


def _lengths(mm: Fraction) -> str:
    return f"{float(mm):.{SHOWN_MM}f} mm ({float(mm / MM_PER_INCH):.{SHOWN_IN}f} in)"


def _signed(mm: Fraction) -> str:
    """A difference on the diameter; one that rounds to nothing and is not nothing says so. [mm]"""
    text = f"{float(mm):+.{SHOWN_MM}f} mm"
    is_lost = mm and not float(text.removesuffix(" mm"))
    return f"under {10**-SHOWN_MM:g} mm" if is_lost else text


def _kept(mm: Fraction) -> float:
    return round(float(mm), KEPT_MM)


def _girth_json(girth: Girth) -> dict[str, object]:
    return {
        "diameter_mm": _kept(girth.diameter_mm),
        "circumference_mm": _kept(girth.circumference_mm),
        "exact_mm": f"{girth.mm}",
        "exact_measure": girth.measure.value,
    }


def _near_json(scale: RingScale, near: NearSize | None, answer: RingAnswer) -> dict[str, object]:
    told: dict[str, object] = {"scale": scale.title, "rule": scale.rule, "standing": scale.standing.value}
    if near is None:
        return {**told, "size": None}
    return {
        **told,
        "size": near.size.name,
        "diameter_mm": _kept(near.size.girth.diameter_mm),
        "is_exact": answer.is_exact(near),
        "size_less_asked_mm": _kept(near.residual_mm),
        "share_of_step": _kept(near.share_of_step),
        "step": scale.step_words,
    }


def _on_stick_json(found: OnStick) -> dict[str, object]:
    return {
        "stick": found.stick.name,
        "scale": found.scale.title,
        "number": _kept(found.reading.number),
        "diameter_mm": _kept(found.reading.diameter_mm),
        "spread_mm": _kept(found.reading.spread_mm),
        "claimed_mm": _kept(found.claimed_mm),
        "deviation_mm": _kept(found.deviation_mm),
        "deviation_sizes": _kept(found.deviation_sizes),
    }


def _advice_json(advice: BandAdvice) -> dict[str, object]:
    return {
        "width_mm": _kept(advice.width_mm),
        "applied": False,
        "said": [
            {
                "choice": said.choice.value,
                "says": said.says,
                "low_us_sizes": None if said.low_us_sizes is None else float(said.low_us_sizes),
                "high_us_sizes": None if said.high_us_sizes is None else float(said.high_us_sizes),
                "standing": said.standing.value,
                "place": said.place,
            }
            for said in advice.said
        ],
        "eased_radius_mm": None if advice.eased_radius_mm is None else round(advice.eased_radius_mm, KEPT_MM),
    }
