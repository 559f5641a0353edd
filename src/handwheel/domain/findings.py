"""What the user should know about a request that makes sense: findings, reasons, cautions, proof."""

from msgspec import Struct

from handwheel.domain.errors import UnknownFindingError
from handwheel.domain.finding_codes import FINDING_CODES
from handwheel.domain.severity import Severity

__all__ = ["Finding", "Proof", "Reason", "Severity"]


class Finding(Struct, frozen=True, kw_only=True):
    """One thing to know: stable code, where it bites, what is wrong, what to do, on whose word.

    ``code`` and ``severity`` are among those of `handwheel.domain.finding_codes.FINDING_CODES`.
    """

    code: str
    severity: Severity
    where: str
    problem: str
    remedy: str
    source_key: str

    def __post_init__(self) -> None:
        """Refuse a code that nobody can look up, and a weight that its section does not name."""
        known = FINDING_CODES.get(self.code)
        if known is None:
            msg = f"finding {self.code!r}: no such code; enter it in domain/finding_codes.py, with its weight"
            raise UnknownFindingError(msg)
        if self.severity not in known.severities:
            named = " or ".join(severity.value for severity in known.severities)
            msg = f"finding {self.code!r}: weighs {self.severity.value}, must weigh {named}; correct one of the two"
            raise UnknownFindingError(msg)


class Reason(Struct, frozen=True, kw_only=True):
    """Why a number is what it is.

    ``low`` and ``high`` are the spread of the value over sources, beliefs, or what a hand can set, in ``unit``; equal
    when the value is exact, ``None`` where none is known. ``beside`` says what the next choices would have cost, or
    which limit each would break.
    """

    where: str
    quantity: str
    value: str
    relation: str
    inputs: tuple[str, ...]
    source_key: str
    standing: str
    binds: str = ""
    low: float | None = None
    high: float | None = None
    unit: str = ""
    beside: tuple[str, ...] = ()


class Proof(Struct, frozen=True, kw_only=True):
    """What was proven about the order of steps: its cost, the lower bound, how much was looked at."""

    cost_ms: int
    bound_ms: int
    states_visited: int
    alternatives: int
    rules: tuple[str, ...]

    @property
    def proven(self) -> bool:
        """Whether no cheaper order exists under the stated rules."""
        return self.bound_ms >= self.cost_ms

    @property
    def words(self) -> str:
        """``"proven least"`` or ``"best found, bound ..."``, never more than is known."""
        if self.proven:
            return "proven least under the stated rules"
        return f"best found, bound {self.bound_ms / 60000:.1f} min"
