"""How each figure came about, a line each, for `check --arithmetic`."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from chartgen.measure.measures import Joined, Kept, Measures, PieceMeasures, Revolution, Round


def arithmetic(measures: Measures) -> list[str]:
    """Every figure of `measures` with its arithmetic, in the order of the pieces.

    Example line: "Base: depth: 3 rows / 8 rows per 10 cm = 3.75 cm"; with sizes, the size
    stands before it.
    """
    lines = list(measures.notes)
    for piece in measures.pieces:
        lines += _piece(piece)
    lines += [_kept(kept) for kept in measures.kept]
    lines += [_joined(joined) for joined in measures.joined]
    return lines if measures.size is None else [f"{measures.size}: {line}" for line in lines]


def _piece(piece: PieceMeasures) -> Iterator[str]:
    for dimension in piece.dimensions:
        yield f"{piece.name}: {dimension.name}: {dimension.how}"
    for name, why in piece.unknown:
        yield f"{piece.name}: {name}: not established; {why}"
    for part in piece.parts if len(piece.parts) > 1 else ():
        for dimension in part.dimensions:
            yield f"{piece.name} / {part.name}: {dimension.name}: {dimension.how}"
    for figure in piece.figures:
        if isinstance(figure, Revolution):
            yield from (f"{piece.name}: {line}" for line in _rounds(figure))


def _rounds(figure: Revolution) -> Iterator[str]:
    """A line for each round of a disc, and one for each run of rounds of a body that are alike."""
    for _, alike in groupby(figure.rounds, key=lambda r: (r.part, r.how, r.verdict) if r.flat_ratio is None else r.row):
        rounds = list(alike)
        yield _lies(rounds[0], "" if len(rounds) == 1 else rounds[-1].number)


def _lies(r: Round, to: str = "") -> str:
    """One round, or several alike: the perimeter against what would lie flat."""
    if r.flat_ratio is None:
        return f"round{'s' if to else ''} {r.number}{f'-{to}' if to else ''}: {r.how}; {r.verdict}"
    flat = float(r.perimeter_cm) / r.flat_ratio
    return (f"round {r.number}: {r.how}; {flat:.2f} cm ({r.flat_count} sts) would lie flat; "
            f"{r.flat_ratio:.2f}, {r.verdict}")


def _kept(kept: Kept) -> str:
    whose = f"{kept.piece} / {kept.part}" if kept.part else kept.piece
    if kept.computed_cm is None:
        return f"{whose}: {kept.name}: {kept.promised_cm:g} cm promised; not computed"
    verdict = "kept" if kept.ok else "missed"
    return (f"{whose}: {kept.name}: {kept.computed_cm:.2f} cm computed, {kept.promised_cm:g} cm "
            f"promised, {kept.difference_cm:+.2f} cm, {kept.tolerance_cm:g} cm allowed: {verdict}")


def _joined(joined: Joined) -> str:
    verdict = "meet" if joined.ok else "do not meet"
    return (f"joined: {joined.one} {joined.one_cm:.2f} cm, {joined.other} {joined.other_cm:.2f} cm, "
            f"{joined.one_cm - joined.other_cm:+.2f} cm, {joined.allowed_cm:.2g} cm allowed: they {verdict} ({joined.how})")
