"""What goes on around each act of a valid sheet: by the order of the acts, and by the simple replay.

Mutations are placed, and their effect is argued, with this; the check has no part in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from handwheel.domain import acts as a
from handwheel.domain.holding import Holding
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool
from tests.replay.sheets import Job, job
from tests.replay.simple_replay import SimpleReplay
from tests.replay.simple_shapes import Place
from tests.replay.simple_work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One act with the machine before it. Travels are clockwise positive. [mm]"""

    index: int
    act: a.Act
    running: bool
    locked: frozenset[Handle]
    holding: Holding | None
    rpm: float
    tool: Tool | None
    swing_deg: Fraction
    place: Place | None
    place_after: Place | None
    work: Work | None
    travel_mm: dict[Handle, Fraction]
    travel_after_mm: dict[Handle, Fraction]
    live: dict[str, Handle]

    def way_mm(self, handle: Handle) -> Fraction:
        """How far the act turns a handle, clockwise positive. [mm]"""
        return self.travel_after_mm[handle] - self.travel_mm[handle]


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """All moments of a job's sheet."""

    job: Job
    moments: tuple[Moment, ...]

    @property
    def acts(self) -> tuple[a.Act, ...]:
        """Acts of the sheet."""
        return self.job.sheet.acts

    @property
    def shop(self) -> Shop:
        """Shop of the job."""
        return self.job.shop

    def later(self, moment: Moment) -> Iterator[Moment]:
        """Moments after one."""
        return iter(self.moments[moment.index + 1 :])

    def before(self, moment: Moment) -> Moment | None:
        """Moment just before one."""
        return self.moments[moment.index - 1] if moment.index else None

    def after(self, moment: Moment) -> Moment | None:
        """Moment just after one."""
        return self.moments[moment.index + 1] if moment.index + 1 < len(self.moments) else None


def setting_of(act: a.Act) -> a.Setting | None:
    """Setting of an act that has one."""
    if isinstance(act, a.Cut):
        return act.to
    return act.setting if isinstance(act, a.Move | a.DrillHole | a.ReamHole) else None


def with_setting(act: a.Act, setting: a.Setting) -> a.Act:
    """The act with another setting."""
    if isinstance(act, a.Cut):
        return changed(act, to=setting)
    return changed(act, setting=setting)


def changed(act: a.Act, **fields: object) -> a.Act:
    """Act with some fields changed."""
    values = {name: getattr(act, name) for name in act.__struct_fields__}
    return type(act)(**{**values, **fields})


def is_behind(moment: Moment) -> bool:
    """Whether the handle has to come back past its setting, because that lies against the side it is reached from."""
    setting = setting_of(moment.act)
    if setting is None or setting.kind is not a.SettingKind.MARKS:
        return False
    ahead = 1 if setting.approach is Turn.CLOCKWISE else -1
    return moment.way_mm(setting.handle) * ahead < 0


def used_later(story: Story, moment: Moment, zero: str) -> bool:
    """Whether some later setting counts from a zero."""
    settings = (setting_of(later.act) for later in story.later(moment))
    return any(setting is not None and setting.zero == zero for setting in settings)


def inward(motion: Motion) -> bool:
    """Whether a motion goes to the centre line."""
    return motion is Motion.IN


@cache
def story(name: str) -> Story:
    """Story of a job."""
    it = job(name)
    machine = SimpleReplay(part=it.sheet.part, shop=it.shop)
    running, locked, rpm = False, frozenset[Handle](), 0.0
    holding: Holding | None = None
    moments = []
    for index, act in enumerate(it.sheet.acts):
        place, work, tool, travel = machine.place, machine.work, machine.tool, dict(machine.travel_mm)
        swing, live = machine.swing_deg, {name: zero.handle for name, zero in machine.zeros.items()}
        machine.do(act)
        moments.append(
            Moment(
                index=index,
                act=act,
                running=running,
                locked=locked,
                holding=holding,
                rpm=rpm,
                tool=tool,
                swing_deg=swing,
                place=place,
                place_after=machine.place,
                work=work,
                travel_mm=travel,
                travel_after_mm=dict(machine.travel_mm),
                live=live,
            )
        )
        if isinstance(act, a.StartSpindle | a.StopSpindle):
            running = isinstance(act, a.StartSpindle)
        elif isinstance(act, a.Lock):
            locked |= {act.handle}
        elif isinstance(act, a.Unlock):
            locked -= {act.handle}
        elif isinstance(act, a.SetSpeed):
            rpm = act.rpm
        elif isinstance(act, a.LoadBar | a.Regrip):
            holding = act.holding
        elif isinstance(act, a.PartOff):
            holding = None
    return Story(job=it, moments=tuple(moments))
