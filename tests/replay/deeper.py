"""One cut of a sheet made deeper, or done on a weaker lathe, and replayed from where it was changed."""

from __future__ import annotations

from fractions import Fraction
from math import radians, sin

from msgspec.structs import replace

from handwheel.check.machine import Machine
from handwheel.check.replay import HANDLERS, followed
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Log, Scene, case_for
from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from tests.replay.reckoned import Drilled, Reckoned


class Bench:
    """A sheet with the machine as it stands before each act."""

    def __init__(self, sheet: Sheet, shop: Shop) -> None:
        """Replay it once."""
        self.sheet, self.shop = sheet, shop
        self.before = [Machine(), *followed(sheet, shop)]

    def codes(
        self, first: int, acts: tuple[a.Act, ...], *, shop: Shop | None = None, machine: Machine | None = None
    ) -> set[RefusalCode]:
        """What the last of some acts is refused for, done from where the sheet stands before its act ``first``."""
        log = Log()
        case = case_for(self.sheet.part, shop or self.shop, material(self.sheet.part.material))
        now = machine or self.before[first]
        for step, act in enumerate(acts, start=first):
            scene = Scene(case=case, machine=replace(now, step=step), act=act.id, log=log)
            now = HANDLERS[type(act)](scene, act)
        return {one.code for one in log.refusals if one.act == acts[-1].id}

    def depth_move(self, cut: Reckoned) -> tuple[int, a.Move] | None:
        """The act that sets the depth of a cut by a dial: the last winding before it of a handle that does not feed."""
        for at in range(cut.at - 1, -1, -1):
            act = self.sheet.acts[at]
            if isinstance(act, a.Cut | a.FitTool):
                return None
            if isinstance(act, a.Move) and act.setting.handle is not cut.act.handle:
                return (at, act) if act.setting.kind is a.SettingKind.MARKS else None
        return None

    def mark_mm(self, at: int, handle: Handle) -> float:
        """What one mark of a handle is worth in depth, at the angle of the top slide. [mm]"""
        dial = self.shop.lathe.slide(handle).dial
        assert dial is not None
        swing = self.before[at].swing_deg
        across = sin(radians(float(swing))) if handle is Handle.TOP and swing else 1.0
        return float(dial.travel_per_mark_mm) * across

    def deeper(self, cut: Reckoned, at: int, more: int) -> set[RefusalCode]:
        """What the cut is refused for if the act ``at`` sets it some marks deeper."""
        move = self.sheet.acts[at]
        assert isinstance(move, a.Move)
        dial = self.shop.lathe.slide(move.setting.handle).dial
        assert dial is not None
        sign = 1 if move.setting.approach is Turn.CLOCKWISE else -1
        position = move.setting.turns * dial.marks + move.setting.marks + sign * more
        turns, marks = divmod(position, dial.marks)
        setting = replace(move.setting, turns=int(turns), marks=Fraction(marks))
        acts = (replace(move, setting=setting), *self.sheet.acts[at + 1 : cut.at + 1])
        return self.codes(at, acts)

    def on(self, cut: Reckoned | Drilled, code: RefusalCode, share: float) -> set[RefusalCode]:
        """What a cut is refused for on a lathe (holding, arm) of which it takes up that share of one limit."""
        machine, weaker = self.before[cut.at], cut.shares[code] / share
        shop, lathe = self.shop, self.shop.lathe
        if code is RefusalCode.POWER_EXCEEDED:
            lathe = replace(lathe, motor_power_w=lathe.motor_power_w * weaker)
        elif code is RefusalCode.TORQUE_EXCEEDED:
            speeds = (
                one if one.torque_limit_nm is None else replace(one, torque_limit_nm=one.torque_limit_nm * weaker)
                for one in lathe.speeds
            )
            lathe = replace(lathe, speeds=tuple(speeds))
        elif code is RefusalCode.GRIP_SLIPS:
            machine = replace(machine, grip_torque_nm=machine.grip_torque_nm * weaker)
        elif code is RefusalCode.PUSH_EXCEEDED:
            shop = replace(shop, habits=replace(shop.habits, quill_push_n=shop.habits.quill_push_n * weaker))
        elif isinstance(cut, Reckoned):
            whole = weaker / (1.0 / cut.own_n_um + 1.0 / lathe.tool_stiffness_n_um)
            lathe = replace(lathe, tool_stiffness_n_um=1.0 / max(1e-6, 1.0 / whole - 1.0 / cut.own_n_um))
        return self.codes(cut.at, (cut.act,), shop=replace(shop, lathe=lathe), machine=machine)

    def at_speed(self, cut: Reckoned | Drilled, rpm: float) -> set[RefusalCode]:
        """What a cut is refused for at another speed."""
        machine = self.before[cut.at]
        assert machine.speed is not None
        faster = replace(machine, speed=replace(machine.speed, rpm=rpm))
        return self.codes(cut.at, (cut.act,), machine=faster)

    def at_feed(self, cut: Reckoned | Drilled, handle: Handle, most_mm_rev: float) -> set[RefusalCode]:
        """What a cut is refused for if the coarse end of its feed is another."""
        machine = self.before[cut.at]
        low = min(machine.feeds[handle].low_mm_rev, most_mm_rev)
        coarse = replace(machine.feeds[handle], low_mm_rev=low, high_mm_rev=most_mm_rev)
        return self.codes(cut.at, (cut.act,), machine=replace(machine, feeds={**machine.feeds, handle: coarse}))
