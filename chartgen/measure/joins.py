"""Edges that are joined, compared in length: what meets must be of one length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chartgen.measure.edges import Edge, edges
from chartgen.measure.measures import Joined, Outline, PieceMeasures, Revolution
from chartgen.problems import Problem, near
from chartgen.read.document import Document, EdgeName, Join

_SHARE, _LEAST = 0.03, 0.5
"""Allowed where nothing is said: 3 %, at least 0.5 cm, as for promises (no published one was found)."""


@dataclass(frozen=True, slots=True)
class _Found:
    cm: float
    how: str


def joined(
    document: Document, pieces: Sequence[PieceMeasures]
) -> tuple[tuple[Joined, ...], tuple[Problem, ...]]:
    """Every join compared, with a finding for each that does not meet or cannot be told."""
    made, problems = [], []
    for join in document.joins:
        one, other = ([_found(name, pieces) for name in side] for side in (join.one, join.other))
        if None in one or None in other:
            problems += [_untold(join, name, pieces) for name, found in
                         zip((*join.one, *join.other), (*one, *other), strict=True) if found is None]
            continue
        result = _compared(join, [f for f in one if f], [f for f in other if f])
        made.append(result)
        problems += [] if result.ok else [_unlike(join, result)]
    return tuple(made), tuple(problems)


def edges_of(piece: PieceMeasures) -> dict[str, list[Edge]]:
    """The named edges of a piece: of its outlines, and the last round and start of its rounds."""
    found: dict[str, list[Edge]] = {}
    for figure in piece.figures:
        for edge in edges(figure) if isinstance(figure, Outline) else ():
            found.setdefault(edge.name, []).append(edge)
    return found


def _found(name: EdgeName, pieces: Sequence[PieceMeasures]) -> _Found | None:
    piece = next((p for p in pieces if p.name == name.piece), None)
    if piece is None:
        return None
    if name.edge in ("last round", "opening"):
        last = [f.rounds[-1] for f in piece.figures if isinstance(f, Revolution) and not f.edging]
        return _Found(float(last[0].perimeter_cm), f"{name}: {last[0].how}") if last else None
    if name.edge == "side" and (sides := _of_polygon(piece)):
        return sides
    lengths = [e.cm for e in edges_of(piece).get(name.edge, [])]
    if not lengths:
        return None
    longest = max(lengths)      # left and right; where they differ the longer has to be met
    return _Found(longest, f"{name}: {longest:.2f} cm")


def _of_polygon(piece: PieceMeasures) -> _Found | None:
    """One side of a motif that lies flat with corners."""
    side = next((d for d in piece.dimensions if d.name == "side"), None)
    flat = any(isinstance(f, Revolution) and f.corners for f in piece.figures)
    return _Found(float(side.cm), f"{piece.name} side: {side.how}") if side is not None and flat else None


def _compared(join: Join, one: Sequence[_Found], other: Sequence[_Found]) -> Joined:
    a, b = sum(f.cm for f in one), sum(f.cm for f in other)
    allowed = float(join.tolerance_cm) if join.tolerance_cm is not None else max(_SHARE * max(a, b), _LEAST)
    how = "; ".join(f.how for f in (*one, *other))
    return Joined(_said(join.one), _said(join.other), a, b, allowed, abs(a - b) <= allowed + 1e-9, how,
                  tuple((n.piece, n.edge) for n in (*join.one, *join.other)))


def _said(names: Sequence[EdgeName]) -> str:
    return " and ".join(str(name) for name in names)


def _untold(join: Join, name: EdgeName, pieces: Sequence[PieceMeasures]) -> Problem:
    piece = next((p for p in pieces if p.name == name.piece), None)
    known = sorted(edges_of(piece)) if piece else []
    close = near(name.edge, known) or known
    return Problem("M408", "warning", f"{name.piece} has no edge called {name.edge} that can be measured",
                   join.span, help=f"write {', or '.join(close)}" if close else "")


def _unlike(join: Join, found: Joined) -> Problem:
    return Problem(
        "M407", "warning", f"{found.one} is {found.one_cm:.1f} cm but joins {found.other}, "
        f"{found.other_cm:.1f} cm", join.span, help="change the rows of one of them, or say how much is eased in: ± 2 cm",
        notes=(found.how, f"{abs(found.one_cm - found.other_cm):.2f} cm apart; {found.allowed_cm:.2g} cm is allowed"),
    )
