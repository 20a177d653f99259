"""The check report: as one JSON object for programs, as a page of text for people.

Lengths are unrounded in JSON and rounded once, here, in the text.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Any

from chartgen.fabric import Fabric, Row
from chartgen.measure import Kept, Measures
from chartgen.problems import Problem
from chartgen.read import Document
from chartgen.units import in_sizes, inch_text

CAUTION = "S5"          # codes of safety cautions begin with it
WORKED = ("row", "round")


def as_json(
    name: str,
    fabrics: Sequence[Fabric],
    measures: Sequence[Measures],
    problems: Sequence[dict[str, Any]],
) -> dict[str, Any]:
    """One spec's report as `chartgen check --json` prints it.

    Args:
        name: the spec's path as it was given.
        fabrics: one per size; none where the spec could not be read.
        measures: one per fabric in order; empty where counting failed.
        problems: already as JSON values, every size merged.
    """
    sizes = [
        {
            "size": fabric.size,
            "rows": [_row(fabric, row) for row in fabric.rows if row.form in WORKED],
            "measurements": [_measurement(kept) for kept in (measures[i].kept if measures else ())],
        }
        for i, fabric in enumerate(fabrics)
    ]
    return {"spec": name, "ok": not failed(measures, problems), "sizes": sizes, "problems": [*problems]}


def failed(measures: Iterable[Measures], problems: Iterable[dict[str, Any]]) -> bool:
    """Whether a spec has an error or a missed measurement."""
    missed = any(_ok(kept) is False for each in measures for kept in each.kept)
    return missed or any(problem["severity"] == "error" for problem in problems)


def _row(fabric: Fabric, row: Row) -> dict[str, Any]:
    piece = fabric.pieces[row.piece]
    return {
        "piece": piece.name,
        "part": piece.parts[row.part].name,
        "row": row.number,
        "side": row.side,
        "counts": row.counts,
        "stitches": row.stitch_count,
        "declared": row.declared,
        "declared_counts": row.declared_counts,
        "colours": row.colours,
    }


def _measurement(kept: Kept) -> dict[str, Any]:
    return {
        "piece": kept.piece,
        "part": kept.part,
        "name": kept.name,
        "computed_cm": None if kept.computed_cm is None else float(kept.computed_cm),
        "promised_cm": float(kept.promised_cm),
        "tolerance_cm": float(kept.tolerance_cm),
        "ok": _ok(kept),
    }


def _ok(kept: Kept) -> bool | None:
    """Whether a promise is kept; None where it cannot be told, which a warning says."""
    return None if kept.computed_cm is None else kept.ok


def as_text(
    document: Document,
    fabrics: Sequence[Fabric],
    measures: Sequence[Measures],
    cautions: Sequence[Problem],
    arithmetic: Iterable[str] = (),
) -> str:
    """The report as a page of text; numbers of several sizes in the trade's `17 (18, 21)`.

    Args:
        cautions: what `cautions` found, every size merged.
        arithmetic: lines that show how the figures came about, where they are asked for.
    """
    sizes = f", sizes {', '.join(document.sizes)}" if document.sizes else ""
    lines = [f"{document.title}, version {document.version}, {document.terms} terms{sizes}"]
    lines += [line for paragraph in _counts(fabrics, document.terms) for line in ("", *paragraph)]
    lines += _section("Measurements", _verdicts(measures))
    lines += _section("Arithmetic", arithmetic)
    lines += _section("Cautions", map(_caution, cautions))
    return "\n".join(lines) + "\n"


def _section(heading: str, lines: Iterable[str]) -> list[str]:
    inside = [f"  {line}" for line in lines]
    return ["", heading, *inside] if inside else []


@dataclass(frozen=True, slots=True)
class _Line:
    """One row in every size: what it is called, its side, its counts as printed."""

    form: str
    number: str
    side: str
    stitches: str
    counts: str

    def same_work(self) -> tuple[str, str, str]:
        return self.form, self.stitches, self.counts


def _counts(fabrics: Sequence[Fabric], terms: str) -> Iterator[list[str]]:
    """A paragraph for each part: a line for each row, equal neighbours on one line."""
    short = {code: name for fabric in fabrics for code, name in fabric.short_forms(terms).items()}
    for p, piece in enumerate(fabrics[0].pieces if fabrics else ()):
        for q, part in enumerate(piece.parts):
            named = piece.name if piece.name == part.name else f"{piece.name} / {part.name}"
            runs = groupby(_part_lines(fabrics, p, q, short), key=_Line.same_work)
            rows = [_printed(list(run)) for _, run in runs]
            if rows:
                widths = [max(len(row[column]) for row in rows) for column in range(3)]
                yield [named, *(_columns(row, widths) for row in rows)]


def _columns(cells: Sequence[str], widths: Sequence[int]) -> str:
    padded = (cell.ljust(width) for cell, width in zip(cells, widths, strict=False))
    return ("  " + "   ".join([*padded, *cells[len(widths) :]])).rstrip()


def _part_lines(fabrics: Sequence[Fabric], piece: int, part: int, short: Mapping[str, str]) -> Iterator[_Line]:
    by_size = [_by_number(fabric.worked_rows(piece, part)) for fabric in fabrics]
    for key in dict.fromkeys(k for rows in by_size for k in rows):
        yield _line(key[1], [rows.get(key) for rows in by_size], short)


def _by_number(rows: Iterable[Row]) -> dict[tuple[int, str], Row]:
    """The rows under their numbers; a number worked again, for a second side, is another row."""
    found: dict[tuple[int, str], Row] = {}
    side = 0
    for row in rows:
        side += (side, row.number) in found
        found[side, row.number] = row
    return found


def _line(number: str, rows: Sequence[Row | None], short: Mapping[str, str]) -> _Line:
    worked = [row for row in rows if row]
    stitches = in_sizes([str(row.stitch_count) if row else "-" for row in rows])
    codes = dict.fromkeys(code for row in worked for code in row.counts)
    counts = ", ".join(
        f"{in_sizes([str(row.counts.get(code, 0)) if row else '-' for row in rows])} {short.get(code, code)}"
        for code in codes
    )
    return _Line(worked[0].form, number, worked[0].side, stitches, counts)


def _printed(run: Sequence[_Line]) -> tuple[str, str, str, str]:
    first, last = run[0], run[-1]
    word = {"round": "Rnd", "row": "Row"}[first.form]
    named = f"{word} {first.number}" if len(run) == 1 else f"{word}s {first.number}-{last.number}"
    side = first.side if len({line.side for line in run}) == 1 else ""
    return named, side, f"{first.stitches} sts", first.counts


def _verdicts(measures: Sequence[Measures]) -> Iterator[str]:
    """A line for each promised measurement of each size."""
    for each in measures:
        for kept in each.kept:
            where = f"{kept.piece} / {kept.part}" if kept.part else kept.piece
            size = f"{each.size}: " if each.size else ""
            yield f"{size}{where}, {kept.name}: {_verdict(kept)}"


def _verdict(kept: Kept) -> str:
    promised = f"promised {_cm(kept.promised_cm)} cm ± {_cm(kept.tolerance_cm)} cm"
    if kept.computed_cm is None or kept.difference_cm is None:
        return f"not established, {promised}"
    computed = f"{_cm(kept.computed_cm)} cm ({inch_text(Fraction(kept.computed_cm))} in)"
    if kept.ok:
        return f"{computed}, {promised}: kept"
    way = "more" if kept.difference_cm > 0 else "less"
    return f"{computed}, {promised}: MISSED, {_cm(abs(kept.difference_cm))} cm {way}"


def _cm(cm: float | Fraction) -> str:
    """A length of the report, to the millimetre: a verdict near its limit must be seen."""
    return f"{float(cm):.1f}".removesuffix(".0")


def _caution(caution: Problem) -> str:
    sizes = f" ({', '.join(filter(None, (caution.size, *caution.also)))})" if caution.size else ""
    remedy = f"; {caution.help}" if caution.help else ""
    return f"{caution.severity} {caution.code}{sizes}: {caution.message}{remedy}"
