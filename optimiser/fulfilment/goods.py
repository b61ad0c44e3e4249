"""What one unit of a purchase line is: its bars, its fasteners, its piece set, its price."""

from collections import Counter
from collections.abc import Iterable
from decimal import Decimal

from optimiser.domain.catalogue import Catalogue, FastenerPack, Kit, StandardKit, StockLength
from optimiser.domain.deliveries import OpenLine
from optimiser.domain.kit_offer import discount_kit, discount_reached, quote_kit
from optimiser.domain.order import Order, articles_of
from optimiser.domain.plan import Plan
from optimiser.domain.sale_prices import split_by_price
from optimiser.domain.takeoff import FastenerPool, PieceSet, pool_of
from optimiser.takeoff.piece_sets import gather_piece_sets

Article = StockLength | Kit | FastenerPack | StandardKit


class Goods:
    """The articles of an accepted order as its plan buys them."""

    def __init__(self, order: Order, plan: Plan) -> None:
        self._order = order
        self._articles: dict[str, Article] = {
            article.sku: article for catalogue in order.catalogues for article in _all_of(catalogue)
        }
        self._takeoffs = {item.takeoff.opening.mark: item.takeoff for item in plan.openings}
        self._sets: dict[tuple[str, tuple[str, ...]], PieceSet] = {}

    def article(self, sku: str) -> Article:
        """Return the article of a SKU.

        Raises:
            KeyError: no catalogue of the order holds it.
        """
        return self._articles[sku]

    def piece_set(self, line: OpenLine) -> PieceSet:
        """Return the pieces that a made-to-measure kit of a line holds."""
        key = line.sku, line.made_for
        if key not in self._sets:
            pieces = self._takeoffs[line.made_for[0]].pieces
            fits = [s for s in gather_piece_sets(pieces) if s.lengths == line.lengths]
            material = self._kit(line.sku).material
            # A kit of another material may stand in; else the set is of the kit's own.
            self._sets[key] = min(fits, key=lambda s: s.material != material)
        return self._sets[key]

    def bars(self, line: OpenLine) -> int:
        """Return the bars in one unit; none unless it is a stock length."""
        article = self.article(line.sku)
        return article.bars_per_unit if isinstance(article, StockLength) else 0

    def fasteners(self, line: OpenLine) -> tuple[FastenerPool, int] | None:
        """Return the pool of the fasteners in one unit and their count at the packs' low end."""
        article = self.article(line.sku)
        policy = self._order.policy
        match article:
            case FastenerPack():
                pool = pool_of(article.fastener, article.finish, policy)
                return pool, article.contents.low_count
            case Kit(fasteners=held) if held is not None:
                currency = self._order.catalogue.currency
                low = quote_kit(article, self.piece_set(line), currency).fasteners_low
                return pool_of(held.fastener, article.material.finish, policy), low
            case StandardKit(fasteners=packed) if packed is not None:
                pool = pool_of(packed.fastener, article.material.finish, policy)
                return pool, packed.packs * packed.contents.low_count
        return None

    def price(self, lines: Iterable[tuple[OpenLine, int]]) -> Decimal:
        """Return what so many units of each of the lines of one SKU cost together.

        Price breaks count the units of a line, discounts on kits those of the SKU.
        """
        total = Decimal(0)
        units = Counter[str]()
        counted = [(line, quantity) for line, quantity in lines if quantity]
        for line, quantity in counted:
            units[line.sku] += quantity
        for line, quantity in counted:
            article = self.article(line.sku)
            if isinstance(article, Kit):
                currency = self._order.catalogue.currency
                unit = quote_kit(article, self.piece_set(line), currency).unit_price
                percent = discount_reached(article, units[line.sku])
                total += quantity * discount_kit(unit, percent, currency)
            else:
                split = split_by_price(article, article.price, quantity)
                total += sum((number * price for number, price in split), Decimal(0))
        return total

    def _kit(self, sku: str) -> Kit:
        article = self.article(sku)
        assert isinstance(article, Kit)
        return article


def _all_of(catalogue: Catalogue) -> tuple[Article, ...]:
    return articles_of(catalogue)
