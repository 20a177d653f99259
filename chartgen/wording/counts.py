"""The counts at a row's end, proven by the fabric: one number per size."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from chartgen.fabric import Fabric, Row
from chartgen.fabric.edge import answers_to, kind_of, runs
from chartgen.fabric.finishing import is_counted
from chartgen.notation.names import is_called
from chartgen.notation.tree import Count, Number, RowText
from chartgen.stitches import StitchKind

Worked = Sequence[list[Row]]


def row_counts(
    text: RowText, worked: Worked, fabrics: Sequence[Fabric], model: Sequence[Count] = ()
) -> tuple[tuple[Count, ...], int | None]:
    """What a row's words count at its end, and the row that is said for (0: the last of several).

    Args:
        worked: per size, the rows the words made; empty for a size that does not work them.
        model: the counts of the row these words repeat, if they repeat one.

    The designer's choice of what to count is kept, with the fabric's numbers; a row that
    counts nothing is counted like the row it repeats, or gets its kinds of stitch and its
    chain spaces.
    """
    rows = [_counted_row(text, made) for made in worked]
    made = [(row, fabric) for row, fabric in zip(rows, fabrics, strict=True) if row is not None]
    if not made:
        return text.counts, text.counts_at
    known = [c for c in model if all(_found(c, row, fabric) for row, fabric in made)]
    counts = text.counts or (known if len(known) == len(model) else ()) or tuple(_own_counts(*made[0]))
    said = tuple(replace(c, n=_per_size(c, rows, fabrics)) for c in counts)
    return said, text.counts_at or _at(worked, fabrics)


def _counted_row(text: RowText, made: list[Row]) -> Row | None:
    wanted = str(text.counts_at) if text.counts_at else None
    return next((r for r in made if r.number == wanted), made[-1] if made else None)


def _at(worked: Worked, fabrics: Sequence[Fabric]) -> int | None:
    """The row a range's counts are for, where its rows differ; 0 where its end is not one number."""
    differ = any(len({row.stitch_count for row in made}) > 1 for made in worked)
    ends = {made[-1].number for made in worked if made}
    if not differ:
        return None
    return int(ends.pop()) if len(ends) == 1 else 0


def _per_size(count: Count, rows: Sequence[Row | None], fabrics: Sequence[Fabric]) -> Number:
    """The fabric's number for each size; 0 for a size that does not work the row."""
    values = [
        None if row is None else _proven(count, row, fabric, size)
        for size, (row, fabric) in enumerate(zip(rows, fabrics, strict=True))
    ]
    there = {v for v in values if v is not None}
    if len(there) == 1:
        return Number((there.pop(),))
    return Number(tuple(v or 0 for v in values))


def _proven(count: Count, row: Row, fabric: Fabric, size: int) -> int:
    """The number in the fabric; the written one where the fabric has no measure of it."""
    said = count.n.of(size)
    found = _found(count, row, fabric, said)
    return said if found is None else found


def _found(count: Count, row: Row, fabric: Fabric, said: int = -1) -> int | None:
    if count.what == "sts":
        return row.stitch_count
    if count.what == "stitch" and count.stitch is not None:
        return _kind(count.stitch, row, fabric, said)
    if count.what == "space" and count.size is not None:
        every = runs(fabric.stitches, row.line, 0, len(row.line))
        found = [sum(last - first == count.size for first, last in each) for each in (every, _spaces(row, fabric))]
        return found[0] if found[0] == said else found[1]
    if count.what == "group" and count.stitch is None:
        return _groups(count.name, row, fabric) or None
    return None


def _groups(name: str, row: Row, fabric: Fabric) -> int:
    """Groups of that name in the row: shells, the beginning shell with them, picots."""
    made = (fabric.stitches[i] for i in row.stitches)
    return len({s.group for s in made if s.group is not None and is_called(s.group_name, name)})


def _kind(kind: StitchKind, row: Row, fabric: Fabric, said: int) -> int:
    kinds = list(_counted(row, fabric))
    exact = sum(k.code == kind.code for k, _ in kinds)
    return exact if exact == said else sum(answers for _, answers in _answering(kind, row, fabric))


def _answering(kind: StitchKind, row: Row, fabric: Fabric) -> Iterable[tuple[StitchKind, bool]]:
    for found, index in _counted(row, fabric):
        yield found, answers_to(fabric.stitches[index], kind)


def _counted(row: Row, fabric: Fabric) -> Iterable[tuple[StitchKind, int]]:
    """Each stitch that adds one to the row, as what it is for the next row: (kind, index)."""
    for index in dict.fromkeys((*row.stitches, *row.line)):
        stitch = fabric.stitches[index]
        if stitch.counts_in == row.index or index in row.stitches and is_counted(stitch):
            yield kind_of(stitch), index


def _spaces(row: Row, fabric: Fabric) -> list[tuple[int, int]]:
    """Chain spaces on the row's line; a beginning chain that does not count is none."""
    begin = [i for i in row.line if fabric.stitches[i].role == "begin" or i not in row.stitches]
    counts = any(fabric.stitches[i].counts_in == row.index for i in begin)
    line = row.line if counts else [i for i in row.line if i not in begin]
    return list(runs(fabric.stitches, line, 0, len(line)))


def _own_counts(row: Row, fabric: Fabric) -> Iterable[Count]:
    """For a row without written counts: its kinds of stitch, then its chain spaces by size.

    Numbers are filled in later; those here are the first size's."""
    kinds: dict[str, tuple[StitchKind, int]] = {}
    for kind, _ in _counted(row, fabric):
        if not (kind.is_slip or kind.is_chain):
            kinds[kind.code] = (kind, kinds.get(kind.code, (kind, 0))[1] + 1)
    yield from (Count(Number((n,)), "stitch", kind) for kind, n in kinds.values())
    sizes = [last - first for first, last in _spaces(row, fabric)]
    yield from (Count(Number((sizes.count(size),)), "space", size=size) for size in sorted(set(sizes)))
