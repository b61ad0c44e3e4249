"""The words of the purchase list."""

from typing import Final

WORDS_OF_PURCHASES: Final[dict[str, str]] = {
    "purchases.title": "Purchase list",
    "purchases.from-supplier": "Order from {supplier}",
    "purchases.quantity": "Qty",
    "purchases.sku": "SKU",
    "purchases.what": "What",
    "purchases.each": "Each, {currency}",
    "purchases.amount": "Amount, {currency}",
    "purchases.goods": "Goods",
    "purchases.goods-weighing": "Goods, {mass}",
    "purchases.freight": "Freight",
    "purchases.freight-free": "Freight, free from {threshold} of goods on",
    "purchases.over-length": "Surcharge, longer than {length}",
    "purchases.to-pay": "To pay",
    "purchases.least-order": "{supplier} takes orders of {least} of goods or more.",
    "purchases.nothing": "Nothing is to be ordered.",
    "purchases.together": "What is to pay",
    "purchases.supplier": "Supplier",
    "purchases.total-to-pay": "Total to pay",
    "purchases.held": "Already bought",
    "purchases.held-why": (
        "In the shop or on order since the order was accepted: take it, and do not order it again."
    ),
    "purchases.rack": "From the rack",
    "purchases.rack-why": (
        "Already in the shop, so nobody is paid for it. The plan weighs its value against what "
        "would have to be bought instead."
    ),
    "purchases.value": "Value each, {currency}",
    "purchases.offcut": "Offcut {id}, {length}, {material}",
    "purchases.on-hand": "{fasteners} on hand",
    "purchases.on-hand-in": "{fasteners} in {finish} on hand",
    "purchases.total-value": "Value in all",
    "purchases.account": "What the cost is made of",
    "purchases.account-why": (
        "Suppliers are paid {payable}. The rest is weighed beside it when plans are compared, and "
        "no supplier asks for it."
    ),
    "purchases.for-what": "For what",
    "purchases.paid": "Paid, {currency}",
    "purchases.weighed": "Weighed, {currency}",
    "purchases.sums": "Sums",
    "purchases.cost": "The cost that plans are compared by, paid and weighed together: {cost}.",
    "purchases.notices": "Before you order",
    "account.stock-length": "Stock lengths",
    "account.kit": "Kits made to measure",
    "account.fastener-pack": "Loose packs",
    "account.standard-kit": "Standard kits",
    "account.freight": "Freight",
    "account.over-length": "Surcharge for length",
    "account.cut-charge": "Cutting",
    "account.splice": "Splices",
    "account.rack": "Used from the rack",
    "account.drop-credit": "Credit for drops that are kept",
    "account.held": "Already bought, so that the least of it is used",
    "account.preference": "Preference against substitutions",
}
