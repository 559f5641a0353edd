"""What a trial measured of this lathe: one quantity of one thing, with its spread and how it was found."""

from __future__ import annotations

from msgspec import Struct


class Measured(Struct, frozen=True, kw_only=True):
    """One quantity of this lathe as it was measured.

    Parameters
    ----------
    quantity : str
        What it is, in the words of the beliefs where they have it, such as ``slack``.
    value : float
        Value found, in ``unit``.
    spread : float
        Standard deviation of a normal belief whose 95 % interval is as wide as that of the trial: few readings widen
        it by Student's factor. In ``unit``.
    unit : str
        Unit of both: ``mm``, ``mm/mm``, ``degrees``, ``rev/min``, or ``1`` for a share.
    evidence : str
        How it was found, and from how many readings.
    thing : str
        Slide, tool, chuck or speed that it belongs to, as the shop or its file names it.
    metal : str
        Key of the metal, where that changes it.
    """

    quantity: str
    value: float
    spread: float
    unit: str
    evidence: str
    thing: str
    metal: str = ""
