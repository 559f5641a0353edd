"""What a shop owns, all of it together: lathe, tools, bars, gauges, holdings, habits."""

from typing import TypeVar

from msgspec import Struct

from handwheel.domain.bars import Bar
from handwheel.domain.chatter import ChatterHeard
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.errors import ShopError
from handwheel.domain.gauges import Gauge
from handwheel.domain.habits import Habits
from handwheel.domain.hole_tools import Drill, Reamer, Tap
from handwheel.domain.lathe import Lathe
from handwheel.domain.part import Units
from handwheel.domain.tools import Tool, ToolKind
from handwheel.domain.wording import English, UnitsShown

SHOP_SCHEMA = 1
HEARD_WITH = (ToolKind.TURNING, ToolKind.BORING, ToolKind.PARTING, ToolKind.GROOVING)
"""Tools with which chatter can be heard so that it says something of later cuts."""


class Shop(Struct, frozen=True, kw_only=True):
    """Everything at hand."""

    name: str
    units: Units
    lathe: Lathe
    tools: tuple[Tool, ...]
    drills: tuple[Drill, ...]
    gauges: tuple[Gauge, ...]
    bars: tuple[Bar, ...]
    holdings: tuple[HoldingMeans, ...]
    habits: Habits
    reamers: tuple[Reamer, ...] = ()
    taps: tuple[Tap, ...] = ()
    chatter: tuple[ChatterHeard, ...] = ()
    show: UnitsShown = UnitsShown.BOTH
    words: English = English.BRITISH
    schema: int = SHOP_SCHEMA

    def __post_init__(self) -> None:
        """Refuse two things under one name."""
        for what, ids in (
            ("tool", [tool.id for tool in self.tools]),
            ("drill", [drill.id for drill in self.drills]),
            ("drill or reamer", [*(drill.id for drill in self.drills), *(reamer.id for reamer in self.reamers)]),
            ("tap", [tap.id for tap in self.taps]),
            ("gauge", [gauge.id for gauge in self.gauges]),
            ("bar", [bar.id for bar in self.bars]),
            ("holding", [holding.id for holding in self.holdings]),
        ):
            twice = sorted({name for name in ids if ids.count(name) > 1})
            if twice:
                msg = f"shop {self.name!r}: {what} id {twice[0]!r} is used twice; give each its own"
                raise ShopError(msg)
        for row in self.chatter:
            heard_with = next((tool for tool in self.tools if tool.id == row.tool), None)
            if heard_with is None or heard_with.kind not in HEARD_WITH:
                msg = (
                    f"shop {self.name!r}: chatter was heard with {row.tool!r}, which is no tool of the shop to turn, "
                    "bore or part with; write the id of the one that cut"
                )
                raise ShopError(msg)

    def tool(self, tool_id: str) -> Tool:
        """Tool of that id; raises `KeyError`."""
        return _by_id(self.tools, tool_id)

    def drill(self, drill_id: str) -> Drill:
        """Drill of that id; raises `KeyError`."""
        return _by_id(self.drills, drill_id)

    def reamer(self, reamer_id: str) -> Reamer:
        """Reamer of that id; raises `KeyError`."""
        return _by_id(self.reamers, reamer_id)

    def tap(self, tap_id: str) -> Tap:
        """Tap of that id; raises `KeyError`."""
        return _by_id(self.taps, tap_id)

    def gauge(self, gauge_id: str) -> Gauge:
        """Gauge of that id; raises `KeyError`."""
        return _by_id(self.gauges, gauge_id)

    def bar(self, bar_id: str) -> Bar:
        """Bar of that id; raises `KeyError`."""
        return _by_id(self.bars, bar_id)

    def holding(self, holding_id: str) -> HoldingMeans:
        """Holding means of that id; raises `KeyError`."""
        return _by_id(self.holdings, holding_id)


Owned = TypeVar("Owned", Tool, Drill, Reamer, Tap, Gauge, Bar, HoldingMeans)


def _by_id(things: tuple[Owned, ...], wanted: str) -> Owned:
    for thing in things:
        if thing.id == wanted:
            return thing
    raise KeyError(wanted)
