"""Days are counted as the calendar of the standard library counts them."""

from __future__ import annotations

from datetime import date, timedelta

from handwheel.bench.learning.days import day_number


def test_every_day_of_four_centuries_follows_the_one_before() -> None:
    first = date(1900, 1, 1)
    days = (first + timedelta(days=count) for count in range(146_097))
    assert [day_number(day.isoformat()) - day_number("1900-01-01") for day in days] == list(range(146_097))
