"""What documents of a plan are built of, and the voice that they speak in."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from optimiser.domain.fit import Calculation, Fit
from optimiser.domain.order import Order
from optimiser.domain.phrases import write_marks
from optimiser.domain.plan import Alternative, Plan
from optimiser.domain.publication import (
    CautionBlock,
    Column,
    ColumnKind,
    Edition,
    LengthsShown,
    PartOf,
)
from optimiser.domain.reasons import Caution, Reason
from optimiser.explain import sentence
from optimiser.explain.document_words import spell, word
from optimiser.publishing.figures import write_amount, write_count, write_length, write_money
from optimiser.rule_sets import RuleSet
from optimiser.units.lengths import LengthUnit


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanMatter:
    """A plan with the order that it is of, and what install sheets show beside it, by mark.

    `rule_sets` are the order's own; `sizes` are net sizes of frame and leaf, `fits` the cuts in
    the leaf.
    """

    plan: Plan
    order: Order
    rule_sets: tuple[RuleSet, ...] = ()
    sizes: Mapping[str, tuple[Calculation, ...]] = field(default_factory=dict)
    fits: Mapping[str, Fit] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Voice:
    """Words and figures in the language and the units of an edition.

    `currency` is that of the money, `unit` that of the order. Sentences that show their
    arithmetic keep to one unit: with both, to the order's.
    """

    edition: Edition
    currency: str
    unit: LengthUnit

    def word(self, key: str, **values: str) -> str:
        """Return a text of `optimiser.explain.document_words`."""
        return word(key, self.edition.language, **values)

    def length(self, length_nm: int) -> str:
        """Return a length in the units of the edition."""
        return write_length(length_nm, self.edition.lengths)

    def count(self, count: int) -> str:
        """Return a whole number with the locale's thousands."""
        return write_count(count, self.edition.language)

    def money(self, amount: Decimal) -> str:
        """Return an amount with its currency."""
        return write_money(amount, self.currency, self.edition.language)

    def amount(self, amount: Decimal) -> str:
        """Return an amount without its currency."""
        return write_amount(amount, self.currency, self.edition.language)

    @property
    def one_unit(self) -> LengthUnit:
        """Return the unit of sentences."""
        match self.edition.lengths:
            case LengthsShown.INCHES:
                return LengthUnit.INCH
            case LengthsShown.MILLIMETRES:
                return LengthUnit.MILLIMETRE
            case LengthsShown.BOTH:
                return self.unit

    def say(self, subject: Reason | Alternative) -> str:
        """Return the sentences of a reason, a notice or an alternative."""
        return sentence(subject, self.one_unit, self.currency)

    def text(self, name: str, key: str) -> Column:
        """Return a column of text, headed by the text of a key."""
        return Column(name=name, heading=self.word(key))

    def counts(self, name: str, key: str) -> Column:
        """Return a column of whole numbers."""
        return Column(name=name, heading=self.word(key), kind=ColumnKind.COUNT)

    def lengths(self, name: str, key: str) -> Column:
        """Return a column of lengths."""
        return Column(name=name, heading=self.word(key), kind=ColumnKind.LENGTH)

    def amounts(self, name: str, key: str) -> Column:
        """Return a column of money, whose heading names the currency."""
        return Column(
            name=name,
            heading=self.word(key, currency=self.currency),
            kind=ColumnKind.MONEY,
            currency=self.currency,
        )


def voice_of(plan: Plan, edition: Edition) -> Voice:
    """Return the voice in which a plan's documents speak to a reader."""
    return Voice(edition=edition, currency=plan.currency, unit=plan.unit)


def list_cautions(
    cautions: Iterable[Caution], heading: str, voice: Voice
) -> Iterator[CautionBlock]:
    """Yield the cautions, with the marks that each applies to; nothing where there are none."""
    told = tuple((_word_caution(caution, voice), caution.source) for caution in cautions)
    if told:
        yield CautionBlock(heading, told)


def _word_caution(caution: Caution, voice: Voice) -> str:
    sentence = spell(caution.sentence, voice.edition.language)
    return f"{write_marks(caution.marks)}: {sentence}" if caution.marks else sentence


def part_of_mark(name: str, key: str, mark: str, voice: Voice) -> PartOf:
    """Return what makes the table of a mark a part of the list of all marks."""
    column = voice.text("mark", "diagrams.mark")
    return PartOf(name=name, caption=voice.word(key), column=column, part=mark)
