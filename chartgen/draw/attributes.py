"""What a stitch says about itself: its `data-` attributes, for any program that audits a chart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from chartgen.draw.drawing import Attributes, Point, number
from chartgen.fabric.fabric import Fabric, Place, Row, Stitch
from chartgen.stitches import StitchKind, registry

_OTHER = {"front": "back", "back": "front"}


def slug(name: str) -> str:
    """A name as it stands in ids and attributes: `Thyme hat, brim` is `thyme-hat-brim`."""
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-") or "piece"


@dataclass(frozen=True)
class Names:
    """The ids and place names of one fabric."""

    fabric: Fabric

    @cached_property
    def slugs(self) -> list[tuple[str, list[str]]]:
        """For each piece its slug and those of its parts."""
        return [(slug(p.name), [slug(part.name) for part in p.parts]) for p in self.fabric.pieces]

    def part_of(self, row: Row) -> tuple[str, str]:
        piece, parts = self.slugs[row.piece]
        return piece, parts[row.part]

    def row_id(self, row: Row) -> str:
        """`piece-part-row-4`."""
        return "-".join((*self.part_of(row), "row", slug(row.mark)))

    def place(self, place: Place, seen_from: Row) -> str:
        """`3:12`, `3:12-14`, `3:12|13`, `3:12@end`, `ring`; elsewhere with part and piece before."""
        if place.kind == "ring" or not place.stitches:
            return "ring"
        worked = [self.fabric.stitches[i] for i in place.stitches]
        row = self.fabric.rows[worked[0].row]
        return self._elsewhere(row, seen_from) + f"{row.mark}:{_within(place, worked)}"

    def _elsewhere(self, row: Row, seen_from: Row) -> str:
        piece, part = self.part_of(row)
        if row.piece != seen_from.piece:
            return f"{piece}/{part}/"
        return "" if row.part == seen_from.part else f"{part}/"


def _within(place: Place, worked: list[Stitch]) -> str:
    first, last = worked[0].n, worked[-1].n
    if place.kind == "space":
        return f"{min(first, last)}-{max(first, last)}"
    if place.kind == "between":
        return f"{first}|{last}"
    return f"{first}@end" if place.kind == "end" else str(first)


def as_worked(stitch: Stitch) -> tuple[StitchKind, str]:
    """The kind and loop that the hand works, whichever side is up."""
    return stitch.kind, loop_of(stitch)


def as_seen(stitch: Stitch) -> tuple[StitchKind, str]:
    """The kind and loop whose sign shows from the right side, where a chart is read.

    A stitch worked round the front post on a wrong-side row lies at the back when the
    finished face is seen, and so with single loops (rule read in the notes on JIS L 0201).
    """
    loop = loop_of(stitch)
    if stitch.side == "RS":
        return stitch.kind, loop
    return _mirrored(stitch.kind), _OTHER.get(loop, loop)


def is_turned_over(stitch: Stitch) -> bool:
    """Whether the sign seen from the right side differs from what the hand works."""
    kind, loop = as_seen(stitch)
    return kind is not stitch.kind or loop != loop_of(stitch)


def loop_of(stitch: Stitch) -> str:
    return stitch.loop or next((place.loop for place in stitch.feet if place.loop), "")


def _mirrored(kind: StitchKind) -> StitchKind:
    if kind.post not in _OTHER:
        return kind
    return registry().made(kind.family.replace(kind.post, _OTHER[kind.post]), kind.base, kind.legs)


def _shown(stitch: Stitch, kind: StitchKind, loop: str) -> str:
    """What the sign shows where it is not what is worked: a kind's code, or the other loop."""
    if kind.code != stitch.kind.code and kind is not stitch.kind:
        return kind.code
    return loop if loop != loop_of(stitch) else ""


def _place_of_each(places: tuple[Place, ...], feet: int) -> tuple[Place, ...]:
    """One place for each foot drawn; legs that share a place name it each."""
    if not places or len(places) == feet:
        return places
    return tuple(places[i * len(places) // feet] for i in range(feet))


def stitch_attributes(
    stitch: Stitch, names: Names, head: Point, feet: Sequence[Point], seen: tuple[StitchKind, str]
) -> Attributes:
    """All `data-` attributes of `stitch`; `head` and `feet` in mm on paper."""
    fabric = names.fabric
    row = fabric.rows[stitch.row]
    piece, part = names.part_of(row)
    counts_in = "" if stitch.counts_in is None else fabric.rows[stitch.counts_in].mark
    places = _place_of_each(stitch.feet, len(feet))
    values = (
        ("data-piece", piece),
        ("data-part", part),
        ("data-row", row.mark),
        ("data-n", str(stitch.n)),
        ("data-kind", stitch.kind.code),
        ("data-loop", loop_of(stitch)),
        ("data-long", str(stitch.rows_down) if stitch.rows_down else ""),
        ("data-shown", _shown(stitch, *seen)),
        ("data-role", stitch.role),
        ("data-counts-in", counts_in),
        ("data-side", stitch.side),
        ("data-x", number(head[0])),
        ("data-y", number(head[1])),
        ("data-foot", " ".join([f"{number(x)},{number(y)}" for x, y in feet])),
        ("data-into", " ".join([names.place(place, row) for place in places])),
        ("data-colour", stitch.colour or ""),
    )
    return tuple([pair for pair in values if pair[1]])
