"""Thumbs, legs and the like: rounds worked into part of a round of another body.

A mitten is checked against the hand by where its thumb begins: from the cuff's end to the
opening, and on from it to the tip, along the fabric.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from chartgen.measure.measures import Dimension, Figure, Revolution, Round
from chartgen.measure.widths import heights_how


def of_branches(figures: Sequence[Figure], parts: Sequence[str]) -> Iterator[Dimension]:
    """Dimensions of each branch and of where it stands, named by its part: "thumb around"."""
    for k, figure in enumerate(figures):
        if not isinstance(figure, Revolution) or figure.on is None or figure.edging or not figure.established:
            continue
        stem = next((f for j, f in enumerate(figures) if j != k and isinstance(f, Revolution)
                     and any(r.row == figure.on for r in f.rounds)), None)
        if stem is None or not stem.established:
            continue
        yield from of_branch(figure, parts[figure.parts[0]].lower(), stem, parts)


def of_branch(branch: Revolution, name: str, stem: Revolution, parts: Sequence[str]) -> Iterator[Dimension]:
    """One branch on its stem; `parts` are the names of the piece's parts."""
    first = max(branch.rounds, key=lambda r: r.perimeter_cm)
    yield Dimension(f"{name} around", first.perimeter_cm, f"round {first.number}: {first.how}", "around", first.sts,
                    first.perimeter_cm / first.sts if first.sts else None)
    yield _along(f"{name} length", branch.rounds)
    start = parts[stem.parts[0]].lower()
    first_part = [r for r in stem.rounds if r.part == stem.parts[0]]
    opening = next(k for k, r in enumerate(stem.rounds) if r.row == branch.on)
    own = stem.rounds[len(first_part) : opening + 1]
    if len(stem.parts) > 1 and own:
        yield _along(f"{start} to {name}", own)
    if stem.rounds[opening + 1 :]:
        yield _along(f"{name} to tip", stem.rounds[opening + 1 :])


def _along(name: str, rounds: Sequence[Round]) -> Dimension:
    total = sum((r.height_cm for r in rounds), Fraction(0))
    same = len({r.height_cm for r in rounds}) == 1
    return Dimension(name, total, heights_how([(r.height_cm, r.up) for r in rounds]), "along",
                     len(rounds) if same else None, rounds[0].height_cm if same else None, "rows")
