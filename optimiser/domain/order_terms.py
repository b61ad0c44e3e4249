"""Whether an order has terms of buying beyond prices and multiples."""

from optimiser.domain.buying import SaleTerms
from optimiser.domain.catalogue import Kit
from optimiser.domain.order import Order, articles_of
from optimiser.domain.rack import Rack


def is_plain(order: Order) -> bool:
    """Return whether an order is bought at prices and in multiples, and nothing more."""
    policy = order.policy
    return (
        order.rack == Rack()
        and not policy.cut_charge
        and policy.keep_drops is None
        and not policy.splices
        and not policy.substitutions
        and all(
            catalogue.freight is None
            and catalogue.least_order <= 0
            and not catalogue.standard_kits
            and all(_is_plain_article(article) for article in articles_of(catalogue))
            and all(stock.bars_per_unit == 1 for stock in catalogue.stock_lengths)
            for catalogue in order.catalogues
        )
    )


def _is_plain_article(article: SaleTerms | Kit) -> bool:
    if isinstance(article, Kit):
        return (
            not article.discounts
            and article.available is None
            and article.least_quantity <= 1
            and article.least_value <= 0
        )
    return (
        not article.breaks
        and article.available is None
        and article.least_quantity <= article.sold_in_multiples_of
        and article.least_value <= 0
    )
