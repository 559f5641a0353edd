"""What a job's own readings and times teach about this lathe, as evidence for the beliefs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from handwheel.bench.learning.by_cuts import told_by_cuts
from handwheel.bench.learning.by_gauges import told_of_drills, told_of_gauges, told_of_rubbing
from handwheel.bench.learning.by_times import told_by_times
from handwheel.bench.learning.following import Surprise
from handwheel.bench.learning.pieces import Piece
from handwheel.bench.learning.priors import require_sensible
from handwheel.bench.learning.scatter import scatters
from handwheel.bench.learning.tracks import tracks_of
from handwheel.bench.learning.worked import Worked
from handwheel.domain.beliefs import Beliefs, Quantity
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop


class Taught(Struct, frozen=True, kw_only=True):
    """What a job taught: pieces in the order of the quantities, and what does not fit and is to be asked about.

    ``senseless`` are pieces whose value must come of a slip: they are told and not offered.
    """

    pieces: tuple[Piece, ...] = ()
    surprises: tuple[Surprise, ...] = ()
    senseless: tuple[Piece, ...] = ()


def taught_by_job(
    sheet: Sheet, shop: Shop, beliefs: Beliefs, worked: Sequence[Worked], *, factors: Mapping[str, float] | None = None
) -> Taught:
    """Everything that a job teaches, finished or not: only what was done and read counts.

    Parameters
    ----------
    sheet : Sheet
        The sheet as planned.
    shop : Shop
        The shop as the plan took it.
    beliefs : Beliefs
        What was believed before, without what this job has told already.
    worked : sequence of Worked
        What was done, in order.
    factors : mapping, optional
        By what the plan has multiplied the lead of a slide already, by the name of its handle.

    Returns
    -------
    Taught
        One piece at most for each quantity of each thing.
    """
    metal = sheet.part.material
    found = scatters(beliefs, worked)
    by_cuts = told_by_cuts(tracks_of(sheet, shop, beliefs, worked, found), beliefs, metal=metal, factors=factors or {})
    ordered = _one_each(
        (
            *by_cuts.pieces,
            *told_of_drills(beliefs, worked, found, metal=metal),
            *told_of_gauges(beliefs, found),
            *told_by_times(beliefs, worked),
            *told_of_rubbing(beliefs, worked, found, metal=metal),
        )
    )
    senseless = tuple(piece for piece in ordered if not _is_sensible(piece))
    return Taught(
        pieces=tuple(piece for piece in ordered if piece not in senseless),
        surprises=by_cuts.surprises,
        senseless=senseless,
    )


def _one_each(found: Iterable[Piece]) -> tuple[Piece, ...]:
    """The last piece of each quantity of each thing, in the order of the quantities: jobs count once."""
    last = {(piece.quantity, piece.about): piece for piece in found}
    places = {quantity: place for place, quantity in enumerate(Quantity)}
    return tuple(last[key] for key in sorted(last, key=lambda key: (places[key[0]], key[1])))


def _is_sensible(piece: Piece) -> bool:
    try:
        require_sensible(piece.quantity, piece.value)
    except OutOfRangeError:
        return False
    return True
