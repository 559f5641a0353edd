"""What a plan uses of the shop, as one hash: a new tool or belief does not void it, a changed dial does."""

from __future__ import annotations

from hashlib import sha256

import msgspec

from handwheel.domain import acts as a
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop


def canonical(thing: object) -> bytes:
    """Bytes that are the same for equal things, in any run."""
    return msgspec.json.encode(thing, enc_hook=str, order="deterministic")


def digest(*things: object) -> str:
    """Short hash of some things, in order."""
    return sha256(b"\n".join(canonical(thing) for thing in things)).hexdigest()[:16]


def used_things(sheet: Sheet, shop: Shop) -> tuple[tuple[str, object], ...]:
    """Everything of the shop that the sheet relies on, each with its name.

    Raises
    ------
    KeyError
        If the shop no longer has a tool, drill, bar, gauge or holding that the sheet names.
    """
    tools, drills, bars, gauges, holdings = set(), set(), set(), set(), set()
    reamers: set[str] = set()
    taps: set[str] = set()
    for act in sheet.acts:
        match act:
            case a.FitTool():
                tools.add(act.tool)
            case a.FitDrill():
                drills.add(act.drill)
            case a.FitReamer():
                reamers.add(act.reamer)
            case a.HandStep(kind=a.HandKind.TAP):
                taps.add(act.tool)
            case a.LoadBar():
                bars.add(act.bar)
            case a.Regrip():
                holdings.add(act.holding.id)
            case a.Measure() | a.Indicate():
                gauges.add(act.gauge)
            case _:
                pass
    return (
        ("lathe", shop.lathe),
        ("habits", shop.habits),
        *((f"tool {name}", shop.tool(name)) for name in sorted(tools)),
        *((f"drill {name}", shop.drill(name)) for name in sorted(drills)),
        *((f"reamer {name}", shop.reamer(name)) for name in sorted(reamers)),
        *((f"tap {name}", shop.tap(name)) for name in sorted(taps)),
        *((f"bar {name}", shop.bar(name)) for name in sorted(bars)),
        *((f"gauge {name}", shop.gauge(name)) for name in sorted(gauges) if name),
        *((f"holding {name}", shop.holding(name)) for name in sorted(holdings)),
    )


def used_of_shop(sheet: Sheet, shop: Shop) -> str:
    """Hash of what the sheet uses of the shop; raises `KeyError` as `used_things` does."""
    return digest(*used_things(sheet, shop))
