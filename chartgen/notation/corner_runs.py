"""Stitches along an edge and in its corners, told together: "sc in each dc, working 3 sc in each ch-2 sp"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation import changes, one_place
from chartgen.notation.tree import Every, Item, Target, Where, Work
from chartgen.problems import Span

if TYPE_CHECKING:
    from chartgen.notation.parse import Body


def meet_in_corners(read: Body) -> None:
    """ "Sc in each dc, working 3 sc in each ch-2 sp": both go along the same edge. What is said of
    one place before that ("in same st and in each dc") is worked first."""
    changes.met_by_rest(read)
    begun = max((mark.item for mark in read.marks), default=0)
    one_place.gather(read.items, listed=read.by_and == len(read.items) - 1, since=begun, clause=read.clause)
    if len(read.items) < 2:
        return
    if (all_round := _round_a_piece(read.items)) is not None:
        read.items[-3:] = [all_round]
        return
    read.items[-1] = _that_last(read.items[-2], read.items[-1])
    lead, met = _along(read.items[-2])
    named = _names_corners(read.items[-1])
    other = read.items[-1] = _in_corners(read.items[-1]) if met else read.items[-1]
    if not met or not goes_along(other):
        return
    kinds = [i.where[0].target for i in (*met, other)]
    if len(set(kinds)) == len(kinds) and any(t.kind in ("space", "corner", "chain") for t in kinds):
        span = Span(met[0].span.start, other.span.end)
        met = tuple(map(_on_every_side, met)) if named else met
        read.items[-2:] = [*lead, Every((*met, other), span)]


def _round_a_piece(items: list[Item]) -> Every | None:
    """ "Sc around, working 2 sc in end of each row and 3 sc in each corner": along every side of a flat piece, so many
    in its row ends; None for other words."""
    if len(items) < 3 or not all(isinstance(i, Work) and len(i.where) == 1 for i in items[-3:]):
        return None
    along, ends, corner = items[-3:]
    in_rows = ends.where[0].which == "ends" and ends.where[0].until == "end"
    if not goes_along(along) or along.where[0].target.kind not in ("any", "stitch") or not in_rows or not goes_along(corner) or corner.where[0].target.kind != "corner":
        return None
    return Every((_on_every_side(along), ends, corner), Span(along.span.start, corner.span.end))


def _on_every_side(along: Work) -> Work:
    """ "Sc in each st around, 3 sc in each corner": of a flat piece, along all its sides."""
    return replace(along, where=(replace(along.where[0], outline=True),))


def _that_last(before: Item, item: Item) -> Item:
    """ "Tr in each tr to last tr of same group, 2 tr in last tr": that of the group."""
    run, last = (i.where[0] if isinstance(i, Work) and len(i.where) == 1 else None for i in (before, item))
    stop = run.stop if run is not None else None
    meant = stop is not None and stop.which == "last" and stop.of is not None and last is not None and last.which == "last" and last.of is None
    if not meant or (stop.target, stop.n.values) != (last.target, last.n.values):
        return item
    return replace(item, where=(replace(last, of=replace(stop.of, which="same")),))


def _names_corners(item: Item) -> bool:
    where: tuple[Where, ...] = getattr(item, "where", ())
    return len(where) == 1 and where[0].target.kind == "corner"


def _in_corners(item: Item) -> Item:
    """ "3 sc in center sc of each 3-sc group": the corners of an edge that is worked along."""
    where: tuple[Where, ...] = getattr(item, "where", ())
    of = where[0].of if len(where) == 1 and where[0].which == "centre" else None
    if of is None or of.which != "each" or of.target.kind != "group":
        return item
    return replace(item, where=(Where("each", Target("corner"), until="end", span=where[0].span),))


def _along(item: Item) -> tuple[list[Item], list[Item]]:
    """What an item works first, and what it works along the edge, a kind of place each; none where
    it does not end so."""
    if isinstance(item, Every):
        return [], list(item.items)
    where: tuple[Where, ...] = getattr(item, "where", ())
    first = [w for w in where if w.which != "each"]
    met = [replace(item, where=(w,)) for w in where[len(first) :]]
    if where[: len(first)] != tuple(first) or not all(goes_along(one) for one in met):
        return [], []
    return [replace(item, where=tuple(first))] if first else [], met


def goes_along(item: Item) -> bool:
    """Is it worked in each of some places to the end of the edge?"""
    where: tuple[Where, ...] = getattr(item, "where", ())
    return len(where) == 1 and where[0].which == "each" and where[0].until in ("open", "end")
