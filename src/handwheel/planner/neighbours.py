"""What stands beside a chosen schedule: other speeds, a coarser feed, one pass fewer, and what each costs."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.data.materials import Material
from handwheel.data.speeds import SpeedRange, cutting_speed
from handwheel.domain.errors import DataTableError
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.said import said, said_cutting_speed, said_feed
from handwheel.physics.speed import cutting_speed_m_min
from handwheel.planner.cut_case import NoSchedule, Schedule
from handwheel.planner.cut_limits import OVER_STEP
from handwheel.planner.feeds import speed_is_allowed, unusual_words
from handwheel.planner.passes import Choice, Option, Options


class Beside:
    """The neighbours of a schedule, told in words; none for a drill or a reamer, which have no such choice."""

    def __init__(self, found: Schedule, *, material: Material, lathe: Lathe, habits: Habits) -> None:
        self._found, self._lathe = found, lathe
        self._options: Options | None = None
        case = found.case
        if case is not None:
            try:
                speeds = cutting_speed(material, edge=case.tool.edge, cut=case.cut)
            except DataTableError:
                return
            self._options = Options(case, speeds, material=material, lathe=lathe, habits=habits)

    def speeds(self) -> tuple[str, ...]:
        """The next speeds of the list, up and down, each with its best feed."""
        if self._options is None:
            return ()
        return tuple(self._speeds(self._options))

    def cuts(self) -> tuple[str, ...]:
        """The next coarser feed, and one pass fewer."""
        if self._options is None:
            return ()
        return (*self._coarser(self._options), *self._fewer(self._options))

    def _speeds(self, options: Options) -> Iterator[str]:
        own = self._found.speed
        faster = [speed for speed in self._lathe.speeds if speed.rpm > own.rpm]
        slower = [speed for speed in self._lathe.speeds if speed.rpm < own.rpm]
        if faster:
            speed = min(faster, key=lambda speed: (speed.rpm, speed.position))
            yield f"next speed up, {speed.rpm:g} rev/min: {self._at_speed(options, speed)}"
        if slower:
            speed = max(slower, key=lambda speed: (speed.rpm, speed.position))
            yield f"next speed down, {speed.rpm:g} rev/min: {self._at_speed(options, speed)}"

    def _at_speed(self, options: Options, speed: SpindleSpeed) -> str:
        if not speed_is_allowed(speed, options.case, options.speeds):
            return self._too_fast(options, speed, options.speeds)
        best: Choice | None = None
        refused = "no feed suits it"
        for option in options.best_first([speed]):
            choice = options.choice(option)
            if isinstance(choice, NoSchedule):
                refused = choice.why.removeprefix(f"{options.case.name}: ")
            elif best is None or _rank(choice) < _rank(best):
                best = choice
        return refused if best is None else self._compared(options, best)

    @staticmethod
    def _too_fast(options: Options, speed: SpindleSpeed, speeds: SpeedRange) -> str:
        surface = cutting_speed_m_min(speed.fastest_rpm, cut_dia_mm=options.case.large_dia_mm)
        if surface > speeds.high_m_min:
            return f"{said_cutting_speed(surface)}, the table bears {said_cutting_speed(speeds.high_m_min)}"
        return f"what holds the work bears {options.case.max_rpm:g} rev/min"

    def _compared(self, options: Options, choice: Choice) -> str:
        """What another choice that keeps every limit costs, beside the one that was taken."""
        option, passes = choice.option, len(choice.depth_steps)
        if option.unusual and not self._found.unusual:
            words = unusual_words(option.speed, option.feed, options.case, options.speeds)
            return f"possible, but {words or 'an edge would be worn out before the pass is over'}"
        if (over := option.over) and over > options.over(self._found.feed):
            return f"possible, but it bends the diameter {100.0 * over * OVER_STEP:.0f} % further than it had better"
        change_s = (options.total_ms(option, passes) - self._found.total_ms) / 1000.0
        time = f"{abs(change_s):.0f} s {'longer' if change_s > 0.0 else 'shorter'}" if round(change_s) else "as long"
        pieces = [time, f"{passes} pass{'es' * (passes > 1)}", f"{choice.force_n:.0f} N"]
        edges, own = (f"{100.0 * share:.0f} %" for share in (passes * option.edge_share, self._found.edges))
        if edges != own:
            pieces.append(f"{edges} of an edge, not {own}")
        return ", ".join(pieces)

    def _coarser(self, options: Options) -> Iterator[str]:
        own = self._found.feed
        coarser = [option for option in options.at(self._found.speed) if option.feed.high_mm_rev > own.high_mm_rev]
        if not coarser:
            return
        option = min(coarser, key=lambda option: option.feed.high_mm_rev)
        choice = options.choice(option)
        says = (
            choice.why.removeprefix(f"{options.case.name}: ")
            if isinstance(choice, NoSchedule)
            else self._compared(options, choice)
        )
        yield f"next coarser feed, {said_feed(option.feed.high_mm_rev, option.feed.high_mm_rev)}: {says}"

    def _fewer(self, options: Options) -> Iterator[str]:
        case, found = options.case, self._found
        count = len(found.depth_steps)
        if count == 1 or case.equal_passes or case.width_mm:
            return
        own = next((option for option in options.at(found.speed) if option.feed == found.feed), None)
        if own is None:
            return
        deepest = -(-sum(found.depth_steps) // (count - 1)) * case.step_mm
        yield f"one pass fewer: {said(deepest, case.units, places=3)} deep, {self._breaks(options, own, deepest)}"

    @staticmethod
    def _breaks(options: Options, own: Option, depth_mm: float) -> str:
        case, limits = options.case, options.limits(own)
        most, binds = options.most(own, limits)
        if depth_mm > most:
            return f"{binds} from {said(most, case.units, places=3)}"
        return "which keeps the limits but counts for more (gentleness)"


def _rank(choice: Choice) -> tuple[bool, int, int]:
    """By what a choice is held against another: the less the better."""
    return choice.option.unusual, choice.option.over, choice.worth_ms
