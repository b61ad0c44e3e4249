"""What is kept in versions: catalogues, rule sets of one's own, profiles."""

from dataclasses import dataclass

from service.mapping.stored import (
    FindFaults,
    find_catalogue_faults,
    find_profile_faults,
    find_rule_set_faults,
)
from service.store.documents import DocumentKind
from service.wire import stored as wire
from service.wire.base import WireModel


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One kind of what is kept: where, under which words, in which models.

    `thing` and `things` go into sentences, `operation` and `operations` into identifiers;
    `in_tables` is whether it comes and goes as tables, too.
    """

    kind: DocumentKind
    path: str
    thing: str
    things: str
    operation: str
    operations: str
    new: type[WireModel]
    new_version: type[WireModel]
    version: type[WireModel]
    find_faults: FindFaults
    example: str
    in_tables: bool = False

    @property
    def tag(self) -> str:
        """Return the name of the group in the contract."""
        return self.path.rpartition("/")[2].replace("-", " ")


CATALOGUES = Kept(
    kind=DocumentKind.CATALOGUE,
    path="/v1/catalogues",
    thing="catalogue",
    things="catalogues",
    operation="Catalogue",
    operations="Catalogues",
    new=wire.NewCatalogue,
    new_version=wire.NewCatalogueVersion,
    version=wire.CatalogueVersion,
    find_faults=find_catalogue_faults,
    example="larkmoor-catalogue",
    in_tables=True,
)

KEPT = (
    CATALOGUES,
    Kept(
        kind=DocumentKind.RULE_SET,
        path="/v1/own-rule-sets",
        thing="rule set of one's own",
        things="rule sets of one's own",
        operation="OwnRuleSet",
        operations="OwnRuleSets",
        new=wire.NewRuleSet,
        new_version=wire.NewRuleSetVersion,
        version=wire.RuleSetVersion,
        find_faults=find_rule_set_faults,
        example="harbour-row-rule-set",
    ),
    Kept(
        kind=DocumentKind.PROFILE,
        path="/v1/profiles",
        thing="profile",
        things="profiles",
        operation="Profile",
        operations="Profiles",
        new=wire.NewProfile,
        new_version=wire.NewProfileVersion,
        version=wire.ProfileVersion,
        find_faults=find_profile_faults,
        example="harbour-row-profile",
    ),
)
