"""Which steps from line to line of the intake a call takes; what reaches new ones is worth changing further."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any, TypeAlias

import handwheel.service.intake

ROOM = str(Path(handwheel.service.intake.__file__).parent)
Step: TypeAlias = tuple[str, int, int]
"""Function's file and first line, the line before (offset), the line: one edge of the way."""


def steps_of(call: Callable[[], object]) -> tuple[object, set[tuple[str, int, int]]]:
    """Run a call; give its result and every step it took in the intake."""
    steps: set[Step] = set()

    def trace(frame: FrameType, event: str, _: Any) -> Callable[..., Any] | None:  # noqa: ANN401 - as settrace asks
        if event != "call" or not frame.f_code.co_filename.startswith(ROOM):
            return None
        return _follow(frame.f_code.co_filename, frame.f_lineno)

    def _follow(file: str, start: int) -> Callable[..., Any]:
        before = start

        def follow(frame: FrameType, event: str, _: Any) -> Callable[..., Any]:  # noqa: ANN401 - as settrace asks
            nonlocal before
            if event == "line":
                steps.add((file, before, frame.f_lineno))
                before = frame.f_lineno
            return follow

        return follow

    earlier = sys.gettrace()
    sys.settrace(trace)
    try:
        return call(), steps
    finally:
        sys.settrace(earlier)
