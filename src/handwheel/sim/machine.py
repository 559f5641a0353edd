"""Many lathes at work at once: touch, swing, cut, read, wait; the truth is kept and judged here."""

from __future__ import annotations

from math import asin, tau

import numpy as np

from handwheel.domain.errors import HandwheelError, OutOfRangeError
from handwheel.sim.bite import sprung_mm, taken_mm
from handwheel.sim.dial import moved_mm, shown_mm
from handwheel.sim.gauge import rounded_mm, scatter, seen_form_mm, slips_mm
from handwheel.sim.heat import cooled_mm, warmed_mm
from handwheel.sim.lathes import CROSS, HANDLES, TOP, Known, Lathes
from handwheel.sim.spreads import Flags, Floats, Ints


class NoZeroError(HandwheelError, RuntimeError):
    """A handle is to be set by a dial that has no zero, or the top slide is used across before it was swung."""


class Machine:
    """n lathes with a hidden truth, each with one size to make; what is done to them changes them.

    Acts take ``at``, the places (integers, none twice) of the lathes that act, and values of the same length. All
    chance comes from the generator: the same generator state and the same acts give the same results.

    One number describes the work: the metal left on the radius (slide travel) up to the target, as it will be when
    cold. The tip has a place on the same scale: its place less the metal left is how far it stands off.

    Examples
    --------
    One lathe that touches, cuts ten marks deep and measures:

    >>> from handwheel.sim.envelope import DEFAULT
    >>> from handwheel.sim.lathes import draw_lathes
    >>> rng = np.random.default_rng(7)
    >>> machine = Machine(draw_lathes(1, DEFAULT, rng), rng)
    >>> machine.touch(machine.everyone)
    >>> machine.cut(machine.everyone, 10.0)
    >>> machine.wait(machine.everyone, 600.0)
    >>> reading_mm = machine.read(machine.everyone)
    >>> bool(abs(reading_mm - machine.true_size_mm)[0] < 0.05)
    True
    """

    def __init__(self, lathes: Lathes, rng: np.random.Generator) -> None:
        """Put the blank in: nothing is touched yet, the top slide is parallel."""
        count = lathes.count
        self._lathes = lathes
        self._rng = rng
        self._metal_mm = lathes.metal_mm.copy()
        self._growth_mm = lathes.warm_dia_mm * lathes.start_warm
        self._least_chip_mm = lathes.least_chip_mm.copy()
        self._wear_mm = lathes.wear_mm.copy()
        self._receded_mm = np.zeros(count)
        self._origin_mm = np.zeros(count)
        self._travel_mm = np.zeros((HANDLES, count))
        self._phase_rad = lathes.phase_rad.copy()
        self._ratio = np.stack([np.ones(count), np.zeros(count)])
        self._has_zero = np.zeros(count, dtype=np.bool_)
        self._is_measuring = np.zeros(count, dtype=np.bool_)
        self._gauge_bias_mm = lathes.gauge_bias_mm.copy()
        self._gauge_spread_mm = lathes.gauge_spread_mm.copy()
        self._gauge_step_mm = np.full(count, lathes.envelope.gauge_step_mm)
        self._drifts = bool(lathes.drift_mm.any())
        self._counts = {name: np.zeros(count, dtype=np.int64) for name in ("cuts", "stops", "readings", "zeros")}
        self._waited_s = np.zeros(count)

    @property
    def everyone(self) -> Ints:
        """Places of all lathes."""
        return np.arange(self._lathes.count)

    @property
    def known(self) -> Known:
        """What the operators know."""
        return self._lathes.known

    @property
    def lathes(self) -> Lathes:
        """The hidden truth as it was drawn, for whoever judges."""
        return self._lathes

    @property
    def metal_left_mm(self) -> Floats:
        """Truth: metal left on the radius up to the target, cold; negative once the target is passed. [mm]"""
        return self._metal_mm.copy()

    @property
    def true_size_mm(self) -> Floats:
        """Truth: mean diameter, cold. [mm]"""
        lathes = self._lathes
        return lathes.known.target_dia_mm + lathes.per_travel * lathes.outward * self._metal_mm

    @property
    def fitting_size_mm(self) -> Floats:
        """Truth: size that a plug or ring gauge feels: a bore is closed, an outside enlarged by its form. [mm]"""
        lathes = self._lathes
        return self.true_size_mm + lathes.outward * (lathes.oval_dia_mm + lathes.lobes_dia_mm)

    @property
    def growth_mm(self) -> Floats:
        """Truth: how much the diameter is larger now, being warm. [mm]"""
        return self._growth_mm.copy()

    @property
    def is_good(self) -> Flags:
        """Truth: whether the cold mean diameter lies within the limits."""
        size_mm, known = self.true_size_mm, self._lathes.known
        good: Flags = (size_mm >= known.lower_dia_mm) & (size_mm <= known.upper_dia_mm)
        return good

    @property
    def is_spoiled(self) -> Flags:
        """Truth: whether more is gone than the far limit allows, so that no cut can mend it."""
        size_mm, known = self.true_size_mm, self._lathes.known
        gone: Flags = np.where(known.inside, size_mm > known.upper_dia_mm, size_mm < known.lower_dia_mm)
        return gone

    @property
    def cuts(self) -> Ints:
        """How many cuts each lathe made, those in air and those that rubbed too."""
        return self._counts["cuts"].copy()

    @property
    def stops(self) -> Ints:
        """How often each lathe stopped to measure; readings with nothing but waiting between them are one stop."""
        return self._counts["stops"].copy()

    @property
    def readings(self) -> Ints:
        """How many readings were taken at each lathe."""
        return self._counts["readings"].copy()

    @property
    def zeros(self) -> Ints:
        """How many zeros were touched at each lathe."""
        return self._counts["zeros"].copy()

    @property
    def waited_s(self) -> Floats:
        """How long each lathe waited for its work to cool. [s]"""
        return self._waited_s.copy()

    def touch(self, at: Ints, *, fine: bool | Flags = False) -> None:
        """Wind a handle in until the tip touches, from the right side; both dials count from there.

        The touch is off by a departure of standard deviation ``touch_sd_mm``. Warm work is touched where it is.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        fine : bool, or array of k
            Whether the swung top slide is wound instead of the cross-slide.

        Raises
        ------
        NoZeroError
            If the top slide is to be wound and is not swung.
        """
        lathes = self._lathes
        handle = self._handle(at, fine=fine)
        error_mm = lathes.envelope.touch_sd_mm * self._rng.standard_normal(len(at))
        touched_mm = self._metal_mm[at] + lathes.outward[at] * self._growth_mm[at] / lathes.per_travel + error_mm
        self._travel_mm[handle, at] += self._tip_mm(at) - touched_mm
        for row in range(HANDLES):
            self._turn_screw(row, at)
        self._travel_mm[:, at] = 0.0
        self._origin_mm[at] = touched_mm - self._receded_mm[at]
        self._has_zero[at] = True
        self._leave_gauge(at)
        self._counts["zeros"][at] += 1

    def swing(self, at: Ints) -> None:
        """Swing the top slide for fine feed; its angle is drawn anew and all zeros are lost.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        """
        envelope = self._lathes.envelope
        error_rad = np.radians(envelope.angle_error_deg.draw(len(at), self._rng))
        self._ratio[TOP, at] = np.sin(asin(envelope.fine_ratio) + error_rad)
        self._phase_rad[TOP, at] = self._rng.uniform(0.0, tau, len(at))
        self._lose_zero(at)

    def change_edge(self, at: Ints) -> None:
        """Fit a fresh edge: wear is gone, its least chip and wear are drawn anew, all zeros are lost.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        """
        envelope = self._lathes.envelope
        self._receded_mm[at] = 0.0
        self._least_chip_mm[at] = envelope.least_chip_mm.draw(len(at), self._rng)
        self._wear_mm[at] = envelope.wear_mm.draw(len(at), self._rng)
        self._lose_zero(at)

    def take_gauge(self, at: Ints, *, bias_mm: Floats, spread_mm: Floats, step_mm: float) -> None:
        """Measure with another gauge from now on.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        bias_mm, spread_mm : array of k
            What it reads too much, and the standard deviation of a reading. [mm]
        step_mm : float
            Its readings are whole multiples of this; 0 for no rounding. [mm]
        """
        self._gauge_bias_mm[at] = bias_mm
        self._gauge_spread_mm[at] = spread_mm
        self._gauge_step_mm[at] = step_mm

    def leave(self, at: Ints, metal_mm: Floats) -> None:
        """Take metal off by other cuts than those of this size, such as turning up to a shoulder; the zero stays.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        metal_mm : array of k
            Metal that is then left to the target, as travel. [mm]
        """
        self._metal_mm[at] = metal_mm
        self._leave_gauge(at)

    def warm(self, at: Ints) -> None:
        """Warm the work by other cuts than those of this size, as one cut of this size would.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        """
        share = self._lathes.envelope.warm_share
        self._growth_mm[at] = warmed_mm(
            self._growth_mm[at],
            steady_mm=self._lathes.warm_dia_mm[at],
            share=self._rng.uniform(share.low, share.high, len(at)),
        )
        self._leave_gauge(at)

    def cut(
        self,
        at: Ints,
        marks: Floats | float,
        *,
        fine: bool | Flags = False,
        from_wrong_side: Flags | None = None,
        force: Floats | float = 1.0,
    ) -> None:
        """Set a handle to so many marks beyond its zero, approached from the right side, and make the cut.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        marks : array of k, or one number
            Setting from the zero of the last touch, positive into the metal. [marks]
        fine : bool, or array of k
            Whether the swung top slide is set instead of the cross-slide; the other handle stays.
        from_wrong_side : bool array of k, optional
            Where the slack was not taken up: the tip stays short by up to the slack.
        force : array of k, or one number
            Factor on the spring, for a cut that pushes more or less than usual (feed, blunt edge).

        Raises
        ------
        NoZeroError
            If a lathe has no zero, or the top slide is to be set and is not swung.
        """
        lathes, envelope, rng = self._lathes, self._lathes.envelope, self._rng
        handle = self._handle(at, fine=fine)
        if not self._has_zero[at].all():
            msg = f"lathe {int(at[~self._has_zero[at]][0])}: the dial has no zero; touch the work first"
            raise NoZeroError(msg)
        setting, scattered, built_up = rng.standard_normal((3, len(at)))
        travel_mm = self._nominal_travel_mm(at, handle, marks)
        travel_mm += self._ratio[handle, at] * lathes.setting_sd_mm[handle, at] * setting
        if from_wrong_side is not None:
            short_mm = lathes.slack_mm[handle, at] * rng.random(len(at))
            travel_mm -= self._ratio[handle, at] * np.where(from_wrong_side, short_mm, 0.0)
        self._travel_mm[handle, at] = travel_mm
        if envelope.gib_chance:
            self._jump(at)
        depth_mm = self._depth_mm(at) - envelope.built_up_sd_mm * built_up
        sprung = force * (1.0 + lathes.spring_scatter[at] * scattered) * self._sprung_mm(at, depth_mm)
        rub_take = envelope.rub_take
        self._metal_mm[at] -= taken_mm(
            depth_mm,
            sprung_mm=sprung,
            least_chip_mm=self._least_chip_mm[at],
            rub_take=rng.uniform(rub_take.low, rub_take.high, len(at)),
        )
        self._after_cut(at, depth_mm > 0.0)

    def read(self, at: Ints) -> Floats:
        """Measure once: one reading of the diameter for each lathe, as the gauge shows it, at a place nobody chose.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.

        Returns
        -------
        array of k
            Readings, rounded to the gauge's step. [mm]
        """
        lathes, envelope, rng = self._lathes, self._lathes.envelope, self._rng
        self._counts["stops"][at] += ~self._is_measuring[at]
        self._counts["readings"][at] += 1
        self._is_measuring[at] = True
        reading_mm = lathes.known.target_dia_mm[at] + lathes.per_travel * lathes.outward[at] * self._metal_mm[at]
        reading_mm += self._growth_mm[at] + self._gauge_bias_mm[at]
        reading_mm += self._gauge_spread_mm[at] * scatter(len(at), dof=envelope.tail_dof, rng=rng)
        reading_mm += slips_mm(len(at), envelope=envelope, rng=rng)
        reading_mm += seen_form_mm(
            oval_dia_mm=lathes.oval_dia_mm[at],
            lobes_dia_mm=lathes.lobes_dia_mm[at],
            points=envelope.gauge_points,
            rng=rng,
        )
        return rounded_mm(reading_mm, step_mm=self._gauge_step_mm[at])

    def wait(self, at: Ints, seconds: Floats | float) -> None:
        """Let the work cool.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes that act.
        seconds : array of k, or one number
            How long. [s]

        Raises
        ------
        OutOfRangeError
            If a time is negative.
        """
        if np.any(np.asarray(seconds) < 0.0):
            msg = f"seconds: got {np.min(seconds):g} s, must be 0 or more; check the order of the times"
            raise OutOfRangeError(msg)
        tau_s = self._lathes.time_constant_s[at]
        self._growth_mm[at] = cooled_mm(self._growth_mm[at], time_s=seconds, time_constant_s=tau_s)
        self._waited_s[at] += seconds

    def expected_left_mm(self, at: Ints, marks: Floats | float, *, fine: bool | Flags = False) -> Floats:
        """Truth for whoever judges: metal left after such a cut if nothing were left to chance.

        Parameters
        ----------
        at : integer array of k
            Places of the lathes asked about; nothing is done to them.
        marks : array of k, or one number
            Setting from the zero of the last touch. [marks]
        fine : bool, or array of k
            Whether the swung top slide would be set.

        Returns
        -------
        array of k
            Metal left on the radius, cold. [mm]
        """
        handle = self._handle(at, fine=fine)
        moved_mm = self._nominal_travel_mm(at, handle, marks) - self._travel_mm[handle, at]
        depth_mm = self._depth_mm(at) + moved_mm
        rub_take = self._lathes.envelope.rub_take
        left_mm: Floats = self._metal_mm[at] - taken_mm(
            depth_mm,
            sprung_mm=self._sprung_mm(at, depth_mm),
            least_chip_mm=self._least_chip_mm[at],
            rub_take=np.full(len(at), (rub_take.low + rub_take.high) / 2.0),
        )
        return left_mm

    def _handle(self, at: Ints, *, fine: bool | Flags) -> int | Ints:
        """Row of the handle that is wound, for all or for each."""
        is_fine = np.asarray(fine, dtype=np.bool_)
        if np.any(is_fine & (self._ratio[TOP, at] == 0.0)):
            msg = "fine feed: the top slide is not swung; swing it and touch the work again"
            raise NoZeroError(msg)
        if is_fine.ndim == 0:
            return TOP if is_fine else CROSS
        return is_fine.astype(np.int64)

    def _nominal_travel_mm(self, at: Ints, handle: int | Ints, marks: Floats | float) -> Floats:
        """Infeed of a handle from its zero to a setting, by its screw and without the hand's own error. [mm]"""
        dial_mm = self._lathes.mark_mm[handle, at] * marks
        infeed_mm: Floats = self._ratio[handle, at] * moved_mm(dial_mm, **self._screw(at, handle))
        return infeed_mm

    def _screw(self, at: Ints, handle: int | Ints) -> dict[str, Floats]:
        """What `moved_mm` and `shown_mm` must know of the screws."""
        lathes = self._lathes
        return {
            "rate": lathes.rate[handle, at],
            "periodic_mm": lathes.periodic_mm[handle, at],
            "lead_mm": lathes.lead_mm[handle, at],
            "phase_rad": self._phase_rad[handle, at],
        }

    def _tip_mm(self, at: Ints) -> Floats:
        """Place of the tip on the scale of metal left, as the slides stand. [mm]"""
        travel = self._travel_mm
        place_mm: Floats = self._origin_mm[at] + self._receded_mm[at] - travel[CROSS, at] - travel[TOP, at]
        return place_mm

    def _depth_mm(self, at: Ints) -> Floats:
        """How far the tip stands beyond the surface, the warm work's surface being where it is. [mm]"""
        warm_mm = self._lathes.outward[at] * self._growth_mm[at] / self._lathes.per_travel
        depth_mm: Floats = self._metal_mm[at] + warm_mm - self._tip_mm(at)
        return depth_mm

    def _sprung_mm(self, at: Ints, depth_mm: Floats) -> Floats:
        """Spring of a cut before scatter. [mm]"""
        envelope = self._lathes.envelope
        return sprung_mm(
            depth_mm,
            share=self._lathes.spring_share[at],
            exponent=envelope.force_exponent,
            at_depth_mm=envelope.force_depth_mm,
        )

    def _turn_screw(self, row: int, at: Ints) -> None:
        """Carry the screw's angle over to the zero that is touched now."""
        ratio = self._ratio[row, at]
        slide_mm = self._travel_mm[row, at] / np.where(ratio > 0.0, ratio, 1.0)
        dial_mm = shown_mm(slide_mm, **self._screw(at, row))
        self._phase_rad[row, at] += tau * dial_mm / self._lathes.lead_mm[row, at]

    def _jump(self, at: Ints) -> None:
        """Let the loose gib go in some of the cuts; the slide stays where it jumped to."""
        envelope = self._lathes.envelope
        goes = self._rng.random(len(at)) < envelope.gib_chance
        self._origin_mm[at] += np.where(goes, envelope.gib_sd_mm * self._rng.standard_normal(len(at)), 0.0)

    def _after_cut(self, at: Ints, has_cut: Flags) -> None:
        """Warm the work, wear the tip, count the cut; a cut in air is only counted."""
        lathes, share = self._lathes, self._lathes.envelope.warm_share
        part = np.where(has_cut, self._rng.uniform(share.low, share.high, len(at)), 0.0)
        self._growth_mm[at] = warmed_mm(self._growth_mm[at], steady_mm=lathes.warm_dia_mm[at], share=part)
        recedes_mm = self._wear_mm[at] + lathes.drift_mm[at] if self._drifts else self._wear_mm[at]
        self._receded_mm[at] += np.where(has_cut, recedes_mm, 0.0)
        self._leave_gauge(at)
        self._counts["cuts"][at] += 1

    def _lose_zero(self, at: Ints) -> None:
        """The tip is somewhere else now, and no dial knows where."""
        self._has_zero[at] = False
        self._leave_gauge(at)

    def _leave_gauge(self, at: Ints) -> None:
        """The next reading is a new stop."""
        self._is_measuring[at] = False
