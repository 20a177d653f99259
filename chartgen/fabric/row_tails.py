"""How a row ends: the chain and turn that begin the next, and what only the last of several rows ends with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartgen.notation.tree import Attach, Chain, Colour, Counting, Item, Leave, Made, Note, Repeat, RowText, Sign, Work


def not_the_last(items: list[Item]) -> list[Item]:
    """ "Rnds 3-4: … Change to B." or "… Fasten off.": when the last of them is done, unless each joins its yarn."""
    at = len(items)
    while at and isinstance(items[at - 1], (Colour, Sign, Note)):
        at -= 1
    joins = any(isinstance(i, Attach) for i in items)
    ends = [i for i in items[at:] if not isinstance(i, Colour)]
    signs = [i.what for i in ends if isinstance(i, Sign)]
    ends = [i for i in ends if not ("turn" in signs and isinstance(i, Sign) and i.what == "no turn")]
    return items[:at] + [i for i in ends if joins or not (isinstance(i, Sign) and i.what == "off")]


def without_turning(items: list[Item]) -> list[Item]:
    kept = list(items)
    while kept and isinstance(kept[-1], (Sign, Note)):
        kept.pop()
    if kept and isinstance(kept[-1], Chain):
        kept.pop()
    return kept


def ended_otherwise(items: list[Item], after: Sequence[Item], last: bool) -> list[Item]:
    """ "Rep Rows 2 and 3. Ch 1, turn at end of Row 5": the last of them turns with that chain, not with its own."""
    own, _, kept = closing_chain(items)
    if own is None or closing_chain([*kept, *after])[0] is None:
        return [*items, *after]
    turned_once = [i for i in kept if not (isinstance(i, Sign) and i.what == "turn")]
    return [*turned_once, *after] if last else items


def _as_said(chain: Chain, after: Sequence[Item]) -> Chain:
    """ "Ch 2, turn. (Turning ch does not count as a st.)": said behind the chain, of the chain."""
    count = chain.count.values[0]
    said = next((i for i in after if isinstance(i, Counting) and i.of in (None, count)), None)
    return replace(chain, said=said) if said is not None and chain.said is None else chain


def closing_chain(items: list[Item]) -> tuple[Chain | None, str, list[Item]]:
    """The chain before a closing "turn", what is said of turning, and the other items."""
    at = len(items)
    trailing: list[Item] = []
    turned, taken_back = "", False
    while at and isinstance(items[at - 1], (Sign, Note, Made, Leave, Counting)):
        at -= 1
        trailing.insert(0, items[at])
        sign = items[at]
        if isinstance(sign, Sign) and sign.what in ("turn", "no turn"):
            taken_back = taken_back or turned == "no turn" and sign.what == "turn"
            turned = turned if taken_back else sign.what
    if taken_back:                                          # "Ch 1, turn. At end of last row do not turn": nor is the chain made
        at -= at > 0 and isinstance(items[at - 1], Chain)
        return None, turned, [*items[:at], *(i for i in trailing if not (isinstance(i, Sign) and i.what == "turn"))]
    worked_before = any(not isinstance(i, (Sign, Note, Chain)) for i in items[:at])
    if turned == "turn" and at and worked_before:
        if isinstance(items[at - 1], Chain):
            return _as_said(items[at - 1], trailing), turned, [*items[: at - 1], *trailing]
        last = items[at - 1]
        if isinstance(last, Repeat) and last.ending and isinstance(last.ending[-1], Chain):
            shorter = replace(last, ending=last.ending[:-1])
            return last.ending[-1], turned, [*items[: at - 1], shorter, *trailing]
    if turned and not worked_before:
        turned = ""
    return None, turned, list(items)


def worked_along(chain: Chain, after: Sequence[Item]) -> bool:
    """ "Ch 19, turn. Next row: Sc in 2nd ch from hook and in each of next 17 ch, …": chains added to the row's end, for a
    sleeve or a strap, on which the next goes on as on the row itself."""
    first = next((i for i in after if not isinstance(i, (Note, Sign, Colour))), None)
    where = first.where[0] if isinstance(first, Work) and first.where and not first.stitch.is_slip else None
    return where is not None and where.which == "hook" and where.ordinal < 4 and min(chain.count.values) - where.ordinal >= 3


def told_twice(chain: Chain, like_another: bool, after: Sequence[Item]) -> bool:
    """ "… ch 3, turn. Row 2: Ch 3, dc in …": one chain, told at the end and at the beginning; where the end is told by
    another row ("Rows 7 to 10: Repeat Row 6. Row 11: Ch 1, …"), the beginning says which chain it is."""
    said = [i for i in after if not isinstance(i, (Note, Colour, Counting))][:2]
    begins = len(said) == 2 and isinstance(said[0], Chain) and not isinstance(said[1], Chain)
    return begins and (like_another or said[0].count.values == chain.count.values)


def chain_begun(items: Sequence[Item]) -> Chain | None:
    """The chain of "Row 2: Ch 19, turn. Sc in 2nd ch from hook and in each of next 17 ch, …", which is made at the end of
    the row before; None for other words."""
    said = [i for i in items if not isinstance(i, (Note, Colour))][:2]
    turned = len(said) == 2 and isinstance(said[0], Chain) and isinstance(said[1], Sign) and said[1].what == "turn"
    chain = said[0] if turned else None
    return chain if isinstance(chain, Chain) and worked_along(chain, [i for i in items if i is not chain]) else None


def begins_elsewhere(items: Sequence[Item], before: Sequence[Item]) -> int | None:
    """ "Fasten off. Skip next 8 sc of Row 17, join yarn in next sc.": where the words begin the row that follows."""
    joined = next((at for at, item in enumerate(items) if isinstance(item, Attach)), None)
    if joined is None:
        return None
    here = [at + 1 for at, item in enumerate(items[:joined]) if is_off(item)]
    return here[-1] if here else 0 if any(map(is_off, before)) else None


def is_off(item: Item) -> bool:
    return isinstance(item, Sign) and item.what == "off"


def works_a_row_elsewhere(row: RowText, before: Sequence[Item]) -> bool:
    """ "Skip next 4 sc of Row 1, join yarn with sc in next sc, sc in next 7 sc. (8 sc)": without a header, but a row, as its
    count shows."""
    worked = any(isinstance(item, Work) and not item.stitch.is_slip for item in row.items)
    return bool(row.counts) and worked and begins_elsewhere(row.items, before) == 0


__all__ = ["begins_elsewhere", "chain_begun", "closing_chain", "ended_otherwise", "is_off", "not_the_last", "told_twice", "without_turning", "worked_along", "works_a_row_elsewhere"]
