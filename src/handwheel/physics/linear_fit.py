"""Least squares with several causes, and with records that only say 'longer than this'."""

from __future__ import annotations

from math import erfc, exp, fsum, isfinite, log, pi, sqrt
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.student_t import student_t_factor

if TYPE_CHECKING:
    from collections.abc import Sequence

COLLINEAR = 1e-8
"""A cause whose spread, after the other causes are taken off it, is less than this share of itself tells nothing."""
NO_SCATTER = 1e-9
"""A spread below this share of the values is none."""
_CONVERGED = 1e-12
_MOST_STEPS = 200
_FAR = 25.0
"""Beyond so many standard deviations the tail of the normal distribution is taken by its series."""

Matrix = tuple[tuple[float, ...], ...]


class LinearFit(Struct, frozen=True, kw_only=True):
    """A fitted plane y = b0 + b1 x1 + ..., with what is known of its constants.

    ``names`` are those of the causes; ``coefficients`` begin with the constant. ``covariance`` belongs to the
    coefficients. ``r_squared`` is ``None`` where some records are open, for then no sum of squares can be split.
    ``degrees_of_freedom`` are the ended records less the coefficients.
    """

    names: tuple[str, ...]
    coefficients: tuple[float, ...]
    covariance: Matrix
    residual_sd: float
    r_squared: float | None
    degrees_of_freedom: int
    records: int
    open_records: int

    @property
    def standard_errors(self) -> tuple[float, ...]:
        """Standard error of each coefficient, the constant first."""
        return tuple(sqrt(max(0.0, self.covariance[i][i])) for i in range(len(self.coefficients)))

    def at(self, causes: Sequence[float]) -> float:
        """Value of the plane."""
        return _dot(self.coefficients, (1.0, *causes))

    def interval(self, causes: Sequence[float], *, level: float = 0.95) -> tuple[float, float]:
        """Ends between which one further record lies, at a level of confidence."""
        row = (1.0, *causes)
        of_plane = _dot(row, [_dot(line, row) for line in self.covariance])
        half = student_t_factor(level, degrees_of_freedom=self.degrees_of_freedom) * sqrt(
            self.residual_sd**2 + of_plane
        )
        middle = _dot(self.coefficients, row)
        return middle - half, middle + half


def linear_fit(
    causes: Sequence[Sequence[float]],
    values: Sequence[float],
    *,
    names: Sequence[str],
    is_open: Sequence[bool] | None = None,
) -> LinearFit:
    r"""Plane through records by least squares; by greatest likelihood where some records are open.

    .. math:: \min_b \sum_i (y_i - x_i b)^2; \qquad
        \max_{b,\sigma} \sum_{ended} \ln\frac{\varphi(z_i)}{\sigma} + \sum_{open} \ln(1 - \Phi(z_i)), \quad
        z_i = \frac{y_i - x_i b}{\sigma}

    Parameters
    ----------
    causes : sequence of sequence of float
        n rows of k figures, (n, k), without a column for the constant.
    values : sequence of float
        What came of them, (n,): for an open record the value that it had passed when it was looked at last.
    names : sequence of str
        Names of the k causes, for messages.
    is_open : sequence of bool, optional
        Which records are open, (n,); none by default.

    Returns
    -------
    LinearFit
        Coefficients, their covariance, residual spread, share explained.

    Raises
    ------
    OutOfRangeError
        If there are not at least two ended records more than there are causes, a figure is not finite, or among the
        ended records a cause does not change, two change only together, or, beside open ones, there is no scatter.

    Notes
    -----
    Residuals are taken as normal with one spread. Without open records this is ordinary least squares, and intervals
    are exact for such residuals. With open records the spread is that of greatest likelihood times m / (m - p), m ended
    records and p coefficients, and the covariance is the inverse of the observed information; intervals are then
    approximate: in a trial with 16 records, up to half of them open, those of 95 % held 95 to 96 % of further ones. The
    likelihood has one top (Olsen's form is concave).

    References
    ----------
    Gauss; for open records Olsen (1978), as remembered from textbooks on life data [LIFE_DATA].

    Examples
    --------
    >>> found = linear_fit([(1.0,), (2.0,), (3.0,), (4.0,)], [1.0, 3.0, 2.0, 4.0], names=("x",))
    >>> [round(each, 3) for each in found.coefficients], round(found.r_squared, 2)
    ([0.5, 0.8], 0.64)
    """
    left_open = tuple(is_open) if is_open is not None else (False,) * len(values)
    _require_records(causes, values, names=names, left_open=left_open)
    means = [fsum(column) / len(values) for column in zip(*causes, strict=True)]
    rows = [(1.0, *(value - mean for value, mean in zip(row, means, strict=True))) for row in causes]
    _require_independent([row for row, is_left in zip(causes, left_open, strict=True) if not is_left], names)
    if any(left_open):
        _require_scatter(rows, values, left_open)
    centred = _likeliest(rows, values, left_open) if any(left_open) else _least_squares(rows, values)
    coefficients, covariance, residual_sd = centred
    ended = len(values) - sum(left_open)
    shift = _uncentring(means)
    return LinearFit(
        names=tuple(names),
        coefficients=tuple(_dot(line, coefficients) for line in shift),
        covariance=_sandwich(shift, covariance),
        residual_sd=residual_sd,
        r_squared=None if any(left_open) else _share_explained(rows, values, coefficients),
        degrees_of_freedom=ended - len(coefficients),
        records=len(values),
        open_records=sum(left_open),
    )


