"""How much something weighs that the user should know."""

from __future__ import annotations

from enum import Enum


class Severity(Enum):
    """How much a finding weighs: stop (do not cut), warning, note."""

    STOP = "stop"
    WARNING = "warning"
    NOTE = "note"
