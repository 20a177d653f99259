"""Pieces, parts and the pattern's own stitches: the places where rows of words stand."""

from __future__ import annotations

from collections.abc import Iterable

from chartgen.problems import Span
from chartgen.read import gauges as gauges_of
from chartgen.read import keys, values
from chartgen.read.document import Block, Gauge, OwnStitch, Part, Piece, Text
from chartgen.read.nodes import Mapping, Node, Scalar, Sequence, block_of, lines_between
from chartgen.read.reading import Reading

_PIECE_EXAMPLE = "- name: Hat"
_PART_EXAMPLE = "- name: Crown"
_MAKE = range(1, 100)


def rows_of_words(reading: Reading, key: Scalar, node: Node) -> Block | None:
    """The rows under `rounds` or `rows`: block text, line by line.

    Rows without `|`, or after `>`, are reported and read all the same.
    """
    if isinstance(node, Scalar):
        return _written_rows(reading, key, node)
    reading.say("R118", f"the rows under `{key.value}` are not marked as block text", key.span,
                f"write `{key.value}: |` and the rows below it, set in")
    return lines_between(node.span, reading.lines) if isinstance(node, Mapping) else None


def _written_rows(reading: Reading, key: Scalar, node: Scalar) -> Block | None:
    if node.spoiled or reading.text(node, key.value) is None:
        return None
    block = block_of(node, reading.lines)
    if node.style == "|" or (block and not node.style and len(block.lines) == 1):
        return block
    what = {">": "`>` runs rows together", "": "these rows are run together into one line"}.get(
        node.style, "quotes run rows together")
    reading.say("R118", what, reading.first_line(node.span),
                f"write `{key.value}: |` and the rows below it, set in")
    if node.style == ">":
        below = reading.lines.start(reading.lines.number(node.span.start) + 1)
        return lines_between(Span(below, node.span.end), reading.lines)
    return block


def own_stitches(reading: Reading, node: Node | None) -> tuple[OwnStitch, ...]:
    mapping = reading.mapping(node, "stitches", "shell: 5 dc in same st")
    made: list[OwnStitch] = []
    for key, value in mapping.entries if mapping else ():
        text = reading.text(value, key.value)
        if text is None or not isinstance(value, Scalar):
            continue
        block = block_of(value, reading.lines)
        if block is None:
            reading.say("R118", f"the words of `{key.value}` do not stand in the file as they "
                        "are read", reading.first_line(value.span),
                        f"write `{key.value}: |` and the words below it, set in")
            continue
        made.append(OwnStitch(Text(key.value, key.span), block))
    return tuple(made)


def gauges(reading: Reading, node: Node | None) -> tuple[Gauge, ...]:
    mapping = reading.mapping(node, "gauge", f"dc: {gauges_of.GAUGE_FORM}")
    made: list[Gauge | None] = []
    for key, value in mapping.entries if mapping else ():
        if isinstance(value, Scalar) and not value.value and gauges_of.is_remark(key.value):
            reading.say("R124", f"a comma within `{{ }}` ends the gauge before `{key.value}`",
                        key.span, "write each gauge on a line of its own, without `{ }`")
        else:
            made.append(gauges_of.gauge(reading, key, value))
    return tuple(gauge for gauge in made if gauge)


def pieces(reading: Reading, node: Node | None) -> tuple[Piece, ...]:
    """All pieces that have a name and at least one part with rows."""
    read = [_piece(reading, item)
            for item in reading.items(node, "pieces", _PIECE_EXAMPLE)]
    found = tuple(piece for piece in read if piece)
    _names_once(reading, (piece.name for piece in found), "two pieces are")
    return found


def written_names(node: Node | None) -> tuple[str, ...] | None:
    """Names of all pieces and parts, readable or not: `Hat`, `Crown`, `Hat / Crown`.

    None when one of them has no name.
    """
    names: list[str] = []
    for item in node.items if isinstance(node, Sequence) else ():
        name = item.get("name") if isinstance(item, Mapping) else None
        if not isinstance(name, Scalar) or not isinstance(item, Mapping) or name.spoiled:
            return None
        parts = item.get("parts")
        inside = written_names(parts) if parts else ()
        if inside is None:
            return None
        words = name.value.strip()
        names += [words, *inside, *(f"{words} / {part}" for part in inside)]
    return tuple(names)


def _names_once(reading: Reading, names: Iterable[Text], what: str) -> None:
    seen: dict[str, Text] = {}
    for name in names:
        first = seen.setdefault(name.value.casefold(), name)
        if first is not name:
            line, _ = reading.source.line_column(first.span.start)
            reading.say("R212", f"{what} named `{name}`; the first is in line {line}", name.span,
                        "give each a name of its own")


def _name(reading: Reading, mapping: Mapping, what: str, example: str) -> Text | None:
    node = mapping.get("name")
    if node is None:
        reading.say("R201", f"{what} has no `name`", reading.first_line(mapping.span),
                    f"write `{example}`")
        return None
    return reading.text(node, "name")


def _piece(reading: Reading, node: Node) -> Piece | None:
    mapping = reading.mapping(node, "a piece", _PIECE_EXAMPLE)
    if mapping is None:
        return None
    reading.known_keys(mapping, keys.PIECE, "a piece")
    name = _name(reading, mapping, "a piece", _PIECE_EXAMPLE)
    if mapping.get("parts") is None:
        reading.say("R201", f"the piece {name or 'here'} has no `parts`",
                    name.span if name else reading.first_line(mapping.span),
                    "write `parts:` and under it `- name: …` with `rounds: |` or `rows: |`")
    read = [_part(reading, item)
            for item in reading.items(mapping.get("parts"), "parts", _PART_EXAMPLE)]
    parts = tuple(part for part in read if part)
    _names_once(reading, (part.name for part in parts), "two parts of this piece are")
    return Piece(name or Text("", mapping.span), parts, _made(reading, mapping)) if parts else None


def _made(reading: Reading, mapping: Mapping) -> int:
    """How many of a piece are made."""
    node = mapping.get("make")
    return (values.whole_number(reading, node, "make", _MAKE, "how many of the piece are made") or 1) if node else 1


def _part(reading: Reading, node: Node) -> Part | None:
    mapping = reading.mapping(node, "a part", _PART_EXAMPLE)
    if mapping is None:
        return None
    reading.known_keys(mapping, keys.PART, "a part")
    name = _name(reading, mapping, "a part", _PART_EXAMPLE)
    gauge = gauges(reading, mapping.get("gauge"))
    key = _worked_key(reading, mapping, name)
    if key is None:
        return None
    words = rows_of_words(reading, key, mapping.get(key.value))
    if words is None:
        return None
    worked = "rounds" if key.value == "rounds" else "rows"
    return Part(name or Text("", mapping.span), worked, words, gauge)


def _worked_key(reading: Reading, mapping: Mapping, name: Text | None) -> Scalar | None:
    """The key `rounds` or `rows`; a part has one of them."""
    rounds, rows = mapping.key("rounds"), mapping.key("rows")
    if rounds and rows:
        reading.say("R214", f"the part {name or 'here'} has both `rounds` and `rows`", rows.span,
                    "keep one; write the other as a part of its own")
    elif not rounds and not rows:
        reading.say("R214", f"the part {name or 'here'} has neither `rounds` nor `rows`",
                    name.span if name else reading.first_line(mapping.span),
                    "write `rounds: |` or `rows: |` and the rows below it, set in")
    return rounds or rows
