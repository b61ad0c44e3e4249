"""Install sheets: for each mark its pieces, where fasteners stand, the work, the cautions."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from optimiser.documents import write_install_sheets
from optimiser.domain.documents import (
    HOW_FASTENERS_STAND,
    FastenersOnSite,
    InstallPiece,
    InstallSheet,
    SplicedPieces,
)
from optimiser.domain.fit import Fit
from optimiser.domain.phrases import plural, write_count
from optimiser.domain.publication import (
    Block,
    Bullets,
    Edition,
    Heading,
    Paragraph,
    Publication,
    Table,
)
from optimiser.domain.trimming import TrimLine
from optimiser.explain import applicable_cautions
from optimiser.explain.document_words import spell
from optimiser.explain.wording import capital
from optimiser.publishing.builders.cut_list import name_openings
from optimiser.publishing.builders.matter import (
    PlanMatter,
    Voice,
    list_cautions,
    part_of_mark,
    voice_of,
)
from optimiser.render import mark_position
from optimiser.render.fit_text import (
    MAKER_FIRST,
    list_calculations,
    word_calculation,
    word_clearance,
    word_cuts,
)
from optimiser.render.openings import word_supply
from optimiser.takeoff import take_off

INSTALL_SHEETS = "install-sheets"


def build_install_sheets(matter: PlanMatter, edition: Edition) -> Publication:
    """Return a sheet for each mark of a plan, each on a page of its own."""
    voice = voice_of(matter.plan, edition)
    takeoff = take_off(matter.order, rule_sets=matter.rule_sets)
    sheets = write_install_sheets(
        takeoff,
        applicable_cautions(takeoff),
        fits=matter.fits,
        sizes=matter.sizes,
        rule_sets=matter.rule_sets,
        splices=matter.order.policy.splices,
        plan=matter.plan,
    )
    return Publication(
        kind=INSTALL_SHEETS,
        title=voice.word("site.title"),
        subtitle=matter.plan.reference,
        blocks=tuple(
            block
            for number, sheet in enumerate(sheets, 1)
            for block in _write_sheet(number, sheet, voice)
        ),
        edition=edition,
    )


def _write_sheet(number: int, sheet: InstallSheet, voice: Voice) -> Iterator[Block]:
    yield Heading(2, name_openings(sheet.opening, voice), new_page=number > 1)
    # They are of this mark: it need not be named again.
    cautions = (replace(caution, marks=()) for caution in sheet.cautions)
    yield from list_cautions(cautions, voice.word("site.cautions"), voice)
    if sheet.notices:
        yield Heading(3, voice.word("site.know-first"))
        yield Bullets(tuple(voice.say(notice) for notice in sheet.notices))
    if sheet.sizes:
        yield _list_sizes(number, sheet, voice)
    yield Heading(3, voice.word("site.comes"))
    yield Bullets(tuple(_word_supplies(sheet, voice)))
    yield Heading(3, voice.word("site.pieces"))
    yield _list_pieces(number, sheet, voice)
    yield Bullets(tuple(_word_rules(sheet.pieces, voice)))
    if sheet.fasteners:
        yield Heading(3, voice.word("site.where"))
        yield Paragraph(spell(HOW_FASTENERS_STAND[0], voice.edition.language))
        yield Bullets(tuple(_word_places(sheet, voice)))
        yield Bullets(tuple(_word_count(counted, voice) for counted in sheet.fasteners))
    if sheet.fit is not None:
        yield from _write_fit(sheet.fit, voice)
    yield Heading(3, voice.word("site.steps"))
    yield Bullets(
        tuple(
            voice.word("site.step", statement=statement, source=source)
            for statement, source in sheet.steps
        ),
        numbered=True,
    )


def _write_fit(fit: Fit, voice: Voice) -> Iterator[Block]:
    """Yield what is cut into the leaf, which clearances hold, and how it was worked out."""
    yield Heading(3, voice.word("site.cuts"))
    yield Paragraph(MAKER_FIRST)
    yield Bullets(tuple(word_cuts(fit, voice.one_unit)))
    if fit.checks:
        yield Heading(3, voice.word("site.clearances"))
        yield Bullets(tuple(word_clearance(check, voice.one_unit) for check in fit.checks))
    yield Heading(3, voice.word("site.working"))
    yield Bullets(tuple(word_calculation(each, voice.one_unit) for each in list_calculations(fit)))


def _list_sizes(number: int, sheet: InstallSheet, voice: Voice) -> Table:
    return Table(
        name=f"sizes-{number}",
        caption=voice.word("site.sizes", mark=sheet.opening.mark),
        columns=(voice.text("size", "site.size"), voice.lengths("length", "site.length")),
        rows=tuple((capital(size.what), size.length_nm) for size in sheet.sizes),
        part_of=part_of_mark("sizes", "site.all-sizes", sheet.opening.mark, voice),
    )


def _word_supplies(sheet: InstallSheet, voice: Voice) -> Iterator[str]:
    """Yield how the plan supplies the mark, and what is trimmed of standard kits."""
    materials = dict(sheet.kit_materials)
    for supply in sheet.supplies:
        yield capital(word_supply(supply, materials, name_material=len(sheet.supplies) > 1))
    for trim in sheet.trim_list:
        yield _word_trim(trim, voice)


def _word_trim(trim: TrimLine, voice: Voice) -> str:
    return voice.word(
        "site.trim-not" if trim.held_nm == trim.length_nm else "site.trim",
        pieces=voice.count(trim.pieces),
        label=trim.label,
        held=voice.length(trim.held_nm),
        sku=trim.sku,
        length=voice.length(trim.length_nm),
    )


def _list_pieces(number: int, sheet: InstallSheet, voice: Voice) -> Table:
    return Table(
        name=f"pieces-{number}",
        caption=voice.word("site.pieces-of", mark=sheet.opening.mark),
        columns=(
            voice.text("edge", "site.edge"),
            voice.text("member", "site.member"),
            voice.text("lies-on", "site.lies-on"),
            voice.counts("pieces", "site.count"),
            voice.lengths("length", "site.length"),
            voice.counts("fasteners", "site.fasteners"),
        ),
        rows=tuple(
            (
                _edge(piece),
                piece.member,
                piece.lies_on.replace("-", " "),
                piece.count,
                piece.length_nm,
                len(piece.positions_nm) or None,
            )
            for piece in sheet.pieces
        ),
        part_of=part_of_mark("pieces", "site.all-pieces", sheet.opening.mark, voice),
    )


def _edge(piece: InstallPiece) -> str:
    return capital(piece.edge.replace("-", " "))


def _word_rules(pieces: Iterable[InstallPiece], voice: Voice) -> Iterator[str]:
    """Yield what the rules say of the pieces, each sentence once."""
    told = dict.fromkeys((_edge(piece), piece.member, piece.statement) for piece in pieces)
    for edge, member, statement in told:
        yield voice.word("site.rule", edge=edge, member=member, statement=statement)


def _word_places(sheet: InstallSheet, voice: Voice) -> Iterator[str]:
    for piece in sheet.pieces:
        wanted = piece.count * sheet.opening.quantity
        if piece.positions_nm and wanted > sum(spliced.pieces for spliced in piece.spliced):
            yield voice.word(
                "site.positions",
                edge=_edge(piece),
                member=piece.member,
                length=voice.length(piece.length_nm),
                count=write_count(len(piece.positions_nm), piece.fastener or ""),
                spacing=voice.length(piece.spacing_nm),
                unit=voice.word(f"site.{voice.one_unit}"),
                places=_list_places(piece.positions_nm, voice),
            )
        for spliced in piece.spliced:
            yield from _word_spliced(piece, spliced, wanted, voice)


def _word_spliced(
    piece: InstallPiece, spliced: SplicedPieces, wanted: int, voice: Voice
) -> Iterator[str]:
    yield voice.word(
        "site.spliced" if spliced.pieces < wanted else "site.all-spliced",
        edge=_edge(piece),
        member=piece.member,
        pieces=voice.count(spliced.pieces),
        all=voice.count(wanted),
        segments=" + ".join(
            voice.word("site.segment", length=voice.length(length_nm), end=end)
            for length_nm, end in zip(spliced.segments_nm, spliced.ends, strict=True)
        ),
    )
    if spliced.positions_nm:
        yield voice.word(
            "site.spliced-positions",
            edge=_edge(piece),
            member=piece.member,
            count=write_count(len(spliced.positions_nm), piece.fastener or ""),
            unit=voice.word(f"site.{voice.one_unit}"),
            end=spliced.ends[0],
            places=_list_places(spliced.positions_nm, voice),
        )


def _list_places(positions_nm: Iterable[int], voice: Voice) -> str:
    return ", ".join(mark_position(nm, voice.one_unit) for nm in positions_nm)


def _word_count(counted: FastenersOnSite, voice: Voice) -> str:
    """Return both counts of a type, and what to do where the positions take more."""
    words = [
        voice.word(
            "site.counted",
            fasteners=capital(plural(counted.fastener)),
            positions=voice.count(counted.at_positions),
            running=voice.count(counted.by_running_length),
        )
    ]
    if counted.at_joints:
        words.append(voice.word("site.at-joints", more=voice.count(counted.at_joints)))
    more = counted.at_positions - counted.by_running_length
    if more > 0:
        words.append(voice.word("site.lacking", more=voice.count(more)))
    return " ".join(words)
