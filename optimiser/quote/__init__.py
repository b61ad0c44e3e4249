"""The customer's quote: from a plan and terms to prices. See `README.md` for the formulas."""

from optimiser.quote.compare_quotes import compare_quotes
from optimiser.quote.price_plan import price_plan
from optimiser.quote.terms_faults import find_terms_faults

__all__ = ["compare_quotes", "find_terms_faults", "price_plan"]