_Found = tuple[tuple[float, ...], Matrix, float]


def _least_squares(rows: Sequence[tuple[float, ...]], values: Sequence[float]) -> _Found:
    products = _products(rows)
    coefficients = _solve(
        products, [fsum(row[j] * y for row, y in zip(rows, values, strict=True)) for j in _each(rows)]
    )
    squares = fsum((y - _dot(row, coefficients)) ** 2 for row, y in zip(rows, values, strict=True))
    variance = squares / (len(values) - len(coefficients))
    inverse = _inverse(products)
    return tuple(coefficients), tuple(tuple(variance * each for each in line) for line in inverse), sqrt(variance)


def _likeliest(rows: Sequence[tuple[float, ...]], values: Sequence[float], left_open: Sequence[bool]) -> _Found:
    """Greatest likelihood in Olsen's unknowns, g = b / sigma and h = 1 / sigma, by Newton's steps halved as needed."""
    start, _, spread = _least_squares(rows, values)
    unknowns = [*(each / spread for each in start), 1.0 / spread]
    lines = [(*(-each for each in row), y) for row, y in zip(rows, values, strict=True)]  # z is a line times unknowns
    height = _likelihood(lines, left_open, unknowns)
    information: list[list[float]] = []
    for _ in range(_MOST_STEPS):
        slope, information = _slope_and_information(lines, left_open, unknowns)
        step = _solve(information, slope)
        share = 1.0
        while True:
            tried = [each + share * move for each, move in zip(unknowns, step, strict=True)]
            raised = _likelihood(lines, left_open, tried) if tried[-1] > 0 else float("-inf")
            if raised >= height or share < _CONVERGED:
                break
            share /= 2.0
        gain, unknowns, height = raised - height, tried, raised
        if gain < _CONVERGED:
            break
    _, information = _slope_and_information(lines, left_open, unknowns)
    return _in_plain_unknowns(unknowns, _inverse(information), ended=len(values) - sum(left_open))


