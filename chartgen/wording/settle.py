"""Instructions settled by the fabric: what the words left open is said, one way for each thing.

The tree that comes out is what the written pattern says. It makes the same fabric as the
tree that went in; the differences are just these:

* a stitch without a place is given the place it was worked into ("3 sc" → "sc in each of
  next 3 sts"), an increase or decrease the stitches it is made of;
* a list of stitches that was made in the place at its end stands in brackets;
* "n times" that could be read two ways is n in all;
* a beginning chain says whether it counts, once, and again where that changes;
* a row worked flat says "turn" and its side; a join names its slip stitch;
* counts at a row's end are the fabric's.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from typing import Any

from chartgen.fabric import Fabric, Row, Stitch
from chartgen.fabric.closing_arch import closed_by_an_arch, left_open
from chartgen.fabric.evening import ends_changed
from chartgen.notation.one_place import gathered
from chartgen.notation.tree import (
    ONE,
    Chain,
    Change,
    Colour,
    Count,
    Counting,
    Even,
    Every,
    Group,
    Held,
    Instructions,
    Item,
    Join,
    LikeRow,
    Note,
    Number,
    Own,
    PartText,
    Repeat,
    RowText,
    Sign,
    Target,
    Where,
    Work,
)
from chartgen.problems import Span
from chartgen.stitches import StitchKind, registry
from chartgen.wording.counts import row_counts

_NEXT = Target("any")


def settle(instructions: Instructions, fabrics: Sequence[Fabric]) -> Instructions:
    """The instructions of a pattern without faults, settled by its fabrics, one per size."""
    settler = _Settler(instructions, fabrics)
    parts = tuple(settler.part(part) for part in instructions.parts)
    return replace(instructions, parts=parts)


@dataclass
class _Chains:
    """The beginning chains of the fabric, by the words that made them: what they count as."""

    verdicts: dict[Span, Counting] = field(default_factory=dict)

    @classmethod
    def of(cls, fabrics: Iterable[Fabric]) -> _Chains:
        found: dict[Span, set[Counting | None]] = defaultdict(set)
        for fabric in fabrics:
            for row in fabric.rows:
                begin = [s for s in (fabric.stitches[i] for i in row.stitches) if s.role == "begin"]
                for words in {s.words for s in begin if s.words is not None}:
                    found[words].add(_verdict([s for s in begin if s.words == words], row))
        return cls({span: verdict for span, v in found.items() if len(v) == 1 and (verdict := next(iter(v))) is not None})


def _verdict(chains: Sequence[Stitch], row: Row) -> Counting | None:
    """None of a chain that is a leg of the row's first cluster: as high as one, it does not stand on the row's line."""
    top = next((at for at, s in enumerate(chains) if s.counts_in == row.index), None)
    if top is None:
        leg = len(chains) >= 3 and not {s.index for s in chains} & set(row.line)
        return None if leg else Counting(False)
    return Counting(True, chains[top].stands_as, len(chains) - top - 1)


def _passes_in(fabric: Fabric, item: Repeat, depth: int) -> int:
    """How often a repeat was worked in one size."""
    made = (s for s in fabric.stitches if s.words is not None and item.span.start <= s.words.start < item.span.end)
    return max((s.repeat[depth][1] for s in made if len(s.repeat) > depth), default=-1) + 1


class _Settler:
    def __init__(self, instructions: Instructions, fabrics: Sequence[Fabric]) -> None:
        self.instructions, self.fabrics = instructions, fabrics
        self.made: dict[Span, list[Stitch]] = defaultdict(list)
        for fabric in fabrics:
            for stitch in fabric.stitches:
                if stitch.words is not None:
                    self.made[stitch.words].append(stitch)
        self.chains = _Chains.of(fabrics).verdicts
        self.waiting = self._unsaid_chains()
        self.rule: dict[int, Counting] = {}
        self.piece = -1

    # ---- parts and rows

    def part(self, part: PartText) -> PartText:
        if part.piece != self.piece:
            self.piece, self.rule = part.piece, {}
        rows = [self._row(part, at) for at in range(len(part.rows))]
        return replace(part, rows=tuple(rows))

    def _row(self, part: PartText, at: int) -> RowText:
        text = part.rows[at]
        worked = [rows_of(text, fabric, part) for fabric in self.fabrics]
        items = tuple(self._as_begun_before(text.items, worked) or self._settled(text.items, depth=0))
        items = self._turned(part, at, items, worked)
        counts, counts_at = row_counts(text, worked, self.fabrics, self._model(part, text))
        side = text.side or self._side(part, text, worked)
        text = self._numbered(text, worked)
        return replace(plain_numbers(text), items=items, counts=counts, counts_at=counts_at, side=side)

    def _as_begun_before(self, items: Sequence[Item], worked: list[list[Row]]) -> list[Item]:
        """ "Rows 5-9: Work even", which begin with the chain of the row before: that is not said by "dc in each st"."""
        told = [i for i in items if not isinstance(i, (Note, Colour)) and not (isinstance(i, Sign) and i.what == "off")]
        even = told[0] if len(told) == 1 else None
        if not isinstance(even, Even) or even.by or even.spread is not None:
            return []
        made = self.made.get(even.span, [])
        first = [f.stitches[r.stitches[0]] for f, rows in zip(self.fabrics, worked, strict=True) for r in rows if r.stitches]
        if not made or not any(s.role == "begin" and s.words not in (even.span, None) for s in first):
            return []
        return [replace(even, stitch=even.stitch or registry().kind(made[0].kind.base)) if i is even else i for i in items]

    @staticmethod
    def _numbered(text: RowText, worked: list[list[Row]]) -> RowText:
        """A row with a name has the number that later words call it by."""
        if not text.label or not all(worked):
            return text
        number = Number(tuple(int(rows[0].number) for rows in worked))
        number = number if len(set(number.values)) > 1 else Number(number.values[:1])
        return replace(text, first=number, last=number, next_rows=None)

    def _model(self, part: PartText, text: RowText) -> tuple[Count, ...]:
        """The counts of the last row that "rep Rows 2 and 3" or "rep last 2 rows" works again."""
        like = next((i for i in text.items if isinstance(i, LikeRow)), None)
        if like is None:
            return ()
        if not like.rows:
            return next((t.counts for t in reversed(part.rows[: part.rows.index(text)]) if t.counts), ())
        number = like.rows[-1].of(0)
        rows = (t for p in self.instructions.parts if p.piece == part.piece for t in p.rows if t.first)
        return next((t.counts for t in rows if t.first.of(0) <= number <= t.last.of(0)), ())

    def _side(self, part: PartText, text: RowText, worked: list[list[Row]]) -> str:
        if text.first is None and text.next_rows is None:
            return ""
        flat = part.worked == "rows" or any(r.turned for f in self.fabrics for r in f.worked_rows(part.piece))
        sides = {row.side for rows in worked for row in rows}
        return sides.pop() if flat and len(sides) == 1 else ""

    def _turned(
        self, part: PartText, at: int, items: tuple[Item, ...], worked: list[list[Row]]
    ) -> tuple[Item, ...]:
        """"turn" at the end of a row, where neither it nor the next says so."""
        following = next((t for t in part.rows[at + 1 :] if t.first or t.next_rows), None)
        last = items[-1] if items else None
        if not any(worked) or following is None or isinstance(last, Chain) or says_turning(items):
            return items
        if says_turning(following.items) or any(isinstance(i, (LikeRow, Even)) for i in (*items, *following.items)):
            return items
        turned = all(self._turned_after(f, rows[-1]) for f, rows in zip(self.fabrics, worked, strict=True) if rows)
        return (*items, Sign("turn")) if turned and part.worked == "rows" else items

    @staticmethod
    def _turned_after(fabric: Fabric, row: Row) -> bool:
        after = fabric.rows[row.index + 1 : row.index + 2]
        return bool(after) and after[0].part == row.part and after[0].piece == row.piece and after[0].turned

    # ---- items

    def _settled(self, items: Iterable[Item], depth: int, in_place: bool = False) -> Iterable[Item]:
        items = self._with_its_arch(gathered(list(items), self._together))
        for item, after in zip(items, [*items[1:], None], strict=True):
            item = self._one_by_one(plain_numbers(item))
            if isinstance(item, Chain):
                yield self._chain(item, joins_in=isinstance(after, Held))
            elif isinstance(item, Work) and not item.where and not in_place:
                yield from self._placed(item)
            elif isinstance(item, (Change, Even)):
                yield from self._spelt_out(item)
            else:
                yield self._one(item, depth, in_place)

    def _with_its_arch(self, items: list[Item]) -> list[Item]:
        """The chain that closes a round of loops, said where one was made after the last stitch of the repeat."""
        at = left_open(items)
        repeat = items[at] if at is not None else None
        if not isinstance(repeat, Repeat):
            return items
        chain, last = self._last_made(repeat.items[0]), self._last_made(repeat.items[-1])
        return closed_by_an_arch(items) if chain > last else items

    def _last_made(self, item: Item) -> int:
        """The number of the last stitch made by an item's words."""
        words = [item, *getattr(item, "items", ())]
        return max((s.index for one in words for s in self.made.get(one.span, [])), default=-1)

    def _together(self, listed: Sequence[Item]) -> bool:
        """Was a list of stitches made in the one place named at its end?"""
        feet = [{f for s in self.made.get(item.span, []) for f in s.feet} for item in listed if isinstance(item, Work)]
        groups = {s.group for item in listed for s in self.made.get(item.span, [])}
        return all(feet) and None not in groups and all(one == feet[-1] for one in feet)

    def _one(self, item: Item, depth: int, in_place: bool) -> Item:
        if isinstance(item, Repeat):
            return self._repeat(item, depth, in_place)
        if isinstance(item, LikeRow) and item.label:
            return self._by_number(item)
        if isinstance(item, LikeRow) and item.even is not None:
            return self._rows_even(item, item.even)
        if isinstance(item, Group) and _single(item):
            return replace(item.items[0], where=item.where)
        if isinstance(item, (Group, Held, Every)):
            inside = in_place or isinstance(item, Group)
            return replace(item, items=tuple(self._settled(item.items, depth, inside)))
        if self._joins(item):
            return Join(item.where[0], False, item.stitch, item.span)
        if isinstance(item, Join) and item.stitch is None and (item.ring or item.place):
            return replace(item, stitch=registry().kind("slip_stitch"))
        return item

    def _one_by_one(self, item: Item) -> Item:
        """"in next 2 dc" as "in each of next 2 dc", where it does not mean them together;
        "7 sc over next 5 ch" as "7 sc in ch-5 sp", where it means the loop."""
        if isinstance(item, Work) and item.where[:1] and item.where[0].outline and not self._goes_round(item):
            item = replace(item, where=(replace(item.where[0], outline=False),))
        if not isinstance(item, (Work, Own, Group)) or isinstance(item, Work) and item.stitch.bases == "apart":
            return item
        feet = {f.kind for s in self.made.get(item.span, []) for f in s.feet}
        return replace(item, where=tuple(_each_of(w, in_space=feet == {"space"}) for w in item.where))

    def _goes_round(self, item: Work) -> bool:
        """Was it worked along the sides of a flat piece?"""
        return any(f.kind == "end" for s in self.made.get(item.span, []) for f in s.feet)

    def _joins(self, item: Item) -> bool:
        """A slip stitch that closes the round: a join, though not called so."""
        made = self.made.get(item.span, []) if isinstance(item, Work) and item.stitch.is_slip else []
        return bool(made) and len(item.where) == 1 and all(s.role == "join" for s in made)

    def _placed(self, item: Work) -> Iterable[Item]:
        """A stitch without a place, in the place it was worked into."""
        made = self.made.get(item.span, [])
        if item.stitch.own_chain or not made:
            yield item
        elif all(f.kind == "ring" for s in made for f in s.feet):
            yield replace(item, where=(Where("ring", Target("place")),))
        elif item.stitch.bases == "apart" and item.stitch.legs > 1:
            one = replace(item, count=ONE, where=(Where("next", _NEXT, n=Number((item.stitch.legs,))),))
            yield one if set(item.count.values) == {1} else Repeat((one,), item.count)
        else:
            yield replace(item, count=ONE, where=(Where("next", _NEXT, n=item.count, each=item.count.values != (1,)),))

    def _spelt_out(self, item: Change | Even) -> Iterable[Item]:
        made = self.made.get(item.span, [])
        kind = item.stitch or (registry().kind(made[0].kind.base) if made else None)
        if kind is None:
            return
        if isinstance(item, Even):
            yield from ends_changed(item, kind, _begun(item, made))
        elif item.by > 0:
            where = item.where or (Where("next", _NEXT, n=item.count, each=item.count.values != (1,)),)
            yield Work(Number((2,)), kind, where, item.span)
        else:
            where = item.where or (Where("next", _NEXT, n=Number((2,))),)
            one = Work(ONE, registry().made("together", kind.base, 2), where, item.span)
            yield one if set(item.count.values) == {1} else Repeat((one,), item.count)

    def _by_number(self, item: LikeRow) -> LikeRow:
        """ "Rep inc row": the number of that row, which its own words have."""
        called = next((t for part in self.instructions.parts for t in part.rows if t.label == item.label), None)
        found = [rows_of(called, f, part) for f in self.fabrics for part in self.instructions.parts if called in part.rows] if called else []
        numbers = tuple(int(rows[0].number) for rows in found if rows)
        number = Number(numbers if len(set(numbers)) > 1 else numbers[:1])
        return replace(item, rows=(number,), label="") if numbers else item

    def _rows_even(self, item: LikeRow, even: Even) -> LikeRow:
        """ "Work 4 rows even": in the stitch they were worked in; where none was changed, the row before again."""
        made = self.made.get(even.span, [])
        if not made:
            return replace(item, even=None)
        return replace(item, even=replace(even, stitch=even.stitch or registry().kind(made[0].kind.base)))

    def _repeat(self, item: Repeat, depth: int, in_place: bool) -> Repeat:
        inner = tuple(self._settled(item.items, depth + 1, in_place))
        # A mark counts items; items that became several move it.
        mark = None if item.mark is None else len(tuple(self._settled(item.items[: item.mark], depth + 1, in_place)))
        # A chain that ends a row to begin the next is said to count where it is not in an ending.
        ending = tuple(plain_numbers(item.ending))
        times = self._passes(item, depth) if (item.unsure or item.there) and item.times else item.times
        settled = replace(item, items=inner, mark=mark, ending=ending, times=times, unsure=0)
        return _to_last(settled)

    def _passes(self, item: Repeat, depth: int) -> Number | None:
        """How often a repeat was worked: the reading of "n times" that came out."""
        assert item.times is not None
        most = tuple(_passes_in(fabric, item, depth) for fabric in self.fabrics)
        if item.there and min(most) > 0:
            return Number(most if len(set(most)) > 1 else most[:1])
        fewer = tuple(v + item.unsure for v in item.times.values)
        return Number(fewer) if max(fewer) == max(most) else item.times

    # ---- beginning chains

    def _unsaid_chains(self) -> dict[int, list[tuple[int, Counting]]]:
        """Per piece: chains that say nothing of counting, in order: (how many, verdict)."""
        found: dict[int, list[tuple[int, Counting]]] = defaultdict(list)
        for part in self.instructions.parts:
            for chain in (c for row in part.rows for c in _chains_in(row.items)):
                if chain.said is None and (verdict := self.chains.get(chain.span)):
                    found[part.piece].append((chain.count.of(0), verdict))
        return found

    def _chain(self, item: Chain, joins_in: bool) -> Chain:
        """`joins_in`: it is one leg of the cluster that follows, and counts with it."""
        verdict, n = self.chains.get(item.span), item.count.of(0)
        if item.said is not None:
            if item.said.throughout:
                self.rule[n] = verdict or item.said
            return item
        if verdict is None:
            return item
        self.waiting[self.piece].remove((n, verdict))
        if self.rule.get(n) == verdict or joins_in:
            return item
        again = next((v for m, v in self.waiting[self.piece] if m == n), None)
        throughout = again == verdict
        if throughout:
            self.rule[n] = verdict
        else:
            self.rule.pop(n, None)
        return replace(item, said=replace(verdict, throughout=throughout))


