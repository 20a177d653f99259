"""What the fabric shows without a word being said: chain cords, and holes in lace."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from chartgen.checks.mentions import Find
from chartgen.fabric import Fabric, Row
from chartgen.read import Document, Gauge


def findings(document: Document, fabric: Fabric) -> list[Find]:
    """Cords and holes of one size, measured where the pattern gives a gauge."""
    return [*_cords(document, fabric), *_widest_holes(document, fabric)]


def _stitch_width(document: Document, piece: int, part: int) -> float | None:
    """Width of a stitch in mm from the first gauge that counts stitches, or None."""
    gauges: list[Gauge] = [*document.pieces[piece].parts[part].gauge, *document.gauge]
    for gauge in gauges:
        if gauge.stitches:
            return float(gauge.width_cm / gauge.stitches * 10)
    return None


def _length(width: float | None, stitches: int) -> float | None:
    return None if width is None else width * stitches


def _cords(document: Document, fabric: Fabric) -> Iterator[Find]:
    """Parts that are a chain with at most one row on it and nothing worked into them."""
    used = _parts_worked_into(fabric)
    for p, piece in enumerate(fabric.pieces):
        for q, part in enumerate(piece.parts):
            rows = [fabric.rows[r] for r in part.rows]
            if (p, q) in used or not part.begins_anew or not _is_cord(rows):
                continue
            chains = len(rows[0].stitches)
            yield Find(
                "cord",
                f"a chain of {chains}" + (" with one row on it" if rows[1:] else ""),
                f"{piece.name} {part.name}",
                rows[0].words or document.pieces[p].parts[q].name.span,
                _length(_stitch_width(document, p, q), chains),
            )


def _is_cord(rows: list[Row]) -> bool:
    return bool(rows) and rows[0].form == "foundation" and len(rows) <= 2


def _parts_worked_into(fabric: Fabric) -> set[tuple[int, int]]:
    """Parts that another part's stitches stand on."""
    return {
        (below.piece, below.part)
        for stitch in fabric.stitches
        for place in stitch.feet
        for below in (fabric.stitches[i] for i in place.stitches)
        if (below.piece, below.part) != (stitch.piece, stitch.part)
    }


def _widest_holes(document: Document, fabric: Fabric) -> Iterator[Find]:
    """The longest run of chains of each part, as the width of the hole under it."""
    for (p, q), rows in groupby(fabric.rows, key=lambda row: (row.piece, row.part)):
        chains, row = max(((_longest_chain(fabric, r), r) for r in rows), key=lambda found: found[0])
        width = _stitch_width(document, p, q)
        if chains and width is not None:
            name = fabric.pieces[p].parts[q].name
            yield Find("hole", f"ch-{chains} space in {name}", name, row.words, width * chains)


def _longest_chain(fabric: Fabric, row: Row) -> int:
    """Chains of the longest run in a row, beginning chains and foundations left out."""
    if row.form not in ("row", "round"):
        return 0
    along = [fabric.stitches[i] for i in row.line]
    runs = groupby(along, key=lambda s: s.kind.is_chain and not s.role and not s.off_line)
    return max((len(list(run)) for is_chain, run in runs if is_chain), default=0)
