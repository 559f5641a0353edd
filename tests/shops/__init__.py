"""Shops and parts of the tests: deliberately different lathes, and small parts to be made on each of them.

All are invented. Each shop is a whole file, as a person would write it, so that any of them can be tried alone.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from handwheel.service.intake.part_file import read_part_file
from handwheel.service.intake.shop_file import read_shop_file

if TYPE_CHECKING:
    from handwheel.domain.part import Part
    from handwheel.domain.shop import Shop

FOLDER = Path(__file__).parent
SHOPS = tuple(sorted(path.stem for path in FOLDER.glob("*.toml")))
"""Names of the shops."""
PARTS = tuple(sorted(path.stem for path in (FOLDER / "parts").glob("*.toml")))
"""Names of the parts."""


def shop_path(name: str) -> Path:
    """Where the file of a shop is."""
    return FOLDER / f"{name}.toml"


def part_path(name: str) -> Path:
    """Where the file of a part is."""
    return FOLDER / "parts" / f"{name}.toml"


@cache
def shop_of(name: str) -> Shop:
    """Shop of that name."""
    return read_shop_file(shop_path(name))


@cache
def part_of(name: str) -> Part:
    """Part of that name."""
    return read_part_file(part_path(name))
