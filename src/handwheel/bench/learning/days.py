"""Days of the calendar from their text, without a clock."""

from __future__ import annotations

from handwheel.domain.beliefs import DAY_LETTERS as _DAY

DAYS_A_YEAR = 365.25
_MARCH = 3


def day_number(date: str) -> int:
    """Count of days from a fixed day long ago, for a date such as 2026-11-30; a time behind it does not count.

    Examples
    --------
    >>> day_number("2026-03-01") - day_number("2026-02-28"), day_number("2024-03-01T09:30") - day_number("2024-02-28")
    (1, 2)

    Notes
    -----
    The year is taken to begin in March, so that the odd day of a leap year is its last; the days of months from March
    on then follow (153 m + 2) / 5, rounded down. Gregorian calendar, arithmetic.
    """
    year, month, day = (int(piece) for piece in date[:_DAY].split("-"))
    years = year - (month < _MARCH)
    months = (month - _MARCH) % 12
    return 365 * years + years // 4 - years // 100 + years // 400 + (153 * months + 2) // 5 + day


def years_between(first: str, last: str) -> float:
    """Years from one date to a later one.

    Examples
    --------
    >>> round(years_between("2025-11-30", "2026-11-30"), 3)
    0.999
    """
    return (day_number(last) - day_number(first)) / DAYS_A_YEAR


def is_surely_later(date: str, other: str) -> bool:
    """Whether a date lies after another for certain: on a later day, or later the same day if both have a time.

    Examples
    --------
    >>> is_surely_later("2026-11-30", "2026-11-29"), is_surely_later("2026-11-30T15:00", "2026-11-30")
    (True, False)
    """
    if date[:_DAY] != other[:_DAY]:
        return date[:_DAY] > other[:_DAY]
    return len(date) > _DAY and len(other) > _DAY and date > other
