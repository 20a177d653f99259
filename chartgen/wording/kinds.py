"""Kinds of edition: the same pattern for large print, reading aloud, ticking off, testing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from chartgen.fabric import Fabric, Row
from chartgen.measure import Measures
from chartgen.notation.tree import Instructions
from chartgen.problems import Problem
from chartgen.read import Document
from chartgen.read.prose import told_in
from chartgen.sizing.counted import Sized
from chartgen.units import cm_text
from chartgen.wording.aloud import aloud_style, aloud_text, spelled
from chartgen.wording.described import dimensions_said, is_drawn
from chartgen.wording.editions import NoSuchEdition
from chartgen.wording.language import Language
from chartgen.wording.page import Art, Block, Page, Pairs, Paragraph, Rows, Section, Subheading, Table
from chartgen.wording.pattern import write_pattern
from chartgen.wording.rows import Line
from chartgen.wording.settle import settle
from chartgen.wording.speaker import Speaker
from chartgen.wording.style import Style
from chartgen.wording.written_out import written_out


@dataclass(frozen=True)
class Edition:
    """What sets an edition apart.

    Attributes:
        keeps: the sections it has, in order; () for all.
        look: of its HTML.  drawn: it has drawings.
        charts: "" as large as drawn; "large" in large print, on pages; "one" on one page with the words.
        described: charts and schematic are put in words.  one_size: it is for one size.
        aloud: short forms and lists in words.  full: repeats and repeated rows written out.
        each: every row by itself, its repeats kept.
        rows: what is made of the rows.
    """

    keeps: tuple[str, ...] = ()
    look: str = ""
    drawn: bool = True
    charts: str = ""
    described: bool = False
    one_size: bool = False
    aloud: bool = False
    full: bool = False
    each: bool = False
    rows: Callable[[Rows], Rows] = lambda rows: rows
    tests: bool = False


def _ticked(rows: Rows) -> Rows:
    """Each row with a box to tick; one box for each row of a range of rows."""
    return replace(rows, lines=tuple(replace(line, label=f"{'☐' * _worked(line)} {line.label}".strip()) for line in rows.lines))


def _worked(line: Line) -> int:
    if line.first is None or line.last is None:
        return 1
    return max(b - a + 1 for a, b in zip(_all(line.first.values, line.last.values), _all(line.last.values, line.first.values), strict=True))


def _all(values: Sequence[int], like: Sequence[int]) -> Sequence[int]:
    return values if len(values) > 1 else tuple(values) * len(like)


def _counts(rows: Rows) -> Rows:
    """Only the counts: a row number and its stitches."""
    lines = tuple(replace(line, words="") for line in rows.lines if line.counts and line.label)
    return replace(rows, lines=lines, counts_only=True, before="", after="", strong=False)


EDITIONS: dict[str, Edition] = {
    "": Edition(),
    "large": Edition(look="large", charts="large", described=True),
    "aloud": Edition(look="aloud", drawn=False, described=True, aloud=True),
    "full": Edition(one_size=True, full=True),
    "quick": Edition(keeps=("charts", "instructions"), look="quick", charts="one", one_size=True, rows=_counts),
    "ticks": Edition(keeps=("abbreviations", "instructions"), drawn=False, rows=_ticked),
    "rows": Edition(keeps=("instructions",), one_size=True, each=True, drawn=False),
    "testers": Edition(keeps=("materials", "gauge"), drawn=False, tests=True),
}


def edition_named(name: str) -> Edition:
    """Raises NoSuchEdition."""
    if name not in EDITIONS:
        raise NoSuchEdition(f"no edition {name!r}; choose from {', '.join(filter(None, EDITIONS))}")
    return EDITIONS[name]


def size_for(edition: Edition, sizes: Sequence[str], size: int | None) -> int | None:
    """The size to write for. Raises NoSuchEdition where one must be named."""
    if edition.one_size and len(sizes) > 1 and size is None:
        raise NoSuchEdition(f"this edition is for one size; add --size, one of {', '.join(sizes)}")
    return size


def write_edition(
    edition: Edition, document: Document, instructions: Instructions, fabrics: Sequence[Fabric],
    measures: Sequence[Measures], cautions: Sequence[Problem], language: Language, house: Style,
    size: int | None = None, art: Art | None = None, sized: Sized | None = None,
) -> Page:  # fmt: skip
    """The pattern as a page of this edition; see `write_pattern`."""
    words = language.raw["editions"]
    instructions = settle(instructions, fabrics)
    if edition.full or edition.each:
        instructions = written_out(instructions, fabrics, size or 0, edition.full)
    if edition.aloud:
        language, house = spelled(language), aloud_style(house, words, language.raw.get("colon", ": "))
    art = replace(art or Art(), described=edition.described, sheets=edition.charts == "large")
    page = write_pattern(document, instructions, fabrics, measures, cautions, language, house, size, art, sized, settled=True)
    sections = [_section(section, edition) for section in page.sections if not edition.keeps or section.key in edition.keeps]
    if edition.keeps:
        sections.sort(key=lambda s: edition.keeps.index(s.key))
    if edition.tests:
        speaker = Speaker(language, size, house, told=told_in(document.translations, language.code))
        sections += _tests(document, fabrics, measures, speaker, size)
    if edition.aloud:
        sections = [replace(s, blocks=tuple(_said(b, words) for b in s.blocks)) for s in sections if s.key != "abbreviations"]
        page = replace(page, about=tuple(aloud_text(line, words) for line in page.about))
    return replace(page, sections=tuple(sections), look=edition.look)


def _section(section: Section, edition: Edition) -> Section:
    return replace(section, blocks=tuple(edition.rows(b) if isinstance(b, Rows) else b for b in section.blocks))


def _said(block: Block, words: dict[str, str]) -> Block:
    """A block with what a reading program garbles put in words."""
    if isinstance(block, (Paragraph, Subheading)):
        return replace(block, text=aloud_text(block.text, words))
    if isinstance(block, Pairs):
        pairs = tuple((aloud_text(a, words), aloud_text(b, words)) for a, b in block.pairs)
        return replace(block, pairs=pairs, shown=tuple(aloud_text(one, words) for one in block.shown))
    if isinstance(block, Rows):
        lines = tuple(
            replace(
                line, label=aloud_text(line.label[:1].upper() + line.label[1:], words),
                words=aloud_text(line.words, words), counts=aloud_text(line.counts, words),
            )
            for line in block.lines
        )
        return replace(block, lines=lines)
    return block


# ---- for those who test the pattern


def _tests(
    document: Document, fabrics: Sequence[Fabric], measures: Sequence[Measures], speaker: Speaker, size: int | None
) -> Iterator[Section]:
    """What a tester writes down, then expected counts and measurements, one column a size, and
    room for the tester's own."""
    words = speaker.language.raw["editions"]
    sample = words["sample"]
    yield Section("sample", sample["heading"], (Table((), tuple((row, "") for row in sample["rows"])),))
    shown = range(len(fabrics)) if size is None else (size,)
    heads = [speaker.sizes(document.sizes)[i] for i in shown] if document.sizes else [words["expected"]]
    rows = [
        (_part(fabrics[0], *part, speaker), number, *(str(v) if v is not None else "–" for v in values), "")
        for part in sorted({(row.piece, row.part) for i in shown for row in fabrics[i].rows})
        for number, values in _counted([fabrics[i].worked_rows(*part) for i in shown], speaker)
    ]
    yield Section("counts", words["checks"]["rows"], (Table((words["piece"], words["row"], *heads, words["made"]), tuple(rows)),))
    sizes = [{(p.name, name): cm for p in measures[i].pieces if is_drawn(p) for name, cm in dimensions_said(p)} for i in shown]
    cells = [
        (speaker.prose(piece), speaker.dimension(name), *("–" if v is None else speaker.decimal(cm_text(v)) for v in values), "")
        for (piece, name) in dict.fromkeys(key for column in sizes for key in column)
        if (values := [column.get((piece, name)) for column in sizes])
    ]
    if cells:
        yield Section("measurements", f"{words['checks']['measurements']} (cm)",
                      (Table((words["piece"], words["measurement"], *heads, words["made"]), tuple(cells)),))