def rows_of(text: RowText, fabric: Fabric, part: PartText) -> list[Row]:
    """The rows of one size that these words made, in order."""
    return [
        r for r in fabric.worked_rows(part.piece, part.part)
        if r.words is not None and r.words.start == text.span.start
    ]


def _single(group: Group) -> bool:
    """"in next sp make 3 dc": one stitch in one place needs no brackets."""
    inside = group.items[0] if len(group.items) == 1 else None
    return isinstance(inside, Work) and not inside.where and bool(group.where) and not group.name


def _to_last(item: Repeat) -> Repeat:
    """"to last 2 sts" names what is left; one left is "to last st"."""
    if item.n_left is None:
        return item
    left = item.left or _NEXT
    if item.n_left.values == (1,):
        return replace(item, n_left=None, left=None, until=Where("last", left))
    return replace(item, left=left)


def _each_of(where: Where, in_space: bool) -> Where:
    if where.which != "next" or where.n.values == (1,) or where.of is not None:
        return where
    if where.target.kind == "chain" and in_space:
        return replace(where, target=Target("space", size=where.n.of(0)), n=ONE)
    return replace(where, each=True)


def _chains_in(items: Iterable[Item]) -> Iterable[Chain]:
    for item in items:
        if isinstance(item, Chain):
            yield item
        yield from _chains_in(getattr(item, "items", ()) if not isinstance(item, Own) else ())


