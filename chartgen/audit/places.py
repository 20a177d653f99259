"""The place that each foot names, found on the page."""

from __future__ import annotations

import re
from dataclasses import dataclass

from chartgen.audit.ink import Chart, Stitch

_PLACE = re.compile(r"^(?:(?:([^/]+)/)?([^/]+)/)?([^:/]+):(\d+)(?:([-|])(\d+))?(@end)?$")


class BadPlace(ValueError):
    """A `data-into` that follows none of the forms."""


@dataclass(frozen=True)
class Place:
    """A place as `data-into` names it: `3:12`, `3:12-14`, `3:12|13`, `3:12@end`, `0:5`, `ring`.

    Attributes:
        form: stitch, space, between, end, ring, or lost where the words name none.
        first, last: numbers of its stitches in that row.
    """

    form: str
    part: tuple[str, str]
    row: str = "0"
    first: int = 0
    last: int = 0


def parse_place(text: str, seen_from: tuple[str, str]) -> Place:
    """One place. `seen_from` is the (piece, part) of the stitch that names it."""
    if text == "ring":
        return Place("ring", seen_from)
    found = _PLACE.match(text)
    if not found:
        raise BadPlace(f"{text!r} names no place")
    piece, part, row, first, sign, last, end = found.groups()
    where = (piece or seen_from[0], part or seen_from[1])
    form = "end" if end else {"-": "space", "|": "between", None: "stitch"}[sign]
    return Place(form, where, row, int(first), int(last or first))


def places_named(stitch: Stitch) -> tuple[Place, ...]:
    """The place of each foot of `stitch`; one that cannot be read has the form `lost`."""
    found = []
    for into in stitch.into:
        try:
            found.append(parse_place(into, stitch.part))
        except BadPlace:
            found.append(Place("lost", stitch.part))
    return tuple(found)


def stitches_at(chart: Chart, place: Place) -> list[Stitch]:
    """The stitches a place is made of, in order of working; fewer where some are missing."""
    if place.form == "ring":
        row = chart.rows.get((*place.part, "0"), [])
        return [s for s in row if s.is_chain]
    if place.form == "lost":
        return []
    if place.form == "between":
        numbers = [place.first, place.last]
    else:
        numbers = list(range(place.first, place.last + 1))
    found = (chart.at.get((*place.part, place.row, n)) for n in numbers)
    return [s for s in found if s is not None]
