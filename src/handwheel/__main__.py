"""Run the command line as ``python -m handwheel``."""

from __future__ import annotations


def run() -> None:
    """Hand over to the command line.

    It is imported here rather than at the top, so that importing this module runs nothing and costs nothing.
    """
    from handwheel.cli.main import main

    main()


if __name__ == "__main__":
    run()
