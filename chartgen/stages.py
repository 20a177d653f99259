"""What a stage made of a spec, as plain text: the debugger nobody should need."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from fractions import Fraction
from functools import singledispatch
from typing import Any

from chartgen.fabric import Fabric, Place, Row, Stitch
from chartgen.problems import Source, Span
from chartgen.stitches import StitchKind


def as_text(value: Any) -> str:
    """Any stage's value as lines of text, one fact a line, defaults left out."""
    return "\n".join(_lines("", value)) + "\n"


def fabric_text(fabric: Fabric) -> str:
    """A fabric, a row a paragraph: its counts, then each stitch and what it stands on."""
    return "\n".join(line for row in fabric.rows for line in _row_lines(fabric, row)) + "\n"


def layout_text(fabric: Fabric, layout: Any) -> str:
    """A layout, a stitch a line: head, angle and feet in chain lengths, y up."""
    return "\n".join(_placed_line(fabric, layout, stitch) for stitch in fabric.stitches) + "\n"


def name_of(fabric: Fabric, stitch: Stitch) -> str:
    """Row and order of a stitch: `3:12`; of a foundation chain, `0:5`."""
    return f"{fabric.rows[stitch.row].number}:{stitch.n}"


def _row_lines(fabric: Fabric, row: Row) -> Iterator[str]:
    piece = fabric.pieces[row.piece]
    where = f"{piece.name} / {piece.parts[row.part].name}"
    counts = ", ".join(f"{number} {code}" for code, number in row.counts.items())
    size = f" [{fabric.size}]" if fabric.size else ""
    yield f"{where}{size}  {row.form} {row.number}  {row.side}  {row.stitch_count} sts  ({counts})"
    for index in row.stitches:
        stitch = fabric.stitches[index]
        into = " ".join(_place(fabric, place) for place in stitch.feet)
        marks = " ".join(filter(None, (stitch.role, stitch.loop, stitch.colour, stitch.group_name)))
        yield f"  {name_of(fabric, stitch):>8} {stitch.kind.code:<10} {into:<16} {marks}".rstrip()


def _place(fabric: Fabric, place: Place) -> str:
    stitches = [name_of(fabric, fabric.stitches[i]) for i in place.stitches]
    ends = stitches[:1] + stitches[-1:] if len(stitches) > 1 else stitches
    return f"{place.kind} {'-'.join(ends)}".strip()


def _placed_line(fabric: Fabric, layout: Any, stitch: Stitch) -> str:
    x, y = layout.head[stitch.index]
    feet = " ".join(f"({fx:.3f}, {fy:.3f})" for fx, fy in layout.feet[stitch.index])
    angle = float(layout.angle[stitch.index])
    named = f"{name_of(fabric, stitch):>8} {stitch.kind.code:<10}"
    return f"{named} ({x:.3f}, {y:.3f}) {angle:.3f}  {feet}".rstrip()


@singledispatch
def _short(value: object) -> str | None:
    """A value that fits on its line, or None where it needs lines of its own."""
    return None


@_short.register(str)
@_short.register(int)
@_short.register(float)
@_short.register(type(None))
def _(value: object) -> str:
    return repr(value)


@_short.register
def _(value: Fraction) -> str:
    return str(value)


@_short.register
def _(value: Span) -> str:
    return f"characters {value.start}-{value.end}"


@_short.register
def _(value: Source) -> str:
    return value.name


@_short.register
def _(value: StitchKind) -> str:
    return value.id


def _lines(label: str, value: Any, depth: int = 0) -> Iterator[str]:
    indent, head = "  " * depth, f"{label}: " if label else ""
    if (short := _short(value)) is not None:
        yield f"{indent}{head}{short}"
        return
    yield f"{indent}{head}{type(value).__name__ if is_dataclass(value) else ''}".rstrip()
    for name, inner in _inside(value):
        yield from _lines(name, inner, depth + 1)


def _inside(value: Any) -> Iterator[tuple[str, Any]]:
    if is_dataclass(value):
        yield from (
            (f.name, getattr(value, f.name)) for f in fields(value) if not _is_default(f, value)
        )
    elif isinstance(value, Mapping):
        yield from ((str(key), inner) for key, inner in value.items())
    elif isinstance(value, (list, tuple)):
        yield from (("-", inner) for inner in value)
    else:
        yield "", str(value)


def _is_default(field: Field[Any], value: Any) -> bool:
    own = getattr(value, field.name)
    if field.default_factory is not MISSING:
        return bool(own == field.default_factory())
    return field.default is not MISSING and own == field.default
