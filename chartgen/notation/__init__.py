"""The trade's written English, read into instructions.

`words.py` cuts text into words, `rows.py` finds the rows, `parse.py` (with `repeats.py`,
`places.py`, `reach.py`, `counting.py`, `names.py`) reads their bodies into the nodes of `tree.py`.
`grammar.ebnf` is the grammar written out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from chartgen.notation.completed_as import completed_as
from chartgen.notation.cursor import Cursor, Unreadable, missing_sizes
from chartgen.notation.filet import mesh_shown
from chartgen.notation.facing import with_side
from chartgen.notation.last_row import last_row_apart, told_apart
from chartgen.notation.finished_as import as_the_row_before, finished_as
from chartgen.notation.growing import as_grown
from chartgen.notation.like_part import rows_of_part
from chartgen.notation.names import Names, by_every_name, plain
from chartgen.notation.own import own_stitches
from chartgen.notation.parse import Body, RowReader
from chartgen.notation.row_headings import tells_of_strands
from chartgen.notation.rejoined_as import led_by, rejoined_as
from chartgen.notation.row_then_rows import again_apart, left_beside
from chartgen.notation.row_words import how_many
from chartgen.notation.made_here import named_throughout
from chartgen.notation.manner import as_begun
from chartgen.notation.other_side import rows_of_other_side
from chartgen.notation.rows import Header, Line, heads_piece, lines
from chartgen.notation.told_among_rows import without_definitions
from chartgen.notation.stitch_words import MESH_UNDEFINED
from chartgen.notation.tree import Instructions, Item, Join, LikeRow, Note, PartText, RowText, Sign
from chartgen.problems import Problem, Span
from chartgen.read import Document, Part

__all__ = ["Instructions", "parse"]


def parse(document: Document) -> Instructions:
    """Every row of the document as a tree; words that cannot be read become problems."""
    yarns = _yarn_words(document)
    sizes = document.size_count()
    own, problems = own_stitches(document, yarns)
    reader = RowReader(Names(document.terms, own, _part_names(document)), yarns, sizes)
    parts: list[PartText] = []
    made: dict[str, tuple[RowText, ...]] = {}
    for p, piece in enumerate(document.pieces):
        for q, part in enumerate(piece.parts):
            rows, found = _part(reader, part, document, made)
            parts.append(PartText(p, q, part.worked, rows))
            made[plain(str(part.name))] = rows
            made.setdefault(plain(str(piece.name)), rows)
            problems.extend(found)
    return Instructions(tuple(parts), document.terms, own, tuple(_mesh_told_once(problems)), tuple(dict.fromkeys(reader.defined)))


def _mesh_told_once(problems: Sequence[Problem]) -> list[Problem]:
    """Of a filet pattern that defines no block, one message rather than one for every block."""
    first = next((p for p in problems if p.message == MESH_UNDEFINED), None)
    return [p for p in problems if p.message != MESH_UNDEFINED or p is first]


def _part_names(document: Document) -> dict[str, str]:
    names = [str(piece.name) for piece in document.pieces]
    names += [str(part.name) for piece in document.pieces for part in piece.parts]
    return _also_called(document) | by_every_name(names)


_ORDINALS = (("first", "1st"), ("second", "2nd"), ("third", "3rd"), ("fourth", "4th"))


def _also_called(document: Document) -> dict[str, str]:
    """ "first motif" of a pattern whose first motif is named "Large motif": {what it may be called: its name}."""
    pieces = [plain(str(piece.name)) for piece in document.pieces]
    parts = [plain(str(part.name)) for piece in document.pieces for part in piece.parts]
    return {**_by_number(parts), **_by_number(pieces)}


def _by_number(names: Sequence[str]) -> dict[str, str]:
    """Of several names that end in the same word: {"first motif": the first of them}."""
    also: dict[str, str] = {}
    for noun in {name.split()[-1] for name in names if name}:
        alike = [name for name in names if name.split()[-1:] == [noun]]
        for words, name in zip(_ORDINALS, alike if len(alike) > 1 else (), strict=False):
            also |= {f"{word} {noun}": name for word in words}
    return also


def _yarn_words(document: Document) -> dict[str, str]:
    words = {yarn.key.lower(): yarn.key for yarn in document.yarn}
    for yarn in document.yarn:
        words.setdefault(plain(yarn.name), yarn.key) if yarn.name else None
    return words


def _part(
    reader: RowReader, part: Part, document: Document, made: Mapping[str, tuple[RowText, ...]]
) -> tuple[tuple[RowText, ...], list[Problem]]:
    rows: list[RowText] = []
    problems: list[Problem] = []
    named = {str(c.name): c.values for c in document.counts}
    for line in lines(part.words, document.sizes, named):
        try:
            told = rows_of_part(Cursor(line.tokens, reader.sizes), reader.names, made, line.header, rows)
        except Unreadable as fault:
            problems.append(Problem(fault.code, "error", fault.message, fault.span, fault.help))
            told = ()
        if told is None and line.header is None:
            told = rows_of_other_side(Cursor(line.tokens, reader.sizes), made, rows)
        if told is not None:
            rows.extend(told)
            continue
        line, told_names = without_definitions(reader, line)
        reader.defined += told_names
        if told_names and not line.tokens:
            continue
        line, ending = last_row_apart(reader, line)
        line, onward = completed_as(line, reader.names, made, reader.sizes)
        line, later = finished_as(line, reader.names, made, rows, reader.sizes)
        if later.rows and not line.tokens:
            rows.extend(later.rows)
            continue
        line, others = rejoined_as(line, reader.names, made, reader.sizes)
        row, found = _row(reader, line)
        if others:
            rows.extend(led_by(row, others))
            problems.extend(found)
            continue
        reader.mesh = mesh_shown(row.items) or reader.mesh
        row = as_the_row_before(replace(row, items=(*row.items, *onward)), later)
        grown, unclear = as_grown(row, rows)
        begun = [as_begun(one, rows) for one in grown]
        worked, asked = [one for some, _ in begun for one in some], [*unclear, *(p for _, some in begun for p in some)]
        told_here = [one for whole in worked for each in told_apart(whole, ending) for one in again_apart(each, line.tokens)]
        rows[-1:] = left_beside([*rows[-1:], *told_here], line.tokens)
        rows.extend(later.rows)
        problems.extend((*found, *asked))
    return _in_both(rows), problems


def _in_both(rows: list[RowText]) -> tuple[RowText, ...]:
    """Where a part calls some of its rows "Row" and some "Rnd", each is worked as it is called; where
    all are called one thing, the part says how they are worked."""
    mixed = {row.form for row in rows} >= {"rows", "rounds"}
    return tuple(row if mixed else replace(row, form="") for row in rows)


def _form_of(header: Header, items: Sequence[Item]) -> str:
    """ "rows" or "rounds", as the header has it; "" where it is joined, and for a "Next row" or "Last row"
    that nothing turns: after rounds it may be one of them, loosely named."""
    joined = any(isinstance(i, Join) and not i.ring for i in items)
    turned = any(isinstance(i, Sign) and i.what == "turn" for i in items)
    loosely = header.form == "rows" and header.first is None and not header.listed and not turned
    return "" if joined and header.form == "rows" or loosely else header.form


def _row(reader: RowReader, line: Line) -> tuple[RowText, list[Problem]]:
    reader.new_row()
    read = Body([_heading(line)]) if heads_piece(line) or tells_of_strands(line.said or line.tokens) else reader.body(Cursor(line.tokens, reader.sizes))
    sizes = missing_sizes(line.tokens, reader.sizes)
    after = {p.span.end + 1 for p in sizes if p.span}       # "12 (14) sts": "sts" is no fault of its own
    read.problems[:] = [*(p for p in read.problems if not p.span or p.span.start not in after), *sizes]
    header = line.header or Header()
    if header.onward is not None and not any(isinstance(i, LikeRow) and i.goes_on for i in read.items):
        read.problems.append(how_many(header.onward))
    span = _span(line)
    row = RowText(
        first=header.first,
        last=header.last,
        items=tuple(with_side(named_throughout(read.items, read.counts), line.tokens)),
        counts=read.counts,
        span=span,
        header=header.span if line.header else span,
        side=header.side,
        next_rows=header.next_rows,
        listed=header.listed,
        readable=not any(p.severity == "error" for p in read.problems),
        counts_span=read.counts_span,
        counts_at=read.counts_at,
        only_sizes=header.only_sizes,
        label=header.label,
        form=_form_of(header, read.items),
    )
    return row, read.problems


def _heading(line: Line) -> Note:
    return Note(" ".join(t.text for t in line.tokens), Span(line.tokens[0].start, line.tokens[-1].end))


def _span(line: Line) -> Span:
    start = line.header.span.start if line.header else line.tokens[0].start
    end = line.tokens[-1].end if line.tokens else (line.header.span.end if line.header else start)
    return Span(start, end)
