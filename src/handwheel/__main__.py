"""Run the command line, as ``handwheel`` or ``python -m handwheel``."""

from __future__ import annotations

import gc

OBJECTS_BETWEEN_SWEEPS = 200_000
"""Python looks for circles of dead objects after so many new ones. A command makes few of them and soon ends; after the
usual 700 it would look through every module that it loads, again and again."""


def run() -> None:
    """Hand over to the command line.

    It is imported here rather than at the top, so that importing this module runs nothing and costs nothing.
    """
    gc.set_threshold(OBJECTS_BETWEEN_SWEEPS)
    from handwheel.cli.main import main

    main()


if __name__ == "__main__":
    run()
