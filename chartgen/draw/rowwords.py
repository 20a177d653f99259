"""Rows in words, for those who read a chart by ear: full names of stitches, rows that are alike told together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from chartgen.fabric import Fabric, Row
from chartgen.stitches import StitchKind, registry
from chartgen.wording.drawn import said, side_spoken, spoken

_FORMS = {"round": "Round", "row": "Row", "ring": "Ring", "foundation": "Foundation"}
_LONGEST_PASS = 4           # rows that take turns


def row_words(fabric: Fabric, row: Row, terms: str) -> str:
    """What a row is: `Round 3 (right side): 36 double crochet`."""
    what = said(_FORMS[row.form])
    if row.form in ("round", "row"):
        return f"{what} {row.number} ({side_spoken(row.side)}): {_worked(fabric, row, terms)}"
    chains = [fabric.stitches[i].kind for i in row.stitches if fabric.stitches[i].kind.is_chain]
    if chains:
        return f"{what}: {_so_many(len(chains), spoken(chains[0], terms, len(chains) > 1))}"
    return f"{what}: {said('adjustable ring')}" if row.form == "ring" else what


def rows_in_words(fabric: Fabric, rows: Sequence[Row], terms: str) -> Iterator[str]:
    """Each row; those with the same stitches one after another once, and so those that take turns."""
    told = [(row.form, _worked(fabric, row, terms)) if row.form in ("round", "row") else None for row in rows]
    at = 0
    while at < len(rows):
        unit, many = _turns(rows, told, at)
        if unit * many > 2:
            yield _together(rows[at], rows[at + unit * many - 1], [one[1] for one in told[at : at + unit] if one])
            at += unit * many
        else:
            yield row_words(fabric, rows[at], terms)
            at += 1


def _turns(rows: Sequence[Row], told: Sequence[tuple[str, str] | None], at: int) -> tuple[int, int]:
    """How many rows from here on take turns, and how often: the shortest pass that says most; (1, 1) where none does."""
    ways = [(unit, _how_often(rows, told, at, unit)) for unit in range(1, _LONGEST_PASS + 1)]
    return max((way for way in ways if way[1] > 1), key=lambda way: (way[0] * way[1] - way[0], -way[0]), default=(1, 1))


def _how_often(rows: Sequence[Row], told: Sequence[tuple[str, str] | None], at: int, unit: int) -> int:
    same = 0
    while at + unit + same < len(rows) and told[at + same] is not None and told[at + same] == told[at + unit + same]:
        if int(rows[at + unit + same].number) != int(rows[at].number) + unit + same:
            break
        same += 1
    return 1 + same // unit


def _together(first: Row, last: Row, worked: Sequence[str]) -> str:
    each = "Rounds {first} to {last}, each: {worked}" if first.form == "round" else "Rows {first} to {last}, each: {worked}"
    turns = "Rounds {first} to {last}, by turns: {worked}" if first.form == "round" else "Rows {first} to {last}, by turns: {worked}"
    listed = worked[0]
    for other in worked[1:]:
        listed = said("{one}, then {other}", one=listed, other=other)
    return said(each if len(worked) == 1 else turns, first=first.number, last=last.number, worked=listed)


def _worked(fabric: Fabric, row: Row, terms: str) -> str:
    """`3 chains, 35 double crochet; 36 stitches`: the sum only where it is not the one number said."""
    kinds = {fabric.stitches[i].kind.code: fabric.stitches[i].kind for i in row.stitches}
    counts = {code: n for code, n in row.counts.items() if n}
    listed = ", ".join(_so_many(n, _name(code, kinds.get(code), terms, n > 1)) for code, n in counts.items())
    stitches = said("{n} stitch" if row.stitch_count == 1 else "{n} stitches", n=row.stitch_count)
    return listed if list(counts.values()) == [row.stitch_count] else f"{listed or said('nothing counted')}; {stitches}"


def _name(code: str, drawn: StitchKind | None, terms: str, many: bool) -> str:
    """The name of a counted stitch, also where a part view leaves it out."""
    kind = drawn or registry().find(code, "US") or registry().find({"slst": "sl st"}.get(code, code), "US")
    return spoken(kind, terms, many) if kind else code


def _so_many(n: int, name: str) -> str:
    """`3 double crochet`; of a name that begins with a number `7 × 2 puntos altos juntos`, which read aloud would be seventy-two."""
    return f"{n} × {name}" if name[:1].isdigit() else f"{n} {name}"


__all__ = ["row_words", "rows_in_words"]
