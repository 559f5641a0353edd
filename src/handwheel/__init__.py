"""Plan, set and measure small rings and ring-like parts on a manual lathe.

What a program may use stands in `__all__`; each name is described where it is made, in ``handwheel.service.public``.
They are loaded when they are first asked for, so that ``import handwheel`` costs nothing.

Examples
--------
>>> from handwheel import make_plan, read_part, read_shop, sheet_text
>>> from handwheel.service.demo import demo_path
>>> part, shop = read_part(demo_path("bush")), read_shop(demo_path("inch-lathe"))
>>> plan = make_plan(part, shop)
>>> sheet_text(plan, shop).count("STEP 1 ")
1
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from handwheel.service.public import (
        Advice,
        Approach,
        CheckReport,
        Comparison,
        FailedCheckError,
        HandwheelError,
        InputError,
        Next,
        NoPlanError,
        Part,
        Plan,
        PlanView,
        Reached,
        Rehearsal,
        Shop,
        approach_size,
        check_plan,
        compare_plans,
        comparison_text,
        desk_pdf,
        diagnose_text,
        explain_text,
        make_plan,
        plan_json,
        read_part,
        read_plan,
        read_shop,
        rehearsal_text,
        rehearse_plan,
        rescue_text,
        sheet_pdf,
        sheet_text,
        show_plan,
    )

__version__ = "0.1.0"

__all__ = [
    "Advice",
    "Approach",
    "CheckReport",
    "Comparison",
    "FailedCheckError",
    "HandwheelError",
    "InputError",
    "Next",
    "NoPlanError",
    "Part",
    "Plan",
    "PlanView",
    "Reached",
    "Rehearsal",
    "Shop",
    "__version__",
    "approach_size",
    "check_plan",
    "compare_plans",
    "comparison_text",
    "desk_pdf",
    "diagnose_text",
    "explain_text",
    "make_plan",
    "plan_json",
    "read_part",
    "read_plan",
    "read_shop",
    "rehearsal_text",
    "rehearse_plan",
    "rescue_text",
    "sheet_pdf",
    "sheet_text",
    "show_plan",
]


def __getattr__(name: str) -> object:
    """Load a public name when it is first asked for, and keep it."""
    if name not in __all__:
        msg = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(msg)
    from handwheel.service import public

    found: object = getattr(public, name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """Public names, also those that are not loaded yet."""
    return sorted({*globals(), *__all__})
