"""Shop files: our TOML for one lathe and all that lies about it, read into a `Shop`."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from handwheel.domain.errors import DataTableError, OutOfRangeError
from handwheel.domain.shop import Shop
from handwheel.domain.wording import English, UnitsShown
from handwheel.service.intake.habits import read_habits
from handwheel.service.intake.lathe import read_lathe
from handwheel.service.intake.owned import (
    read_bar,
    read_chatter,
    read_drill,
    read_gauge,
    read_holding,
    read_reamer,
    read_tap,
    read_tool,
)
from handwheel.service.intake.table import Table, by_value, present
from handwheel.service.intake.text_file import read_text_file
from handwheel.service.intake.toml_text import open_table


def read_shop_file(path: Path) -> Shop:
    """Read a shop from a file on disk; raises `InputError` with all its problems."""
    return read_shop(read_text_file(path), name=path.name)


def read_shop(text: str, *, name: str) -> Shop:
    """Read a shop from the text of a shop file.

    Parameters
    ----------
    text : str
        The file's content, in TOML.
    name : str
        The file's name, for messages.

    Returns
    -------
    Shop
        Everything at hand; dial leads, marks, slack and drill diameters are exact.

    Raises
    ------
    InputError
        With every problem of the file: unknown, missing or wrong keys, values out of range, descriptions that
        contradict themselves.
    """
    table = open_table(text, name=name)
    return table.problems.settle(shop_in(table))


def shop_in(table: Table) -> Shop | None:
    """Read a shop from the outermost table of its file; notes problems."""
    lathe = read_lathe(table.table("lathe"))
    habits = read_habits(table.table_if_any("habits"))
    rest = table.make(
        lambda: partial(
            Shop,
            name=table.text("name"),
            units=table.units,
            show=table.choice("show", by_value(UnitsShown), default=UnitsShown.BOTH),
            words=table.choice("words", by_value(English), default=English.BRITISH),
            tools=present(read_tool(row) for row in table.tables("tool")),
            drills=present(read_drill(row) for row in table.tables("drill")),
            reamers=present(read_reamer(row) for row in table.tables("reamer")),
            taps=present(read_tap(row) for row in table.tables("tap")),
            gauges=present(read_gauge(row) for row in table.tables("gauge")),
            bars=present(read_bar(row) for row in table.tables("bar")),
            holdings=present(read_holding(row) for row in table.tables("holding")),
            chatter=present(read_chatter(row) for row in table.tables("chatter")),
            habits=habits,
        )
    )
    shop = table.make(lambda: rest(lathe=lathe)) if rest and lathe else None
    if shop is not None and shop.chatter:
        _judge_chatter(table, shop)
    return shop


def _judge_chatter(table: Table, shop: Shop) -> None:
    """Note it where what was heard cannot be true together, or the tables cannot say what it means."""
    from handwheel.data.heard import belief_about
    from handwheel.domain.chatter import Learner

    machine = shop.lathe.tool_stiffness_n_um
    try:
        for learner in Learner:
            belief_about(shop.chatter, shop.tools, machine_n_um=machine, learner=learner)
    except OutOfRangeError:
        table.fault(
            "chatter",
            found="a cut that stayed quiet and was as heavy, for its metal and set-up, as one that chattered",
            allowed="what can be true together",
            do="take out the row that you trust least, or say how far the work or the bar stood out",
        )
    except DataTableError as unknown:
        table.fault(
            "chatter", allowed="a metal that the tables know the stiffness of", do=f"take the row out: {unknown}"
        )