def _in_plain_unknowns(unknowns: list[float], covariance: Matrix, *, ended: int) -> _Found:
    """Coefficients, covariance and spread from Olsen's unknowns; the covariance goes by the spread as corrected."""
    *scaled, inverse_sd = unknowns
    sd = 1.0 / inverse_sd
    coefficients = tuple(each * sd for each in scaled)
    # b = g / h: db = dg / h - (g / h^2) dh
    turned = tuple(
        (*(sd if j == i else 0.0 for j in range(len(scaled))), -scaled[i] * sd * sd) for i in range(len(scaled))
    )
    widening = ended / (ended - len(scaled))
    covered = _sandwich(turned, covariance)
    return coefficients, tuple(tuple(widening * each for each in line) for line in covered), sd * sqrt(widening)


def _likelihood(lines: Sequence[tuple[float, ...]], left_open: Sequence[bool], unknowns: Sequence[float]) -> float:
    """Logarithm of the likelihood, but for a constant."""
    scale = log(unknowns[-1])
    return fsum(
        _log_of_beyond(z) if is_left else scale - z * z / 2.0
        for z, is_left in ((_dot(line, unknowns), is_left) for line, is_left in zip(lines, left_open, strict=True))
    )


def _slope_and_information(
    lines: Sequence[tuple[float, ...]], left_open: Sequence[bool], unknowns: Sequence[float]
) -> tuple[list[float], list[list[float]]]:
    """First derivatives of the likelihood, and the second ones with their sign turned."""
    count, ended = len(unknowns), sum(1 for each in left_open if not each)
    slope = [0.0] * count
    information = [[0.0] * count for _ in range(count)]
    for line, is_left in zip(lines, left_open, strict=True):
        z = _dot(line, unknowns)
        hazard = _hazard(z) if is_left else z
        weight = hazard * (hazard - z) if is_left else 1.0
        for i in range(count):
            slope[i] -= hazard * line[i]
            for j in range(count):
                information[i][j] += weight * line[i] * line[j]
    slope[-1] += ended / unknowns[-1]
    information[-1][-1] += ended / unknowns[-1] ** 2
    return slope, information


def _beyond(z: float) -> float:
    """Chance that a normal deviate exceeds z."""
    return erfc(z / sqrt(2.0)) / 2.0


def _log_of_beyond(z: float) -> float:
    if z < _FAR:
        return log(_beyond(z))
    return -z * z / 2.0 - log(z * sqrt(2.0 * pi)) - 1.0 / z**2 + 2.5 / z**4


def _hazard(z: float) -> float:
    """Normal density over the chance beyond it."""
    if z < _FAR:
        return exp(-z * z / 2.0) / sqrt(2.0 * pi) / _beyond(z)
    return z + 1.0 / z - 2.0 / z**3


def _share_explained(
    rows: Sequence[tuple[float, ...]], values: Sequence[float], coefficients: Sequence[float]
) -> float | None:
    mean = fsum(values) / len(values)
    total = fsum((y - mean) ** 2 for y in values)
    left = fsum((y - _dot(row, coefficients)) ** 2 for row, y in zip(rows, values, strict=True))
    return 1.0 - left / total if total > 0 else None


# checks of the records ------------------------------------------------------------------------------------------------


def _require_records(
    causes: Sequence[Sequence[float]], values: Sequence[float], *, names: Sequence[str], left_open: Sequence[bool]
) -> None:
    if len({len(causes), len(values), len(left_open)}) > 1 or any(len(row) != len(names) for row in causes):
        msg = (
            f"records: {len(causes)} rows of causes, {len(values)} values; each needs one value and {len(names)} causes"
        )
        raise OutOfRangeError(msg)
    if not all(isfinite(each) for row in (*causes, values) for each in row):
        msg = "records: a figure is not a finite number; look for a slip"
        raise OutOfRangeError(msg)
    ended, needed = len(values) - sum(left_open), len(names) + 2
    if ended < needed:
        open_words = f" ({sum(left_open)} more are open and do not count)" if any(left_open) else ""
        msg = (
            f"records: {ended} ended{open_words}, at least {needed} are needed for {len(names)} "
            f"{'cause' if len(names) == 1 else 'causes'} ({', '.join(names)}) and a spread; keep more records"
        )
        raise OutOfRangeError(msg)


