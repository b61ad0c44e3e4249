"""Builders: a plan, a quote or a study becomes a publication."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from optimiser.domain.publication import Edition, Publication
from optimiser.domain.quote import Quote
from optimiser.publishing.builders.cut_list import BENCH_CUT_LIST, build_bench_cut_list
from optimiser.publishing.builders.diagrams import CUTTING_DIAGRAMS, build_cutting_diagrams
from optimiser.publishing.builders.inside_quotes import QUOTE_INSIDE, build_inside_quote
from optimiser.publishing.builders.labels import LABELS, build_labels
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.publishing.builders.purchases import PURCHASE_LIST, build_purchase_list
from optimiser.publishing.builders.quotes import QUOTE, build_quote
from optimiser.publishing.builders.reasons import WHY_THIS_PLAN, build_why_this_plan
from optimiser.publishing.builders.site import INSTALL_SHEETS, build_install_sheets
from optimiser.publishing.builders.studies import STUDY, StudyMatter, build_study

BuildOfPlan = Callable[[PlanMatter, Edition], Publication]
BuildOfQuote = Callable[[Quote, Edition], Publication]
BuildOfStudy = Callable[[StudyMatter, Edition], Publication]

DOCUMENTS_OF_PLANS: Final[Mapping[str, BuildOfPlan]] = MappingProxyType(
    {
        PURCHASE_LIST: build_purchase_list,
        WHY_THIS_PLAN: build_why_this_plan,
        CUTTING_DIAGRAMS: build_cutting_diagrams,
        BENCH_CUT_LIST: build_bench_cut_list,
        LABELS: build_labels,
        INSTALL_SHEETS: build_install_sheets,
    }
)
"""What builds each document of a plan, by the document's name."""

DOCUMENTS_OF_QUOTES: Final[Mapping[str, BuildOfQuote]] = MappingProxyType(
    {
        QUOTE: lambda quote, edition: build_quote(quote.customer, edition),
        QUOTE_INSIDE: lambda quote, edition: build_inside_quote(quote.inside, edition),
    }
)
"""What builds each document of a quote; each is handed its own part alone."""

DOCUMENTS_OF_STUDIES: Final[Mapping[str, BuildOfStudy]] = MappingProxyType({STUDY: build_study})
"""What builds each document of a study, by the document's name."""

TELL_ALTERNATIVES: Final = frozenset({WHY_THIS_PLAN})
"""The documents that tell of other ways: the others can do without pricing them."""
