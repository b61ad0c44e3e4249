"""What differs between two catalogues."""

from collections.abc import Hashable, Iterator
from decimal import Decimal
from fractions import Fraction
from typing import TypedDict

from optimiser.units.money import is_currency, minor_digits
from optimiser.units.natural_order import natural_key
from service.catalogues.facts import (
    Article,
    Fact,
    index_articles,
    state_article,
    state_terms,
)
from service.catalogues.wording import describe_article
from service.wire.catalogue import Catalogue
from service.wire.differences import (
    ArticleAdded,
    ArticleList,
    ArticleRemoved,
    CatalogueChange,
    CatalogueDifferences,
    ComparedCatalogue,
    PriceChanged,
    TermChanged,
)

Facts = dict[Hashable, Fact]


class _OfTerm(TypedDict):
    """What a change of a term says it is of."""

    supplier: str
    sku: str | None
    list: ArticleList | None
    described: str
    member: str
    entry: str | None


def differences(before: Catalogue, after: Catalogue) -> CatalogueDifferences:
    """Return what differs between an earlier and a later catalogue.

    Articles are told by their supplier and SKU: of two suppliers, every article of the one is
    removed and every article of the other is added, and only terms of the same supplier are
    compared. Amounts are exact; percentages are rounded to 0.01, half to even.
    """
    changes = list(_Comparison(before, after).changes())
    return CatalogueDifferences(
        before=ComparedCatalogue(supplier=before.supplier, currency=before.currency),
        after=ComparedCatalogue(supplier=after.supplier, currency=after.currency),
        articles_added=sum(isinstance(change, ArticleAdded) for change in changes),
        articles_removed=sum(isinstance(change, ArticleRemoved) for change in changes),
        articles_changed=len(
            {
                (change.list, change.sku)
                for change in changes
                if isinstance(change, PriceChanged | TermChanged) and change.sku is not None
            }
        ),
        changes=changes,
    )


class _Comparison:
    """The two catalogues side by side."""

    def __init__(self, before: Catalogue, after: Catalogue) -> None:
        self._before = before
        self._after = after
        self._same_supplier = before.supplier == after.supplier
        self._same_currency = before.currency == after.currency

    def changes(self) -> Iterator[CatalogueChange]:
        """Yield every change in the order that the contract states."""
        if self._same_supplier:
            terms = state_terms(self._before), state_terms(self._after)
            yield from self._compare(*terms, None, None)
        olds, news = index_articles(self._before), index_articles(self._after)
        for name in ArticleList:
            skus = {sku for found, sku in (*olds, *news) if found is name}
            for sku in sorted(skus, key=natural_key):
                yield from self._compare_articles(
                    name, olds.get((name, sku)), news.get((name, sku))
                )

    def _compare_articles(
        self, name: ArticleList, old: Article | None, new: Article | None
    ) -> Iterator[CatalogueChange]:
        if old == new and self._same_supplier and self._same_currency:
            return
        if old is not None and new is not None and self._same_supplier:
            yield from self._compare(state_article(old), state_article(new), name, new)
            return
        if old is not None:
            yield ArticleRemoved(
                kind="article-removed",
                supplier=self._before.supplier,
                sku=old.sku,
                list=name,
                described=describe_article(old),
            )
        if new is not None:
            yield ArticleAdded(
                kind="article-added",
                supplier=self._after.supplier,
                sku=new.sku,
                list=name,
                described=describe_article(new),
            )

    def _compare(
        self, olds: Facts, news: Facts, name: ArticleList | None, article: Article | None
    ) -> Iterator[PriceChanged | TermChanged]:
        for key in _merge(olds, news):
            old, new = olds.get(key), news.get(key)
            fact = new or old
            if fact is None or (old and new and self._same(old, new)):
                continue
            of = _OfTerm(
                supplier=self._after.supplier,
                sku=article.sku if article else None,
                list=name,
                described=describe_article(article) if article else "",
                member=fact.member,
                entry=fact.entry,
            )
            if fact.is_money:
                yield self._price_changed(of, old, new)
            else:
                yield TermChanged(
                    kind="term-changed",
                    before=old.written if old else None,
                    after=new.written if new else None,
                    **of,
                )

    def _same(self, old: Fact, new: Fact) -> bool:
        same = old.meaning == new.meaning
        # 12.40 in another currency is another price; nothing is nothing in all of them.
        return same and (not old.is_money or self._same_currency or not old.amount)

    def _price_changed(self, of: _OfTerm, old: Fact | None, new: Fact | None) -> PriceChanged:
        change = percent = None
        if old and new and self._same_currency and old.per == new.per:
            change = show_amount(new.amount - old.amount, self._after.currency)
            percent = state_percent(old.amount, new.amount)
        return PriceChanged(
            kind="price-changed",
            before=show_amount(old.amount, self._before.currency) if old else None,
            after=show_amount(new.amount, self._after.currency) if new else None,
            change=change,
            percent=percent,
            **of,
        )


def _merge(olds: Facts, news: Facts) -> list[Hashable]:
    """Return the keys of both in the order of the later; one of the earlier alone stands behind
    the one that it stood behind there."""
    keys = list(news)
    position = 0
    for key in olds:
        if key in news:
            position = keys.index(key) + 1
        else:
            keys.insert(position, key)
            position += 1
    return keys


def show_amount(amount: Decimal, currency: str) -> str:
    """Return money in plain digits, exact, with at least the currency's minor digits."""
    _, _, decimals = f"{amount:f}".partition(".")
    least = minor_digits(currency) if is_currency(currency) else 0
    return f"{amount:.{max(least, len(decimals.rstrip('0')))}f}"


def state_percent(before: Decimal, after: Decimal) -> str | None:
    """Return the change in per cent of before, to 0.01, half to even; `None` where before is 0."""
    if not before:
        return None
    # Of a fraction, `round` takes the even neighbour.
    hundredths = round((Fraction(after) - Fraction(before)) * 10_000 / Fraction(before))
    whole, rest = divmod(abs(hundredths), 100)
    return f"{'-' if hundredths < 0 else ''}{whole}.{rest:02}"
