"""Exact fractions: the one place that says which kind; who asks whether a value is one asks for a rational.

Those of the standard library are Python code and take a tenth of a plan. Compiled ones were tried and left out: see
decision 0019.
"""

from __future__ import annotations

from fractions import Fraction

__all__ = ["Fraction"]
