"""A helper who knows the truth of each lathe, by whose few cuts and stops the bench's advice is judged."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handwheel.sim.machine import Machine

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]

SHARED = 0.75
"""A rest above what the last cuts take by no more than this share of one is shared among them; ours, as the bench."""
_ROUNDS = 4
"""Rounds by which a setting is found: a periodic error of the screw leaves a tenth of the error in each."""
_PROBE_MARKS = 0.5
MOST_CUTS = 100


def work_knowingly(machine: Machine, *, last_cut_mm: float, most_cut_mm: float, last_cuts: int = 1) -> None:
    """Work every lathe of a machine with as few cuts and stops as the rules allow.

    The helper knows all that is true now: metal left, warmth, where the tip stands, screw, spring, wear. It does not
    know what chance will bring: setting, scatter of the spring, built-up edge, the touch before it is made. So it needs
    neither a reading nor a wait before a cut. It roughs by whole marks of the cross-slide in passes of at most
    ``most_cut_mm``, as few as there can be; swings the top slide; and makes ``last_cuts`` like cuts of about
    ``last_cut_mm`` by whole marks of the fine feed, each set anew by what is then true, the last to the target.
    One stop is counted: the last one, which shows the size.

    Parameters
    ----------
    machine : Machine
        The lathes, the blanks untouched; changed.
    last_cut_mm, most_cut_mm : float
        Depth of each last cut, greatest depth of a pass. [mm of travel]
    last_cuts : int
        Like cuts at the end: 1 is the strict count, for who knows the truth needs no second to learn from; 2 is the
        rule that the bench keeps.
    """
    everyone = machine.everyone
    kept = 1.0 - machine.lathes.spring_share
    leave_mm = last_cuts * last_cut_mm * kept
    machine.touch(everyone)
    touched_mm = machine.metal_left_mm
    for _ in range(MOST_CUTS):
        left_mm = machine.metal_left_mm
        at = np.nonzero(left_mm > leave_mm + SHARED * last_cut_mm)[0]
        if not len(at):
            break
        wanted_mm = np.maximum(leave_mm[at], left_mm[at] - most_cut_mm * kept[at])
        marks = marks_to_leave(machine, at, wanted_mm, touched_mm=touched_mm[at], fine=False)
        depth_mm = (left_mm[at] - machine.expected_left_mm(at, marks)) / kept[at]
        machine.cut(at, marks - (depth_mm > most_cut_mm))
    machine.swing(everyone)
    machine.touch(everyone, fine=True)
    touched_mm = machine.metal_left_mm
    for still in range(last_cuts, 0, -1):
        wanted_mm = machine.metal_left_mm * (still - 1) / still
        marks = marks_to_leave(machine, everyone, wanted_mm, touched_mm=touched_mm, fine=True)
        machine.cut(everyone, marks, fine=True)
    machine.read(everyone)


def marks_to_leave(machine: Machine, at: Places, left_mm: Floats, *, touched_mm: Floats, fine: bool) -> Floats:
    """Whole marks from the zero after which most nearly so much metal is left, if nothing is left to chance.

    ``touched_mm`` is the metal that was left when the zero was touched. [mm of travel]
    """
    mark_mm = (machine.known.fine_mark_mm if fine else machine.known.mark_mm)[at]
    marks: Floats = (touched_mm - left_mm) / mark_mm
    for _ in range(_ROUNDS):
        miss_mm = machine.expected_left_mm(at, marks, fine=fine) - left_mm
        further_mm = machine.expected_left_mm(at, marks + _PROBE_MARKS, fine=fine) - left_mm
        slope_mm = (further_mm - miss_mm) / _PROBE_MARKS
        marks = marks - miss_mm / np.where(slope_mm < -mark_mm / 4.0, slope_mm, -mark_mm)
    lower: Floats = np.floor(marks)
    misses = [np.abs(machine.expected_left_mm(at, lower + more, fine=fine) - left_mm) for more in (0.0, 1.0)]
    nearest: Floats = lower + (misses[1] < misses[0])
    return nearest
