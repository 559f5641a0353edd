"""The two documents on paper: the sheet that lies at the lathe, and the page that stays on the desk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.report.paper.content import desk_summary, lathe_sheet
from handwheel.report.paper.pictures import NO_PICTURES, Pictures
from handwheel.report.paper.typesetting import Paper, Template, typeset, typeset_desk
from handwheel.report.wording import printed_in, wording_for

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.wording import Wording


def sheet_pdf(
    plan: Plan,
    shop: Shop,
    *,
    paper: Paper,
    pictures: Pictures = NO_PICTURES,
    reasons: bool = False,
    wording: Wording | None = None,
) -> bytes:
    """Set the sheet for the lathe; the same plan gives the same bytes.

    Parameters
    ----------
    plan : Plan
        Plan to print; its sheet is printed act by act, and a test recovers the sheet from the letters of the PDF.
    shop : Shop
        Shop that the plan was made for.
    paper : Paper
        Size of the pages.
    pictures : Pictures
        Drawings of the part, of the set-ups and of the steps, as far as there are any.
    reasons : bool
        Whether the reason for each number stands at the end, in small print.
    wording : Wording or None
        Which unit, and whose words; as the shop file says if it is not given.

    Raises
    ------
    TypesettingError
        If the typesetter finds fault with a page.
    ShopError
        If the sheet counts marks on a slide that has no dial in this shop.
    KeyError
        If the sheet names a tool, drill, bar, or gauge that this shop does not have.
    """
    with printed_in(wording_for(plan, shop) if wording is None else wording):
        content = lathe_sheet(plan, shop, pictures, reasons=reasons)
    return typeset(Template.SHEET, content, paper=paper)


def desk_pdf(plan: Plan, shop: Shop, *, paper: Paper, wording: Wording | None = None) -> bytes:
    """Set the summary for the desk, always one page; parameters and errors are those of `sheet_pdf`."""
    with printed_in(wording_for(plan, shop) if wording is None else wording):
        content = desk_summary(plan, shop)
    return typeset_desk(content, paper=paper)
