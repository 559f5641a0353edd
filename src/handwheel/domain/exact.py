"""Exact fractions: compiled ones where the package for them can be loaded, else those of the standard library.

Both are the same numbers: equal to each other, with the same hash, and what is done with one is exact with either. A
plan makes some ten thousand of them. Whoever asks whether a value is exact asks for `numbers.Rational`, which both are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction
else:
    try:
        from quicktions import Fraction
    except ImportError:
        from fractions import Fraction

__all__ = ["Fraction"]
