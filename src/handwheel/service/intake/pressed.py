"""The bore of a part that is pressed into a hole: when it gets its size, for pressing closes each of its steps."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.materials import Material
from handwheel.domain.part import BORE, OUTSIDE, PressedBore, PressFit
from handwheel.domain.said import said, said_range
from handwheel.domain.size import LaterWork, Size
from handwheel.planner.closing import Closing, Pressed, Round, closings
from handwheel.service.intake.ring_shape import Land, RingStep, RoundSurface, lands_of, named_steps
from handwheel.service.intake.table import Table, by_value

FINISHED = "finished"
SCRAP = "a close fit finished before pressing is usually scrap after it"
THREAD_CLOSES = "a thread closes on its flanks too, and only its own gauge tells by how much"
MORE_IS_LEFT = "an allowance says that more comes off once it is in"


class Settled(Struct, frozen=True, kw_only=True):
    """Bore and its steps as they have to be made, and what the part is pressed into or on."""

    bore: RoundSurface
    bore_steps: tuple[RingStep, ...]
    presses: tuple[PressFit, ...] = ()


class Rounds(Struct, frozen=True, kw_only=True):
    """Outside and bore of a part as they were read, with their steps, its width and its metal."""

    outside: RoundSurface
    bore: RoundSurface
    outside_steps: tuple[RingStep, ...]
    bore_steps: tuple[RingStep, ...]
    width: Size
    metal: Material

    @property
    def outer_lands(self) -> tuple[Land, ...]:
        """Cylinders of the outside, from the front face to the back face."""
        return lands_of(OUTSIDE, self.outside, self.outside_steps, width=self.width.cut_target)

    @property
    def bore_lands(self) -> tuple[Land, ...]:
        """Cylinders of the hole, likewise."""
        return lands_of(BORE, self.bore, self.bore_steps, width=self.width.cut_target)

    @property
    def closings(self) -> tuple[Closing, ...]:
        """How much each cylinder of the hole closes."""
        pressed = [
            Pressed(round=_as_round(land), hole_lower=hole[0], hole_upper=hole[1])
            for land in self.outer_lands
            for hole in (land.round.pressed_to,)
            if hole is not None
        ]
        return closings([_as_round(land) for land in self.bore_lands], pressed, self.metal)


def settle_pressed(bore_table: Table, rounds: Rounds) -> Settled:
    """Read when the bore gets its size, and make of it the bore as it has to be made.

    What is wrong is noted: nothing said of the bore, a bore said to be finished later with nothing left on it, limits
    that no bore made before pressing can keep.
    """
    when = bore_table.choice(FINISHED, by_value(PressedBore), default=None)
    as_drawn = Settled(
        bore=rounds.bore, bore_steps=rounds.bore_steps, presses=_presses(rounds.bore_lands, PressedBore.AS_BORED)
    )
    if all(land.round.pressed_to is None for land in rounds.outer_lands):
        if when is not None:
            allowed = "only with an outside that is pressed in"
            bore_table.fault(FINISHED, allowed=allowed, do='delete it, or write fit = "press into ..." there')
        return as_drawn
    found = tuple(closing for closing in rounds.closings if closing.most_mm > 0)
    if when is None:
        _ask(bore_table, found)
        return as_drawn
    presses = (*_presses(rounds.outer_lands, when), *as_drawn.presses)
    if when is PressedBore.AFTER:
        _require_allowance(bore_table, rounds, found)
    if when is PressedBore.BEFORE:
        return replace(_opened(bore_table, rounds, found), presses=presses)
    return replace(as_drawn, presses=presses)


def _presses(lands: Iterable[Land], when: PressedBore) -> tuple[PressFit, ...]:
    return tuple(
        PressFit(surface=land.name, mate_lower=mate[0], mate_upper=mate[1], bore=when)
        for land in lands
        for mate in (land.round.pressed_to,)
        if mate is not None
    )


def _as_round(land: Land) -> Round:
    lower, upper = land.round.diameter.finished_limits
    return Round(
        surface=land.name,
        lower=lower,
        upper=upper,
        high_z_mm=float(land.high_z_mm),
        low_z_mm=float(land.low_z_mm),
    )


def _require_allowance(bore_table: Table, rounds: Rounds, found: Sequence[Closing]) -> None:
    """Note that a bore which is finished later has nothing left on any step that closes."""
    closing = {each.surface for each in found}
    if found and not any(land.round.allowance_side for land in rounds.bore_lands if land.name in closing):
        do = 'how much is left to bore or ream? Write for instance allowance = "0.2 to 0.4 on the diameter"'
        bore_table.fault("allowance", allowed=f'an amount beside {FINISHED} = "{PressedBore.AFTER.value}"', do=do)


def _opened(bore_table: Table, rounds: Rounds, found: Sequence[Closing]) -> Settled:
    """Bore and steps made larger by what each will lose; what cannot be is noted."""
    opened: dict[str, RoundSurface] = {}
    lands = {land.name: land for land in rounds.bore_lands}
    for closing in found:
        round_ = lands[closing.surface].round
        why = THREAD_CLOSES if round_.thread is not None else MORE_IS_LEFT if round_.allowance_side else ""
        if why:
            allowed = f'"{PressedBore.AFTER.value}" or "{PressedBore.AS_BORED.value}" for a bore with a thread or an '
            bore_table.fault(FINISHED, allowed=f"{allowed}allowance", do=f"write one of them: {why}")
            continue
        size = opened_for_pressing(bore_table, round_.diameter, closing)
        if size is not None:
            opened[closing.surface] = replace(round_, diameter=size)
    return Settled(
        bore=opened.get(BORE, rounds.bore),
        bore_steps=tuple(
            replace(step, round=opened.get(name, step.round)) for name, step in named_steps(BORE, rounds.bore_steps)
        ),
    )


def opened_for_pressing(bore_table: Table, size: Size, closing: Closing) -> Size | None:
    """Limits of a bore before pressing such that it keeps its own limits after it, wherever in its range it closes.

    ``lower = wanted lower + most closing`` and ``upper = wanted upper + least closing``, exact.
    """
    units = bore_table.units
    lower, upper = size.lower + closing.most_mm, size.upper + closing.least_mm
    if lower >= upper:
        bore_table.fault(
            FINISHED,
            found=f'"{PressedBore.BEFORE.value}": the limits of the {closing.surface} are '
            f"{said(size.band, units, places=3)} apart, and it closes by {_amount(closing, bore_table)}"
            f"{_partly(closing)}, which nobody can tell closer",
            allowed="limits wider than that spread",
            do=f'{SCRAP}: write {FINISHED} = "{PressedBore.AFTER.value}", or limits of the outside that are closer to '
            "a hole as measured",
        )
        return None
    work = LaterWork(
        words=f"pressed in, which closes it by {_amount(closing, bore_table)} "
        f"({closing.share_words}{_partly(closing)})",
        lower=size.lower,
        upper=size.upper,
    )
    shifted = tuple(replace(each, lower=lower, upper=upper) for each in size.later)
    return replace(size, lower=lower, upper=upper, later=(*shifted, work))


def _amount(closing: Closing, table: Table) -> str:
    return said_range(closing.least_mm, closing.most_mm, table.units, places=3)


def _partly(closing: Closing) -> str:
    return "" if closing.whole else "; where the outside over it is not in the hole it does not close"


def _ask(bore_table: Table, found: Sequence[Closing]) -> None:
    closes = " and ".join(f"its {each.surface} closes by about {_amount(each, bore_table)}" for each in found)
    bore_table.fault(
        FINISHED,
        allowed=", ".join(f'"{when.value}"' for when in PressedBore),
        do=f"the part is pressed in{f' and {closes}' if closes else ''}: say whether the {BORE} has its size "
        f'"{PressedBore.BEFORE.value}" (it is made larger now by what it will lose), gets it '
        f'"{PressedBore.AFTER.value}", or stays "{PressedBore.AS_BORED.value}", whatever it loses',
    )
