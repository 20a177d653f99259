"""Width and height of a row from its line: what stands on it, at real widths."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from chartgen.fabric.fabric import Fabric, Row, Stitch
from chartgen.measure.gauge import GaugeBook, Size, plain
from chartgen.measure.ground import line_of
from chartgen.stitches import StitchKind


@dataclass(frozen=True, slots=True)
class RowSize:
    """One row by gauge.

    Attributes:
        width, height: cm.  widths: cm of each element of the row's line.
        how: "36 sts / 14 sts per 10 cm = 25.71 cm".
        by_pattern: taken from the gauge of a stitch pattern, which holds for lace too, or from the body that
            handles stand out from; its counts say nothing more of it.
    """

    width: Fraction
    height: Fraction
    widths: tuple[Fraction, ...]
    how: str
    up: str
    sts: int
    unit: Fraction
    by_pattern: bool


def stands_as(stitch: Stitch) -> StitchKind:
    """The kind a stitch counts as: a beginning chain what it stands for."""
    return stitch.stands_as or stitch.kind


def dominant(line: Sequence[Stitch]) -> StitchKind | None:
    """The kind that makes the row's height: the one with the most fabric in the row."""
    kinds = Counter(stands_as(s) for s in line)
    tall = {k: n for k, n in kinds.items() if not (k.is_chain or k.is_slip)} or kinds
    order = list(tall)
    return max(
        order,
        key=lambda k: (tall[k] * (k.fabric_height or 0), k.fabric_height or 0, -order.index(k)),
        default=None,
    )


def row_size(fabric: Fabric, row: Row, book: GaugeBook, lace: bool) -> RowSize | None:
    """Width and height of a row; None where no gauge reaches it."""
    line = line_of(fabric, row)
    kind = dominant(line)
    if kind is None:
        return None
    if by_repeat := _by_repeat(line, book):
        return by_repeat
    if lace and (gauge := book.pattern()) and gauge.rows and not gauge.stitches:
        by_motif = book.by_rows(kind, gauge)
        return _plain_size(line, [by_motif] * len(line), by_motif, row, True)
    if lace and (gauge := book.pattern()) and gauge.stitches and gauge.rows:
        unit = gauge.width_cm / gauge.stitches
        size = Size(unit, gauge.height_cm / gauge.rows,
                    f"{plain(gauge.stitches)} sts per {plain(gauge.width_cm)} cm",
                    f"{plain(gauge.rows)} rows per {plain(gauge.height_cm)} cm")
        return _plain_size(line, [size] * len(line), size, row, True)
    size = book.size(kind)
    if size is None:
        return None
    sizes = [_own_size(s, size, book) for s in line]
    return _plain_size(line, sizes, size, row, False)


def _own_size(stitch: Stitch, of_row: Size, book: GaugeBook) -> Size:
    """A stitch at its own width; chains and slip stitches as wide as the row's stitches."""
    kind = stands_as(stitch)
    return of_row if kind.is_chain or kind.is_slip else book.size(kind) or of_row


def _by_repeat(line: Sequence[Stitch], book: GaugeBook) -> RowSize | None:
    """A row of repeats with a gauge of their own: "4 shells and 9 rows = 10 cm"."""
    found = book.repeat({s.group_name for s in line if s.group_name})
    if found is None or not (found[1].stitches and found[1].rows):
        return None
    name, gauge = found
    groups = {s.group for s in line if s.group_name.strip().lower() == name}
    unit = gauge.width_cm / (gauge.stitches or 1)
    width, height = unit * len(groups), gauge.height_cm / (gauge.rows or 1)
    across = f"{plain(gauge.stitches or unit)} per {plain(gauge.width_cm)} cm"
    how = f"{len(groups)} {name} / {across} = {float(width):.2f} cm"
    up = f"{plain(gauge.rows or unit)} rows per {plain(gauge.height_cm)} cm"
    each = width / len(line)
    return RowSize(width, height, (each,) * len(line), how, up, len(groups), unit, True)


def as_below(fabric: Fabric, row: Row, below: RowSize) -> RowSize | None:
    """A row between rows of repeats, which has none itself: as wide as the row it stands on."""
    line = line_of(fabric, row)
    if not (below.by_pattern and line):
        return None
    how = f"as wide as the row below, {float(below.width):.2f} cm"
    return RowSize(below.width, below.height, (below.width / len(line),) * len(line), how, below.up,
                   below.sts, below.unit, True)


def hung(size: RowSize, below: RowSize) -> RowSize:
    """A row whose loops hang free: it takes no more room than the row they hang from."""
    if size.width <= below.width:
        return size
    share = below.width / size.width
    how = f"its loops hang: as wide as the round below, {float(below.width):.2f} cm"
    return replace(size, width=below.width, widths=tuple(w * share for w in size.widths), how=how)


def by_its_body(size: RowSize, below: RowSize) -> RowSize:
    """A round with handles, or one on it: as wide as the body below, which the handles stand out from."""
    share = below.width / size.width
    how = f"with handles: as wide as the round below, {float(below.width):.2f} cm"
    return replace(size, width=below.width, widths=tuple(w * share for w in size.widths), how=how, by_pattern=True)


def _plain_size(
    line: Sequence[Stitch], sizes: Sequence[Size], of_row: Size, row: Row, by_pattern: bool
) -> RowSize:
    widths = [s.width for s in sizes]
    count = row.stitch_count or row.declared or len(line)
    if row.assumed and count > len(line):
        widths += [of_row.width] * (count - len(line))
    even = all(w is of_row.width or w == of_row.width for w in widths)
    width = of_row.width * len(widths) if even else sum(widths, Fraction(0))
    how = _even_how(line, len(widths), of_row, width) if even else _mixed_how(line, widths, width)
    return RowSize(width, of_row.height, tuple(widths), how, of_row.up, len(widths),
                   of_row.width, by_pattern)


def _even_how(line: Sequence[Stitch], count: int, size: Size, width: Fraction) -> str:
    chains = sum(stands_as(s).is_chain for s in line)
    what = f"{count} sts" if not chains else f"({count - chains} sts + {chains} ch)"
    per = f"/ {size.across}" if size.across else f"x {float(size.width):.3f} cm"
    return f"{what} {per} = {float(width):.2f} cm"


def _mixed_how(line: Sequence[Stitch], widths: Sequence[Fraction], total: Fraction) -> str:
    groups = Counter(
        (stands_as(s).code, w) for s, w in zip(line, widths, strict=False)
    )
    terms = (f"{n} {code} x {float(w):.3f}" for (code, w), n in groups.items())
    return f"{' + '.join(terms)} = {float(total):.2f} cm"


def heights_how(rows: Sequence[tuple[Fraction, str]]) -> str:
    """"8 rows / 8 rows per 10 cm = 10.00 cm" for rows given as (height, rows per cm in words).

    Words that begin with "= " are a term as they stand: the length of a row turned on its side.
    """
    groups = Counter(rows)
    terms = [
        up.removeprefix("= ") if up.startswith("= ")
        else f"{n} rows / {up}" if up else f"{n} rows x {float(height):.3f} cm"
        for (height, up), n in groups.items()
    ]
    return f"{' + '.join(terms)} = {float(sum(h for h, _ in rows)):.2f} cm"