def says_turning(items: Sequence[Item]) -> bool:
    """Do the items say whether to turn, or that the row is the last?"""
    return any(isinstance(i, Sign) and i.what in ("turn", "no turn", "off") for i in items)


def _begun(item: Even, made: Sequence[Stitch]) -> bool:
    """Whether a chain that counts is the first of the stitches made in the row's first, or the one left of its first two."""
    first = item.by * item.ends[0] if item.spread is None else 0
    if first > 0:
        return len(made) > first and made[first].feet != made[0].feet
    return first < 0 and bool(made) and made[0].kind.legs == 1


def spelt_out(items: Iterable[Item], begun: bool = False) -> Iterator[Item]:
    """ "Work even in sc", where it is worked by the words of the row before, as a stitch in each stitch; `begun` with a
    chain that counts."""
    for item in items:
        yield from ends_changed(item, item.stitch, begun) if isinstance(item, Even) and item.stitch is not None else (item,)


def plain_numbers(value: Any) -> Any:
    """`value` with every number that is the same in all sizes written once."""
    if isinstance(value, Number):
        return Number(value.values[:1] if len(set(value.values)) == 1 else value.values, value.span)
    if isinstance(value, tuple):
        return tuple(plain_numbers(v) for v in value)
    if not is_dataclass(value) or isinstance(value, (StitchKind, Span, type)):
        return value
    changed = {f.name: plain_numbers(getattr(value, f.name)) for f in fields(value)}
    return replace(value, **changed)


__all__ = ["plain_numbers", "rows_of", "says_turning", "settle"]
