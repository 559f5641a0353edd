"""The bore of a part that is pressed into a hole: when it gets its size, for pressing closes it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from handwheel.data.fits import CLOSING_HIGH, CLOSING_LOW
from handwheel.domain.part import BORE, PressedBore, PressFit
from handwheel.domain.size import LaterWork, Size
from handwheel.service.intake.ring_shape import RoundSurface
from handwheel.service.intake.table import Table, by_value

FINISHED = "finished"
SCRAP = "a close fit finished before pressing is usually scrap after it"


def read_finished(bore: Table) -> PressedBore | None:
    """Read when the bore gets its size; nothing if the file does not say."""
    return bore.choice(FINISHED, by_value(PressedBore), default=None)


def settle_pressed(
    bore_table: Table,
    bore: RoundSurface | None,
    rounds: Iterable[tuple[str, RoundSurface]],
    bore_steps: Iterable[tuple[str, RoundSurface]],
) -> tuple[RoundSurface | None, tuple[PressFit, ...]]:
    """Bore as it has to be made, and what the part is pressed into.

    What is wrong is noted: nothing said of the bore, a bore said to be finished later with nothing left on it, limits
    that no bore made before pressing can keep.
    """
    pressed = [(name, made, made.pressed_to) for name, made in rounds if made.pressed_to is not None]
    steps = tuple(bore_steps)
    holes = (*(() if bore is None else ((BORE, bore),)), *steps)
    on_shaft = tuple(
        PressFit(surface=name, mate_lower=made.pressed_to[0], mate_upper=made.pressed_to[1])
        for name, made in holes
        if made.pressed_to is not None
    )
    when = read_finished(bore_table)
    if not pressed or bore is None:
        if when is not None and not pressed:
            allowed = "only with an outside that is pressed in"
            bore_table.fault(FINISHED, allowed=allowed, do='delete it, or write fit = "press into ..." there')
        return bore, on_shaft
    closing = closing_mm([(made.diameter, hole) for _, made, hole in pressed])
    if when is None:
        _ask(bore_table, closing)
        return bore, ()
    into = tuple(PressFit(surface=name, mate_lower=hole[0], mate_upper=hole[1], bore=when) for name, _, hole in pressed)
    presses = (*into, *on_shaft)
    if when is PressedBore.AFTER and not bore.allowance_side:
        do = 'how much is left to bore or ream? Write for instance allowance = "0.2 to 0.4 on the diameter"'
        bore_table.fault("allowance", allowed=f'an amount beside {FINISHED} = "{when.value}"', do=do)
    if when is PressedBore.BEFORE:
        if steps or bore.allowance_side or bore.thread is not None:
            allowed = f'"{PressedBore.AFTER.value}" or "{PressedBore.AS_BORED.value}" for a bore with steps, a thread '
            bore_table.fault(FINISHED, allowed=f"{allowed}or an allowance", do="write one of them")
            return bore, ()
        opened = opened_for_pressing(bore_table, bore.diameter, closing)
        return (None if opened is None else replace(bore, diameter=opened)), presses
    return bore, presses


def closing_mm(pressed: Iterable[tuple[Size, tuple[Fraction, Fraction]]]) -> tuple[Fraction, Fraction]:
    """Least and most by which the bore closes, for outsides and the holes that they go into. [mm]"""
    pairs = list(pressed)
    least = min(max(Fraction(0), size.finished_limits[0] - hole[1]) for size, hole in pairs)
    most = max(max(Fraction(0), size.finished_limits[1] - hole[0]) for size, hole in pairs)
    return CLOSING_LOW * least, CLOSING_HIGH * most


def opened_for_pressing(bore_table: Table, size: Size, closing: tuple[Fraction, Fraction]) -> Size | None:
    """Limits of a bore before pressing such that it keeps its own limits after it, wherever in its range it closes.

    ``lower = wanted lower + most closing`` and ``upper = wanted upper + least closing``, exact.
    """
    least, most = closing
    lower, upper = size.lower + most, size.upper + least
    if lower >= upper:
        bore_table.fault(
            FINISHED,
            found=f'"{PressedBore.BEFORE.value}": the limits are {float(size.band):.3f} mm apart, and the bore closes '
            f"by {float(least):.3f} to {float(most):.3f} mm, which nobody can tell closer",
            allowed="limits wider than that spread",
            do=f'{SCRAP}: write {FINISHED} = "{PressedBore.AFTER.value}", or limits of the outside that are closer to '
            "a hole as measured",
        )
        return None
    work = LaterWork(
        words=f"pressed in, which closes it by {float(least):.3f} to {float(most):.3f} mm (70 to 100 % of the "
        "interference, practice)",
        lower=size.lower,
        upper=size.upper,
    )
    shifted = tuple(replace(each, lower=lower, upper=upper) for each in size.later)
    return replace(size, lower=lower, upper=upper, later=(*shifted, work))


def _ask(bore_table: Table, closing: tuple[Fraction, Fraction]) -> None:
    least, most = closing
    bore_table.fault(
        FINISHED,
        allowed=", ".join(f'"{when.value}"' for when in PressedBore),
        do=f"the part is pressed in and its {BORE} closes by about {float(least):.3f} to {float(most):.3f} mm: say "
        f'whether it has its size "{PressedBore.BEFORE.value}" (it is made larger now by what it will lose), gets it '
        f'"{PressedBore.AFTER.value}", or stays "{PressedBore.AS_BORED.value}", whatever it loses',
    )
