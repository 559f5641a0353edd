"""The list of all trials, in the order in which a lathe is best gone through."""

from __future__ import annotations

from handwheel.bench.checkup import (
    angle,
    chatter,
    runout,
    slack,
    speed,
    spring_depths,
    spring_repeat,
    touch,
    trial_cut,
    two_collars,
)
from handwheel.bench.checkup.entry import Entry, require_valid
from handwheel.bench.checkup.trial import Outcome, Trial
from handwheel.domain.errors import InputError
from handwheel.domain.shop import Shop

TRIALS = {
    each.key: each
    for each in (
        slack.TRIAL,
        runout.TRIAL,
        speed.TRIAL,
        angle.TRIAL,
        trial_cut.TRIAL,
        touch.TRIAL,
        two_collars.TRIAL,
        spring_repeat.TRIAL,
        spring_depths.TRIAL,
        chatter.TRIAL,
    )
}
"""Trials by their key: first those without a cut."""


def trial_named(key: str) -> Trial:
    """Trial of that key; raises `InputError`."""
    if key not in TRIALS:
        msg = f"checkup: found the trial {key!r}; allowed {', '.join(TRIALS)}; write one of them"
        raise InputError((msg,))
    return TRIALS[key]


def judged(trial: Trial, shop: Shop, entry: Entry) -> Outcome:
    """Judge the readings of a trial.

    Parameters
    ----------
    trial : Trial
        Which.
    shop : Shop
        Shop whose lathe it was made on.
    entry : Entry
        What was entered: lengths in mm, numbers in the units of the fields.

    Returns
    -------
    Outcome
        What was found; or questions, and then nothing is learned.

    Raises
    ------
    InputError
        If something is missing, unknown, out of range, or contradicts itself; with all that was found.
    """
    require_valid(trial.fields(shop), entry, where=trial.key, units=shop.units)
    return trial.judge(shop, entry)
