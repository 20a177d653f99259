"""The whole written pattern: settled, said in a language, set in the order of a house style."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric import Fabric
from chartgen.measure import Measures
from chartgen.notation.names import plain
from chartgen.notation.tree import Instructions
from chartgen.problems import Problem
from chartgen.read import Document
from chartgen.read.prose import told_in
from chartgen.wording.language import Language, from_memory
from chartgen.sizing.counted import Sized
from chartgen.wording.page import Art, Page, Section
from chartgen.wording.sections import Sections
from chartgen.wording.settle import settle
from chartgen.wording.speaker import Speaker
from chartgen.wording.style import Style, style

# Written before the others, so that the abbreviations are just those used.
_SPEAKING = ("instructions", "stitches", "gauge", "materials", "notes", "finished", "finishing", "cautions", "equivalents", "schematic", "charts")


def write_pattern(
    document: Document,
    instructions: Instructions,
    fabrics: Sequence[Fabric],
    measures: Sequence[Measures],
    cautions: Sequence[Problem],
    language: Language,
    house: Style | None = None,
    size: int | None = None,
    art: Art = Art(),
    sized: Sized | None = None,
    settled: bool = False,
) -> Page:
    """The pattern as a page.

    Args:
        fabrics, measures: one per size, of a pattern without errors.
        size: index of the one size to write for; None for all.
        art: drawings to stand in their sections.
        sized: the bodies the sizes fit, where the pattern names them.
        settled: the instructions are settled already.
    """
    house = house or style()
    told = told_in(document.translations, language.code)
    speaker = Speaker(language, size, house, part_names(document), part_forms(document), told=told)
    instructions = instructions if settled else settle(instructions, fabrics)
    sections = Sections(speaker, document, instructions, fabrics, measures, cautions, art, sized)
    written = {key: sections.named(key) for key in (*_SPEAKING, "abbreviations")}
    headings = language.raw["page"]["headings"]
    order = [*house.sections, "equivalents"]
    return Page(
        language.code,
        speaker.prose(document.title),
        sections.about(),
        tuple(Section(key, headings[key], written[key]) for key in order if written[key]),
        tuple(speaker.missing),
        tuple((t.short, t.name) for t in from_memory(speaker.used.values()) if t.name or not language.terms),
        colon=language.raw.get("colon", ": "),
    )


def part_names(document: Document) -> dict[str, str]:
    """The names of parts, by their plain form."""
    return {plain(str(p.name)): str(p.name) for piece in document.pieces for p in piece.parts}


def part_forms(document: Document) -> dict[str, str]:
    """Whether parts are worked in rows or rounds, by the plain form of their names."""
    return {plain(str(p.name)): p.worked for piece in document.pieces for p in piece.parts}
