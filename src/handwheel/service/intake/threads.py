"""Threads as files name them: a metric designation with its pitch, of a pitch that the tables know."""

from __future__ import annotations

from handwheel.data.threads import thread_pitches_mm
from handwheel.domain.errors import ShopError
from handwheel.domain.thread import Thread, parse_thread
from handwheel.service.intake.lengths import LONGEST_TEXT
from handwheel.service.intake.table import Table

_ALLOWED = 'a metric thread with its pitch, such as "M12x1.5"'


def read_thread(table: Table, name: str) -> Thread | None:
    """Read a thread, or note what is wrong with it."""
    written = table.raw(name)
    is_short = isinstance(written, str) and len(written) <= LONGEST_TEXT
    try:
        thread = parse_thread(str(written)) if is_short else None
    except (ShopError, ArithmeticError, ValueError):
        thread = None
    if thread is None:
        table.fault(name, allowed=_ALLOWED, do=f'write {name} = "M12x1.5", the pitch always beside the diameter')
        return None
    if thread.pitch_mm not in thread_pitches_mm():
        known = ", ".join(f"{float(pitch):g}" for pitch in thread_pitches_mm())
        table.fault(name, allowed=f"a pitch of {known} mm", do="check the pitch; inch threads are not known here")
        return None
    return thread
