"""A plan drawn and laid out for a notebook."""

from __future__ import annotations

from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.drawing.svg import svg_text
from handwheel.report.layout import table
from handwheel.report.notebook import plan_html, step_rows
from handwheel.report.wording import Wording, printed_in
from handwheel.report.words import plain
from handwheel.service.drawings import drawings_of
from handwheel.service.plan_view import PlanView
from handwheel.service.wording import wording_of

TEXT_HEAD = ("step", "what is done", "minutes")


def view_of(plan: Plan, shop: Shop, *, show: str | None = None, words: str | None = None) -> PlanView:
    """Show a plan; parameters and errors are those of `wording_of` and `drawings_of`."""
    wording = wording_of(plan, shop, show=show, words=words)
    drawn = drawings_of(plan, shop, wording=wording)
    part, strip = (
        svg_text(picture, prefix=f"plan-{plan.id}-{name}")
        for name, picture in (("part", drawn.part), ("strip", drawn.strip))
    )
    html = plan_html(plan, shop, part=part, strip=strip, wording=wording)
    return PlanView(html=html, text=_text_of(plan, shop, wording))


def _text_of(plan: Plan, shop: Shop, wording: Wording) -> str:
    with printed_in(wording):
        rows = [(str(row.number), plain(row.title), row.minutes) for row in step_rows(plan, shop)]
        return "\n".join((plain(plan.sheet.part.name), *table([TEXT_HEAD, *rows], right=frozenset({0, 2}))))
