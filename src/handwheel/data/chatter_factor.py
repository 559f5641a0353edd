"""By how much a shop's limits of chatter differ from the reckoned ones; at once where nothing was heard."""

from __future__ import annotations

from handwheel.domain.chatter import Learner
from handwheel.domain.shop import Shop


def chatter_factor(shop: Shop, learner: Learner) -> float:
    """By how much the limit of chatter differs from the reckoned one, after all that the shop has heard.

    1 if it has heard nothing with such tools.

    Parameters
    ----------
    shop : Shop
        The shop, with what it has heard.
    learner : Learner
        Which tools.

    Examples
    --------
    >>> from handwheel.service.demo import demo_text
    >>> from handwheel.service.intake.shop_file import read_shop
    >>> chatter_factor(read_shop(demo_text("inch-lathe"), name="inch-lathe"), Learner.TURNING)
    1.0
    """
    if not shop.chatter:
        return 1.0
    from handwheel.data.heard import heard_factor  # noqa: PLC0415  relations that few shops need

    return heard_factor(shop, learner)