def _part(fabric: Fabric, piece: int, part: int, speaker: Speaker) -> str:
    info = fabric.pieces[piece]
    named = speaker.prose(info.parts[part].name)
    if len(fabric.pieces) > 1 and len(info.parts) > 1:
        return speaker.page("finished.of", piece=speaker.prose(info.name), name=named)
    return named if len(info.parts) > 1 else speaker.prose(info.name)


def _counted(sizes: Sequence[list[Row]], speaker: Speaker) -> Iterator[tuple[str, list[int | None]]]:
    """The rows of one part, the first of each size side by side, then the next: (their numbers, the
    count of each size). Rows that follow each other with the same counts are one: "2-20 (22, 24)"."""
    together: list[list[list[Row]]] = []
    for at in range(max(map(len, sizes), default=0)):
        now = [rows[at : at + 1] for rows in sizes]
        if together and all(not new or old and old[-1].stitch_count == new[0].stitch_count for old, new in zip(together[-1], now, strict=True)):
            together[-1] = [old + new for old, new in zip(together[-1], now, strict=True)]
        else:
            together.append(now)
    for rows in together:
        yield _numbers(rows, speaker), [some[0].stitch_count if some else None for some in rows]


def _numbers(rows: Sequence[list[Row]], speaker: Speaker) -> str:
    """The numbers of these rows, per size where they differ."""
    said = [f"{some[0].number}-{some[-1].number}" if len(some) > 1 else some[0].number if some else "–" for some in rows]
    there = {one for one in said if one != "–"}
    return there.pop() if len(there) == 1 else Speaker(speaker.language, None, speaker.style).in_sizes(said)
