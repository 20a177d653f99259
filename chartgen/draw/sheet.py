"""What a sheet needs beside its figures: its symbols, its heading and its small print."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.draw.drawing import Group, Item, Label, Stitch, Symbol, UseSymbol
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import text_width
from chartgen.draw.symbols import symbol
from chartgen.problems import Problem
from chartgen.read.document import Document
from chartgen.sizing.report import phrases_of_marks
from chartgen.wording.drawn import dimension, said, terms_said, told, warned

TITLE = 5.0             # mm
SUBTITLE = 3.2
MARK = "▸ "             # before each thing said in small type
SMALL = 2.5
LINE_SPACING = 1.45
_FOR_MAKERS = ("M401", "M403", "M407")


def symbols_of(items: Sequence[Item]) -> tuple[Symbol, ...]:
    """Definitions of the symbols used anywhere in `items`, in the order of their names."""
    return tuple(symbol(name) for name in sorted(used_symbols(items)))


def used_symbols(items: Sequence[Item]) -> set[str]:
    """Names of the symbols used anywhere in `items`."""
    names: set[str] = set()
    for item in items:
        if isinstance(item, Stitch):
            names.update(mark.name for mark in item.marks if isinstance(mark, UseSymbol))
        elif isinstance(item, UseSymbol):
            names.add(item.name)
        elif isinstance(item, Group):
            names |= used_symbols(item.children)
    return names


def heading(document: Document, size: str | None, extra: Sequence[str], left: float, top: float) -> tuple[Group, float, float]:
    """Title block with version, size and terms; returns it, its height and its width."""
    title, facts = told(document.title), [said("version {version}", version=document.version)]
    if size is not None:
        facts.append(said("size {size}", size=told(size)))
    facts += [terms_said(document.terms), *extra]
    under = " · ".join(facts)
    labels = (
        Label(title, left, top + TITLE * 0.8, TITLE, ink=TEXT, weight="bold", classes="title"),
        Label(under, left, top + TITLE * 0.8 + SUBTITLE * 1.7, SUBTITLE, ink=TEXT, classes="subtitle"),
    )
    width = max(text_width(title, TITLE, True), text_width(under, SUBTITLE))
    return Group(labels, id="layer.title"), TITLE * 0.8 + SUBTITLE * 1.7 + 5, width


def piece_title(document: Document, name: str) -> str:
    """The name of a piece, and how often it is made where the document says more than once."""
    often = next((piece.make for piece in document.pieces if str(piece.name) == name), 1)
    return said("{piece} (make {n})", piece=told(name), n=often) if often > 1 else told(name)


def wrapped(text: str, size: float, width: float, bold: bool = False) -> list[str]:
    """`text` broken into lines no wider than `width` mm."""
    lines = [""]
    for word in text.split():
        trial = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(trial, size, bold) > width:
            lines.append(word)
        else:
            lines[-1] = trial
    return lines


def sizes_marked(document: Document, size: str | None) -> list[str]:
    """What a drawing says of its sizes, of the one size it is of or of all."""
    return [
        said(phrase, **{**fields, "measure": dimension(fields.get("measure", ""))})
        for phrase, fields in phrases_of_marks(document, size)
    ]


def _warned(problem: Problem) -> str:
    message, help = warned(problem)
    return f"{message}; {help}" if help else message


def for_makers(problem: Problem) -> bool:
    """Cautions, missed promises and edges that do not meet; the rest is for the designer, in the check report."""
    return problem.code.startswith("S5") or problem.code in _FOR_MAKERS


def small_print(
    problems: Sequence[Problem], left: float, top: float, width: float, said: Sequence[str] = ()
) -> tuple[Group, float]:
    """What is said of the sizes, cautions and missed measurements in small type, a mark before each."""
    labels: list[Label] = []
    y = top
    for text in (*said, *map(_warned, problems)):
        for i, words in enumerate(wrapped(MARK + text, SMALL, width)):
            y += SMALL * LINE_SPACING
            labels.append(Label(words, left + (0 if not i else 2.2), y, SMALL, ink=TEXT, classes="caution"))
    return Group(tuple(labels), id="layer.cautions"), y - top
