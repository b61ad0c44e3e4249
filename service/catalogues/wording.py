"""Articles and the members of a catalogue in words, for a buyer."""

from typing import Final

from service.catalogues.facts import Article
from service.wire.catalogue import FastenerPack, Kit, StandardKit, StockLength

_CONTENTS: Final = {
    "count": "count per pack",
    "count_per_weight": "count per weight",
    "weight": "weight of that count",
    "pack_weight": "weight of a pack",
    "tolerance_percent": "tolerance of the contents",
}
_WORDS: Final = {
    "price": "",
    "price.base": "base price",
    "price.per_length.price": "price per length",
    "price.per_length.length": "length of the price per length",
    "price.per_piece": "price per piece",
    "price.per_pack": "price per pack",
    "breaks.price": "price from {} on",
    "break_kind": "what price breaks apply to",
    "discounts.percent": "discount from {} on",
    "lengths.count": "pieces of {}",
    "bars_per_unit": "lengths per unit",
    "weight.weight": "weight per length",
    "weight.length": "length of the weight per length",
    "fasteners.fastener": "fastener",
    "fasteners.spacing": "fastener spacing",
    "fasteners.rounding": "rounding of packs",
    "fasteners.packs": "packs per kit",
    **{f"contents.{name}": words for name, words in _CONTENTS.items()},
    **{f"fasteners.contents.{name}": words for name, words in _CONTENTS.items()},
    "freight.basis": "freight is by",
    "freight.tiers.charge": "freight from {} on",
    "freight.over_length.surcharge": "surcharge for anything longer than {}",
    "freight.free_from": "freight is free from",
}
"""The words for a member where its own name is not a buyer's; {} is the entry of its list."""


_ABSENT: Final = {
    "available": "no limit",
    "longest_piece": "no limit",
    "freight.free_from": "never",
}
"""The words for a member that states nothing, where that means more than none."""


def word_member(member: str, entry: str | None) -> str:
    """Return the words for a member of a catalogue; empty for the price of an article."""
    return _WORDS.get(member, member.replace("_", " ")).format(entry)


def word_absence(member: str) -> str:
    """Return the words for a member that states nothing."""
    return _ABSENT.get(member, "none")


def describe_article(article: Article) -> str:
    """Return an article in words: what it is, first, then of what and how long."""
    match article:
        case StockLength():
            unit = "stock length" if article.bars_per_unit == 1 else "bundle of stock lengths"
            words = [unit, article.product, article.finish, str(article.length)]
        case Kit():
            held = article.fasteners
            words = [f"kit with {held.fastener}" if held else "bare kit"]
            words += [article.product, article.finish]
        case FastenerPack():
            words = [f"pack of {article.fastener}"]
            words += [article.finish] if article.finish else []
        case StandardKit():
            pieces = [f"{held.count} × {held.length}" for held in article.lengths]
            words = ["standard kit", article.product, article.finish, *pieces]
    return ", ".join(words)
