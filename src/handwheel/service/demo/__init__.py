"""Demo files that ship with the program: three parts for a small lightship, two lathes to make them on."""

from __future__ import annotations

from pathlib import Path

DEMO_PARTS = ("bush", "band", "flange")
DEMO_SHOPS = ("inch-lathe", "metric-lathe")


def demo_text(name: str) -> str:
    """Text of the demo file ``name`` (one of `DEMO_PARTS` or `DEMO_SHOPS`); raises `KeyError` for any other."""
    if name not in DEMO_PARTS + DEMO_SHOPS:
        raise KeyError(name)
    from importlib.resources import files

    return files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")


def demo_path(name: str) -> Path:
    """Path of the demo file ``name``, as it lies in the installed package; raises `KeyError` as `demo_text` does."""
    if name not in DEMO_PARTS + DEMO_SHOPS:
        raise KeyError(name)
    return Path(__file__).with_name(f"{name}.toml")
