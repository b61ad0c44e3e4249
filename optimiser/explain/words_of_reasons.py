"""The words of the page that says why a plan is what it is."""

from typing import Final

WORDS_OF_REASONS: Final[dict[str, str]] = {
    "why.title": "Why this plan",
    "why.in-short": "In short",
    "why.proved": (
        "This plan is proved to be the cheapest. With the same openings, prices and rules, no "
        "other way of buying and cutting costs less."
    ),
    "why.not-proved": (
        "A cheaper plan may exist, but not by much: at most {gap} could still be saved, {percent} "
        "of the cost. More time for planning may find it."
    ),
    "why.held": (
        "What is already bought stands in these sums at prices that nobody pays, so that as little "
        "of it as possible is used. Suppliers are paid {paid}."
    ),
    "why.checked": (
        "Before the plan was handed over, its pieces, cuts, packs and sums were worked out again "
        "without the program that found it, and agreed."
    ),
    "why.money": "Where the money goes",
    "why.money-text": "Of {payable} to pay: {parts}.",
    "why.part": "{what} {amount}",
    "why.others": "Other ways, and what they would cost",
    "why.others-why": (
        "Each way is this order again with one choice made otherwise and everything else left "
        "free, planned and priced anew."
    ),
    "why.way": "Another way",
    "why.cost": "Cost, {currency}",
    "why.extra": "More than this plan, {currency}",
    "why.outcome": "What came of it",
    "why.priced-proved": "Nothing cheaper exists that way.",
    "why.priced-open": "The best that was found that way.",
    "why.priced-on-paper": "Added up opening by opening; nothing is weighed over the order.",
    "why.same-as-plan": "This plan does so already.",
    "why.not-possible": "Not possible. {obstacles}",
    "why.not-solved-in-time": "Not solved within the time limit.",
    "why.notices": "Before you order",
    "why.buying": "Why it is bought so",
    "why.fasteners": "Fasteners",
    "why.lengths": "Where the strip goes",
    "why.rules": "From openings to pieces, rule by rule",
    "why.cautions": "Cautions",
}