def _require_independent(causes: Sequence[Sequence[float]], names: Sequence[str]) -> None:
    """Refuse causes that do not change, or change together: take the others off each, and see what is left.

    Asked of the ended records alone: open ones bound a plane from one side only, and where nothing else holds it, it
    would grow without end.
    """
    taken: list[list[float]] = []
    for place, name in enumerate(names):
        column = [row[place] for row in causes]
        mean = fsum(column) / len(column)
        if all(abs(each - mean) <= COLLINEAR * max(1.0, abs(mean)) for each in column):
            msg = f"records: {name} is the same in all that ended, so they say nothing of it; vary it, or leave it out"
            raise OutOfRangeError(msg)
        column = [each - mean for each in column]
        size = sqrt(fsum(each * each for each in column))
        for other in taken:
            share = _dot(column, other)
            column = [each - share * one for each, one in zip(column, other, strict=True)]
        left = sqrt(fsum(each * each for each in column))
        if left < COLLINEAR * size:
            others = " and ".join(names[:place])
            msg = f"records: {name} changes only together with {others}, so their shares cannot be told; vary one alone"
            raise OutOfRangeError(msg)
        taken.append([each / left for each in column])


def _require_scatter(rows: Sequence[tuple[float, ...]], values: Sequence[float], left_open: Sequence[bool]) -> None:
    """Refuse ended records that lie on a plane without scatter: then open ones cannot be weighed against them."""
    ended = [place for place, is_left in enumerate(left_open) if not is_left]
    some, theirs = [rows[place] for place in ended], [values[place] for place in ended]
    _, _, spread = _least_squares(some, theirs)
    if spread <= NO_SCATTER * max(1.0, *map(abs, theirs)):
        msg = "records: those that ended lie on one line without scatter, so the open ones say nothing; leave these out"
        raise OutOfRangeError(msg)


# small matrices -------------------------------------------------------------------------------------------------------


def _each(rows: Sequence[tuple[float, ...]]) -> range:
    return range(len(rows[0]))


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return fsum(a * b for a, b in zip(one, other, strict=True))


def _products(rows: Sequence[tuple[float, ...]]) -> list[list[float]]:
    return [[fsum(row[i] * row[j] for row in rows) for j in _each(rows)] for i in _each(rows)]


def _solve(matrix: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """Solution of a small system, by elimination with the largest pivot."""
    work = [[*line, value] for line, value in zip(matrix, right, strict=True)]
    size = len(work)
    for step in range(size):
        pivot = max(range(step, size), key=lambda place: abs(work[place][step]))
        work[step], work[pivot] = work[pivot], work[step]
        for below in range(step + 1, size):
            share = work[below][step] / work[step][step]
            work[below] = [a - share * b for a, b in zip(work[below], work[step], strict=True)]
    found = [0.0] * size
    for step in reversed(range(size)):
        known = fsum(work[step][place] * found[place] for place in range(step + 1, size))
        found[step] = (work[step][size] - known) / work[step][step]
    return found


def _inverse(matrix: Sequence[Sequence[float]]) -> Matrix:
    size = range(len(matrix))
    columns = [_solve(matrix, [1.0 if i == j else 0.0 for i in size]) for j in size]
    return tuple(zip(*columns, strict=True))


def _sandwich(outer: Sequence[Sequence[float]], inner: Matrix) -> Matrix:
    """Covariance of outer times unknowns whose covariance is inner."""
    half = [[_dot(line, column) for column in zip(*inner, strict=True)] for line in outer]
    return tuple(tuple(_dot(line, other) for other in outer) for line in half)


def _uncentring(means: Sequence[float]) -> Matrix:
    """Matrix that turns coefficients about the means into those about nought."""
    size = len(means) + 1
    first = (1.0, *(-mean for mean in means))
    return (first, *(tuple(1.0 if i == j else 0.0 for j in range(size)) for i in range(1, size)))
