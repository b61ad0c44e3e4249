"""Builders: a plan, a quote or a study becomes a publication."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from optimiser.domain.publication import Edition, Publication
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.publishing.builders.purchases import PURCHASE_LIST, build_purchase_list

BuildOfPlan = Callable[[PlanMatter, Edition], Publication]

DOCUMENTS_OF_PLANS: Final[Mapping[str, BuildOfPlan]] = MappingProxyType(
    {
        PURCHASE_LIST: build_purchase_list,
    }
)
"""What builds each document of a plan, by the document's name."""
