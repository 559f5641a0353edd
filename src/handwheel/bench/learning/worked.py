"""What was done and read at the lathe, act by act, as it is to be learned from."""

from __future__ import annotations

from math import isfinite

from msgspec import Struct

from handwheel.domain.acts import Act
from handwheel.domain.errors import OutOfRangeError


class Worked(Struct, frozen=True, kw_only=True):
    """One act of a sheet as it was done.

    Parameters
    ----------
    act : Act
        The act, set as the readings made it. One that was done twice stands twice.
    readings_mm : tuple of float
        What was read at it and counts, as read: a diameter or a length. [mm]
    gauge : str
        Gauge that all of them were taken with; empty if there are none, or of several gauges.
    seconds : float or None
        Time since the act before was done; ``None`` if that is not known. [s]
    again : bool
        Whether the work was cut again, or cooled, by the table of this stop once that had been read, so that the next
        one here is the same stop read anew.
    lost : bool
        Whether it is not known what was done between the act before and this one.
    fresh_edge : bool
        Whether another edge was put into the tool in the post before this act.
    """

    act: Act
    readings_mm: tuple[float, ...] = ()
    gauge: str = ""
    seconds: float | None = None
    again: bool = False
    lost: bool = False
    fresh_edge: bool = False

    def __post_init__(self) -> None:
        """Refuse readings and times that are no numbers."""
        for reading in self.readings_mm:
            if not isfinite(reading) or reading < 0.0:
                msg = f"act {self.act.id}: got a reading of {reading:g} mm, must be 0 or more; take it back"
                raise OutOfRangeError(msg)
        if self.seconds is not None and (not isfinite(self.seconds) or self.seconds < 0.0):
            msg = f"act {self.act.id}: got {self.seconds:g} s, must be 0 or more; leave out what is not known"
            raise OutOfRangeError(msg)
