"""Drawings of a plan: the part, a picture of every set-up and step, the whole job as a strip; and as files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import Enum
from functools import cached_property
from itertools import groupby
from pathlib import Path

from msgspec import Struct

from handwheel.domain.errors import InputError
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.drawing.model import Drawing
from handwheel.drawing.part_view import part_drawing
from handwheel.drawing.setup_view import setup_picture
from handwheel.drawing.shots import Shot, shots
from handwheel.drawing.step_view import step_picture, window_of
from handwheel.drawing.strip import strip
from handwheel.drawing.svg import svg_text
from handwheel.drawing.words import StepName, Words
from handwheel.report.numbers import Lengths
from handwheel.report.steps import numbered_steps
from handwheel.report.wording import Wording, printed_in, worded, wording_for
from handwheel.report.words import HANDLE_WORDS, hand_words, surface_words
from handwheel.service.files import Written, write_whole


class Format(Enum):
    """Kinds of file that drawings are written as."""

    SVG = "svg"
    DXF = "dxf"
    PDF = "pdf"


class PlanDrawings(Struct, frozen=True, kw_only=True, dict=True):
    """Drawings of a plan: its part; set-ups and steps by the id of their step, in the ``order`` of the sheet."""

    title: str
    part: Drawing
    set_ups: Mapping[str, Drawing]
    steps: Mapping[str, Drawing]
    order: tuple[str, ...]

    @cached_property
    def strip(self) -> Drawing:
        """Pictures of the whole job joined."""
        pictures = {**self.set_ups, **self.steps}
        return strip([pictures[step] for step in self.order], title=self.title)


def drawings_of(plan: Plan, shop: Shop, *, wording: Wording | None = None) -> PlanDrawings:
    """Draw a plan: every picture shows what the replay of its sheet leaves, not what the plan meant.

    ``wording`` says in which units and whose words; the plan's and shop's own if it is left out.

    Raises
    ------
    InputError
        If the sheet cannot be followed to its end; `handwheel check` says where and why.
    """
    with printed_in(wording_for(plan, shop) if wording is None else wording):
        return _drawn(plan, shop)


def _drawn(plan: Plan, shop: Shop) -> PlanDrawings:
    part = plan.sheet.part
    words = words_for(part)
    taken = shots(plan.sheet, shop)
    names = {step.id: StepName(number=step.number, title=worded(step.title)) for step in numbered_steps(plan, shop)}
    if [shot.step for shot in taken] != list(names):
        msg = "the sheet cannot be followed to its end, so it is not drawn; run the check, which says why"
        raise InputError((msg,))
    set_ups: dict[str, Drawing] = {}
    steps: dict[str, Drawing] = {}
    for under in _by_holding(taken):
        window = window_of(under)
        for shot in under:
            name = names[shot.step]
            if shot.gripped is not None:
                set_ups[shot.step] = setup_picture(shot, name, under=under, words=words, part=part)
            else:
                steps[shot.step] = step_picture(shot, name, window=window, part=part, words=words)
    return PlanDrawings(
        title=f"{part.name}: the job in pictures",
        part=part_drawing(part, words=words),
        set_ups=set_ups,
        steps=steps,
        order=tuple(names),
    )


def words_for(part: Part) -> Words:
    """Words of the sheet, for drawings, in the unit and the English that are printed now."""
    rough = Lengths(units=part.units).rough
    return Words(
        surface=lambda surface: worded(surface_words(surface)),
        length=lambda length_mm: worded(rough(length_mm)),
        handle=lambda handle: worded(HANDLE_WORDS[handle]),
        hand=lambda turn, motions: worded(hand_words(turn, motions)),
        said=worded,
    )


def _by_holding(taken: tuple[Shot, ...]) -> tuple[tuple[Shot, ...], ...]:
    """Steps under each holding, in their order."""
    return tuple(tuple(group) for _, group in groupby(taken, key=lambda shot: (shot.side, shot.holding)))


def write_drawings(
    plan: Plan, shop: Shop, folder: Path, kind: Format, *, wording: Wording | None = None
) -> tuple[Written, ...]:
    """Draw a plan and put the files on the disk; raises as `drawings_of` and `write_whole` do.

    SVG: ``part.svg``, ``step-01.svg`` and so on with the numbers of the sheet, ``strip.svg``. DXF: ``part.dxf``, the
    part alone, at its own size. PDF: ``drawings.pdf``, part and pictures on A4. ``wording`` as for `drawings_of`.
    """
    return _WRITERS[kind](plan, shop, folder, wording_for(plan, shop) if wording is None else wording)


def _write_svg(plan: Plan, shop: Shop, folder: Path, wording: Wording) -> tuple[Written, ...]:
    made = drawings_of(plan, shop, wording=wording)
    pictures = {**made.set_ups, **made.steps}
    numbers = {step.id: step.number for step in numbered_steps(plan, shop)}
    named = {
        "part": made.part,
        **{f"step-{numbers[step]:02d}": pictures[step] for step in numbers},
        "strip": made.strip,
    }
    return tuple(write_whole(folder / f"{name}.svg", svg_text(drawn, prefix=name)) for name, drawn in named.items())


def _write_dxf(plan: Plan, shop: Shop, folder: Path, wording: Wording) -> tuple[Written, ...]:
    from handwheel.drawing.dxf import dxf_text

    del shop  # a part has its sizes from nowhere else
    part = plan.sheet.part
    with printed_in(wording):
        drawn = part_drawing(part, words=words_for(part), enlarged=False)
    return (write_whole(folder / "part.dxf", dxf_text(drawn)),)


def _write_pdf(plan: Plan, shop: Shop, folder: Path, wording: Wording) -> tuple[Written, ...]:
    from handwheel.drawing.pdf import pdf_bytes

    made = drawings_of(plan, shop, wording=wording)
    pictures = {**made.set_ups, **made.steps}
    ordered = [made.part, *(pictures[step.id] for step in numbered_steps(plan, shop))]
    return (write_whole(folder / "drawings.pdf", pdf_bytes(ordered)),)


_WRITERS: dict[Format, Callable[[Plan, Shop, Path, Wording], tuple[Written, ...]]] = {
    Format.SVG: _write_svg,
    Format.DXF: _write_dxf,
    Format.PDF: _write_pdf,
}
