"""Lives of which some are only known to be longer: the best known example of it [LIFE_DATA].

Motor windings under heat, hours at a temperature; data and answers from memory (grade M). That the three answers come
out confirms the data. The relation is the one by which records of edges that are still good are used.
"""

from __future__ import annotations

from math import log10, sqrt

import pytest

from handwheel.physics.linear_fit import linear_fit

FAILED = {
    150: (),
    170: (1764, 2772, 3444, 3542, 3780, 4860, 5196),
    190: (408, 408, 1344, 1344, 1440),
    220: (408, 408, 504, 504, 504),
}
STOPPED_H = {150: 8064, 170: 5448, 190: 1680, 220: 528}
TESTED = 10
KELVIN_AT_0_C = 273.2
"""As the example takes it."""


def test_greatest_likelihood_of_motor_windings() -> None:
    """Known answer: log10 h = -6.019 + 4.311 (1000/T), spread 0.2592; 17 of 40 failed.

    Our spread is widened for few records by m / (m - p); the answer is the plain one, so that is taken off.
    """
    causes, values, is_open = [], [], []
    for temperature, hours in FAILED.items():
        lives = [*hours, *[STOPPED_H[temperature]] * (TESTED - len(hours))]
        causes += [(1000.0 / (KELVIN_AT_0_C + temperature),)] * TESTED
        values += [log10(each) for each in lives]
        is_open += [place >= len(hours) for place in range(TESTED)]
    found = linear_fit(causes, values, names=("1000/T",), is_open=is_open)
    assert found.coefficients == pytest.approx((-6.019, 4.311), abs=5e-4)
    assert found.residual_sd * sqrt((17 - 2) / 17) == pytest.approx(0.2592, abs=5e-5)
    assert (found.records, found.open_records, found.degrees_of_freedom) == (40, 23, 15)
    assert found.r_squared is None
