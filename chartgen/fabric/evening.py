"""Rows worked even, "work 4 rows even", and rows changed at their ends only, "inc 1 st at each end"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.tree import ONE, Attach, Chain, Change, Counting, Even, Item, Join, Leave, Loops, Note, Number, Repeat, Sign, Skip, Target, Where, Which, Work
from chartgen.problems import Span
from chartgen.stitches import StitchKind, registry

_BEGINS = (Chain, Counting, Sign, Loops)
_ENDS = (Join, Sign, Chain, Counting)


def changes(items: Sequence[Item]) -> bool:
    """Do these words increase or decrease, or begin in the foundation chain or go along row ends, so that working them again would not be even?"""
    return any(_changes(item) for item in items) or _narrows(items)


def _narrows(items: Sequence[Item]) -> bool:
    """ "Skip first sc, sc in each sc across": one fewer, where no chain lies over what is skipped and none stands for it."""
    flat = [one for item in items for one in (item.items if isinstance(item, Repeat) else (item,))]
    worked = [k for k, item in enumerate(flat) if isinstance(item, Work)]
    chains = worked and any(isinstance(item, Chain) for item in flat[worked[0] : worked[-1]])
    stitch = _stitch_of(items)
    return not chains and stitch is not None and stitch.turning_chain <= 1 and any(isinstance(item, Skip) for item in flat)


def _changes(item: Item) -> bool:
    if isinstance(item, Repeat):
        return changes(item.items)
    if any(where.which in ("hook", "ends") for where in getattr(item, "where", ())):
        return True
    if isinstance(item, Work):
        return item.change is not None or item.stitch.bases == "apart" or not item.stitch.is_slip and max(item.count.values) > 1
    return isinstance(item, (Change, Leave)) or isinstance(item, Even) and bool(item.by)


def as_led(items: Sequence[Item]) -> list[Item]:
    """A row without what led to where it begins: what was skipped and the yarn joined, slip stitches before its chain."""
    joined = next((k + 1 for k, item in enumerate(items) if isinstance(item, Attach)), 0)
    lead = joined + next((k for k, item in enumerate(items[joined:]) if not _slips(item)), 0)
    closes = [type(item) for item in items if not isinstance(item, Note)][-2:] == [Chain, Sign]
    lead += lead > joined and closes and isinstance(items[lead], Chain)     # its turning chain is made already
    return list(items[lead:])


def _slips(item: Item) -> bool:
    return isinstance(item, Work) and item.stitch.is_slip


def evened(items: Sequence[Item], even: Even) -> list[Item]:
    """How the row began and ended, with a stitch in each stitch between."""
    first = next((k for k, item in enumerate(items) if not isinstance(item, _BEGINS)), len(items))
    last = next((k for k in range(len(items), first, -1) if not isinstance(items[k - 1], _ENDS)), first)
    begun = [item for item in items[:first] if not (isinstance(item, Sign) and item.what in ("no turn", "far side"))]
    own = _stitch_of(items)
    kind = even.stitch or own
    if even.stitch is None or kind is None or own is not None and kind.turning_chain == own.turning_chain or any(isinstance(item, Chain) for item in items[last:]):
        return [*begun, replace(even, stitch=kind), *items[last:]]
    return [*_as_high(begun, kind), replace(even, stitch=kind), *map(_joined_anyhow, items[last:])]


def _as_high(lead: Sequence[Item], kind: StitchKind) -> list[Item]:
    """ "Work 1 rnd of sc" after rounds of dc: what leads up to it is as high as that stitch; to slip stitches nothing is."""
    high = (kind.turning_chain,)
    led = [replace(item, count=Number(high), said=None) if isinstance(item, Chain) and item.count.values != high else item for item in lead]
    return [item for item in led if not isinstance(item, (Chain, Counting)) or isinstance(item, Chain) and not kind.is_slip]


def _joined_anyhow(item: Item) -> Item:
    """Joined in another stitch than the top of the chain that the row followed began with."""
    return replace(item, place=None) if isinstance(item, Join) else item


def named_by(items: Sequence[Item], before: Sequence[Item]) -> list[Item]:
    """ "Ch 3, turn. Work even": in the stitch of the row before, as is needed to tell what the chain stands for."""
    kind = _stitch_of(before)
    return [replace(i, stitch=kind) if isinstance(i, Even) and i.stitch is None else i for i in items]


def ends_changed(item: Even, kind: StitchKind, begun: bool = False) -> list[Work | Skip]:
    """ "Work even" in `kind`, and what is changed at the ends, as the stitches they are; where the row has `begun` with a
    chain that counts, that is the first of the two made there, and the one that is left of two."""
    each = Work(ONE, kind, (Where("each", Target("any"), until="end", span=item.span),), item.span)
    if not item.by or item.spread:
        return [replace(each, change=item.spread, by=item.by or 1)]
    first, last = (item.by * so_much for so_much in item.ends)
    start = _beside_chain(first, kind, item.span) if begun else _at_end("first", first, kind, item.span)
    return [*start, each, *_at_end("last", last, kind, item.span)]


def _beside_chain(by: int, kind: StitchKind, span: Span) -> list[Work | Skip]:
    """ "Ch 3, dc in first dc", "ch 3, skip next dc"."""
    if by < 0:
        return [Skip((Where("next", Target("any"), n=Number((-by,)), span=span),), span)]
    return [Work(Number((by,)), kind, (Where("first", Target("any"), span=span),), span)] if by else []


def _at_end(end: Which, by: int, kind: StitchKind, span: Span) -> list[Work]:
    """Two or more in the end stitch, or the end stitches as one; none where nothing changes."""
    n = Number((abs(by) + 1,))
    if by < 0:
        return [Work(ONE, registry().made("together", kind.base, n.of(0)), (Where(end, Target("any"), n=n, span=span),), span)]
    return [Work(n, kind, (Where(end, Target("any"), span=span),), span)] if by else []


def _stitch_of(items: Sequence[Item]) -> StitchKind | None:
    """The stitch that a row is worked in: its last that is no slip stitch, as it is where it is not closed to others."""
    found = (_stitch_of(i.items) if isinstance(i, Repeat) else i.stitch for i in reversed(items) if isinstance(i, (Repeat, Work, Even, Change)))
    return next((registry().kind(kind.base) for kind in found if kind is not None and not kind.is_slip), None)


__all__ = ["as_led", "changes", "ends_changed", "evened", "named_by"]
