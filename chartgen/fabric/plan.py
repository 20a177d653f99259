"""The plan of a part: its written rows unrolled into the rows that are worked, per size.

"Rnds 4-8 (9, 11)" becomes five rounds, or six, or eight; "Rep Rows 2 and 3" becomes those
rows' words again under new numbers; a chain and turn at a row's end move to the row they
begin; words without a header join the row they belong to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from chartgen.fabric.beginning import first_kind
from chartgen.fabric.between_increases import apart_now, changes_so, farther_apart
from chartgen.fabric.edge import Stuck
from chartgen.fabric.evening import as_led, changes, evened, named_by
from chartgen.fabric.first_rows import after_foundation, begins_on_chain, even_on_foundation, is_unnumbered, works_before, works_on
from chartgen.fabric.fewer_loops import with_fewer_loops
from chartgen.fabric.hung import hung_apart
from chartgen.fabric.lengths import rows_in
from chartgen.fabric.numbering import misnumbered, said_of_each
from chartgen.fabric.other_chains import with_chains
from chartgen.fabric.renumbered import renumbered
from chartgen.fabric.row_tails import (
    begins_elsewhere, chain_begun, closing_chain, ended_otherwise, is_off, not_the_last, told_twice, without_turning, worked_along,
    works_a_row_elsewhere,
)  # fmt: skip
from chartgen.fabric.top_named import top_named
from chartgen.notation.tree import (
    Chain,
    Colour,
    Count,
    Even,
    Item,
    LikeRow,
    Loops,
    Measured,
    Note,
    PartText,
    RowText,
    Sign,
    Where,
)
from chartgen.problems import Span

_MOST_ROWS = 5_000


@dataclass
class Planned:
    """One row to be worked.

    Attributes:
        number: as written; "0" for words before the first row.
        items: what is worked, without the chain that begins the next row.
        counts: written for it, for its range or for the row it is like.
        strict: the counts are promised for this very row; else they only may hold.
        until: the words that end in this row once it has the stitches they speak of.
        told_twice: the chain that the row before ends with and this row's own words begin with.
        turned_before: "turn" or "no turn" where the row before says so.
        tail: words without a header that follow the row.
        next_ends: where on this row's beginning chain the next row ends, if it does.
    """

    number: str
    items: list[Item]
    counts: tuple[Count, ...] = ()
    side: str = ""
    words: Span = Span(0, 0)
    header: Span = Span(0, 0)
    readable: bool = True
    turned_before: str = ""
    tail: list[Item] = field(default_factory=list)
    first_of_many: bool = True
    text: RowText | None = None
    strict: bool = True
    until: LikeRow | None = None
    told_twice: Chain | None = None
    next_ends: Where | None = None

    @property
    def loose(self) -> bool:
        """Words before the first row, which have no header."""
        return self.number == "0" and (self.text is None or self.text.first is None)

    @property
    def all_items(self) -> list[Item]:
        return self.items + self.tail

    @property
    def is_like_another(self) -> bool:
        """Are its words those of a row before it?"""
        return not self.first_of_many or self.text is not None and any(isinstance(i, LikeRow) for i in self.text.items)


@dataclass
class Planner:
    """Plans the parts of one piece in turn; a part may name rows of the parts before it, and
    the chain that a part ends with begins the next."""

    size: int
    items_of: dict[int, list[Item]] = field(default_factory=dict)
    text_of: dict[int, RowText] = field(default_factory=dict)
    last_number: int = 0
    before: int = 0
    chain: Chain | None = None
    turned: str = ""
    heights: dict[str, Fraction] = field(default_factory=dict)
    said: list[tuple[str, Span]] = field(default_factory=list)
    doubts: list[Stuck] = field(default_factory=list)
    passes: dict[Span, int] = field(default_factory=dict)
    labels: dict[str, int] = field(default_factory=dict)
    next_headed: int = 0

    def state(self) -> tuple:
        """What the rows before have left, so that a part can be planned anew."""
        return dict(self.items_of), dict(self.text_of), self.last_number, self.before, self.chain, self.turned

    def back_to(self, state: tuple) -> None:
        """Plans on as if nothing had been planned since `state`."""
        items, texts, self.last_number, self.before, self.chain, self.turned = state
        self.items_of, self.text_of = dict(items), dict(texts)

    def part(self, part: PartText) -> tuple[list[Planned], list[Stuck]]:
        """The rows of a part in order of working."""
        unrolled, faults = self.unrolled(part)
        self.doubts = list(misnumbered(unrolled, _of_any_size(part)))
        self.chain, self.turned = _move_turning_chains(unrolled)
        return [row for whole in unrolled for row in hung_apart(whole)], faults

    def unrolled(self, part: PartText) -> tuple[list[Planned], list[Stuck]]:
        """The rows of a part one by one, their chains still where they are written."""
        unrolled: list[Planned] = []
        faults: list[Stuck] = []
        rows = even_on_foundation([row for row in part.rows if not row.only_sizes or self.size in row.only_sizes], self.size)
        for at, row in enumerate(rows):
            self.next_headed = next((r.first.of(self.size) for r in rows[at + 1 :] if r.first is not None), 0)
            try:
                self._unroll(row, unrolled)
            except Stuck as stuck:
                faults.append(stuck)
        return _in_turn(_with_their_leads(unrolled)), faults

    def _one_after_another(self, row: RowText, likes: list[LikeRow], unrolled: list[Planned]) -> None:
        """ "Rep Rows 2-4 three times, then Rows 2 and 3": the counts hold for the last of them."""
        for like in likes:
            self._unroll(replace(row, items=(like,), counts=row.counts if like is likes[-1] else ()), unrolled)

    def _unroll(self, row: RowText, unrolled: list[Planned]) -> None:
        likes = [i for i in row.items if isinstance(i, LikeRow)]
        if row.first is None and len(likes) > 1:
            return self._one_after_another(row, likes, unrolled)
        like = likes[0] if likes else None
        if is_unnumbered(row) and len(unrolled) == 1 and unrolled[0].loose and works_on(unrolled[0].items):
            self._count_first(unrolled[0])
        self.before = self.last_number
        numbers = self._numbers(row, like)
        if numbers is None and unrolled and not unrolled[-1].loose and self.next_headed != self.last_number + 1:
            numbers = [self.last_number + 1] if works_a_row_elsewhere(row, unrolled[-1].all_items) else None
        if numbers is None:
            return _loose_words(row, unrolled)
        if len(unrolled) + len(numbers) > _MOST_ROWS:
            raise _too_many(row)
        each = said_of_each(row.counts, len(numbers))
        for at, number in enumerate(numbers):
            items, inherited = self._items_for(row, like, at, at == len(numbers) - 1)
            if at < len(numbers) - 1:
                items = not_the_last(items)
            promised = row.counts_at == number if row.counts_at else at == len(numbers) - 1
            unrolled.append(
                Planned(
                    str(number),
                    list(items),
                    each[at] if each else row.counts or inherited,
                    row.side if at == 0 else "",
                    row.span,
                    row.header,
                    row.readable,
                    first_of_many=at == 0,
                    text=row,
                    strict=bool(row.counts) and (promised or bool(each)),
                    until=like if like is not None and like.until_sts and at == len(numbers) - 1 else None,
                )
            )
            self.items_of[number], self.text_of[number] = list(items), row
            if row.label:
                self.labels[row.label] = number
            self.last_number = number
        return None

    def _count_first(self, lead: Planned) -> None:
        """Words without a header have worked a row: the next that has no number is counted on from it."""
        self.last_number += 1
        self.items_of[self.last_number] = after_foundation(lead.items)
        if lead.text is not None:
            self.text_of[self.last_number] = lead.text

    def _numbers(self, row: RowText, like: LikeRow | None) -> list[int] | None:
        start = self.last_number + 1
        if like is not None and (_heads_the_first_only(row, like) or self._heads_several(row, like)):
            return self._numbers_of(like, row.first.of(self.size) if row.first is not None else start)
        if row.next_rows is not None:
            return list(range(start, start + min(row.next_rows.of(self.size), _MOST_ROWS + 1)))
        if row.first is None or row.last is None:
            return self._numbers_of(like, start) if like is not None else None
        if row.listed:
            return [n.of(self.size) for n in row.listed]
        first, last = row.first.of(self.size), row.last.of(self.size)
        if last - first > _MOST_ROWS:
            raise _too_many(row)
        if last < first - 1:
            raise Stuck(
                "F392",
                f"the range runs from {first} down to {last}",
                row.header,
                f'write "Rows {last}-{first}"',
            )
        return list(range(first, last + 1))

    def _heads_several(self, row: RowText, like: LikeRow) -> bool:
        """ "Row 3: Rep Row 2 3 times", where no Row 4 follows but Row 6 or none: the number is that of the first of them."""
        if row.first is None or row.first != row.last or row.listed:
            return False
        times = like.times.of(self.size) if like.times is not None else 1
        first, many = row.first.of(self.size), times * self.rows_in_a_pass(like)
        return many > 1 and self.next_headed in (0, first + many)

    def _numbers_of(self, like: LikeRow, start: int) -> list[int]:
        """The rows that are worked like others, as often or as far as the words say."""
        if like.until is not None:
            return self._until(like, start)
        if like.until_rows is not None:
            return list(range(start, min(like.until_rows.of(self.size), start + _MOST_ROWS) + 1))
        times = self.passes.get(like.span, 1) if like.until_sts else like.times.of(self.size) if like.times else 1
        at_once = self.rows_in_a_pass(like)
        return list(range(start, start + min(times, _MOST_ROWS) * at_once - self._led(like)))

    def rows_in_a_pass(self, like: LikeRow) -> int:
        """How many rows a pass has."""
        if like.every is not None:
            return like.every.of(self.size)
        return like.last.of(self.size) if like.last is not None else len(like.rows) or 1

    def _followed(self, like: LikeRow, at: int) -> int:
        """Number of the row that the `at`-th row of this text is like."""
        if like.label and like.label not in self.labels:
            raise Stuck("F393", f'no row before this one is called "{like.label} row"', like.span, f'head it so: "{like.label.capitalize()} row: …"')
        if like.label:
            return self.labels[like.label]
        if like.between is not None and not like.rows:
            return self._widened(like)
        if like.every is not None:
            return like.rows[-1].of(self.size) if like.rows else self.before
        if like.last is None:
            return like.rows[at % len(like.rows)].of(self.size)
        back = like.last.of(self.size)
        return self.before - back + 1 + at % back

    def _widened(self, like: LikeRow) -> int:
        """The last row that increased, which "having 2 sc more between increases" goes on from; or that decreased."""
        by = like.between.of(self.size) if like.between is not None else 0
        found = next((n for n in range(self.before, 0, -1) if changes_so(self.items_of.get(n, []), by)), None)
        if found is None:
            raise Stuck("F393", f"no row before this one {'increases' if by > 0 else 'decreases'}", like.span, "write the row out")
        return found

    def _led(self, like: LikeRow) -> int:
        """How many rows of the first pass are worked already: those even since the last that increased."""
        goes_on = like.between is not None and not like.rows
        if like.every is not None and len(like.rows) == 1 and not goes_on:
            return self._even_since(like.rows[0].of(self.size), like)
        return min(self.before - self._widened(like), self.rows_in_a_pass(like) - 1) if goes_on else 0

    def _even_since(self, number: int, like: LikeRow) -> int:
        """How many rows even there are since that one; none where they are not, or more than a pass has."""
        since = range(number + 1, self.before + 1)
        even = len(since) < self.rows_in_a_pass(like) and not any(changes(self.items_of.get(n, [])) for n in since)
        return len(since) if even else 0

    def _is_even(self, like: LikeRow, at: int) -> bool:
        """Is it one of the rows even that go before the last of each pass?"""
        return like.every is not None and bool((self._led(like) + at + 1) % self.rows_in_a_pass(like))

    def _apart(self, like: LikeRow, items: list[Item], at: int) -> list[Item]:
        """The row with its increases farther apart, where they are said to be, by so much more in each pass."""
        if like.apart is not None and (now := apart_now(items)) is not None:
            return farther_apart(items, like.apart.of(self.size) - now, by=1)
        if like.between is None:
            return items
        return farther_apart(items, like.between.of(self.size) * -(-(self._led(like) + at + 1) // self.rows_in_a_pass(like)))

    def _until(self, like: LikeRow, start: int) -> list[int]:
        """ "until piece measures 10 cm": rows by gauge, counted from the piece's beginning."""
        until = like.until
        assert until is not None, "a length is said"
        length = until.cm[self.size if len(until.cm) > 1 else 0]
        kind = first_kind(self.items_of.get(self._followed(like, 0), []))
        found = rows_in(length, kind, self.heights)
        if found is None:
            raise Stuck(
                "F394",
                f"how many rows are {float(length):g} cm?",
                like.span,
                "give a row gauge for this stitch, or say how many rows",
            )
        rows, height = found
        last = self._ending(like, until, start, rows)
        ending = f", and the next that ends so is row {last}" if last != rows else ""
        more = until.more.of(self.size) if until.more is not None else 0
        after = f", and {more} more" if more else ""
        said = f"worked to row {last + more}, since {float(length):g} cm at {float(height):.2f} cm a row are {rows} rows"
        self.said.append((f"{said}{ending}{after}", like.span))
        return list(range(start, min(last + more, start + _MOST_ROWS) + 1))

    def _ending(self, like: LikeRow, until: Measured, start: int, rows: int) -> int:
        """The last row: where its side or its number in the pattern is said, the first from `rows` on that is so."""
        span = range(max(rows, start), max(rows, start) + 2 * max(len(like.rows), 1))
        if until.side:
            return next((n for n in span if self._side_of(n) == until.side), rows)
        if until.like is not None:
            wanted = until.like.of(self.size)
            return next((n for n in span if self._followed(like, n - start) == wanted), rows)
        return rows

    def _side_of(self, number: int) -> str:
        """The side that a row shows, from the last row before it whose side is said; the first is RS."""
        said = [(n, row.side) for n, row in self.text_of.items() if row.side and row.first is not None and n == row.first.of(self.size)]
        told, side = max(said, default=(1, "RS"))
        return side if (number - told) % 2 == 0 else {"RS": "WS", "WS": "RS"}[side]

    def _as_begun_before(self, row: RowText) -> list[Item]:
        """ "Rnds 5-9: Work even" begins and ends as the round before."""
        worked = [i for i in row.items if not isinstance(i, (Note, Colour)) and not is_off(i)]
        even = worked[0] if len(worked) == 1 else None
        before = as_led(self.items_of.get(self.before, []))
        if not isinstance(even, Even) or even.by or not before:
            return named_by(row.items, before)
        at = list(row.items).index(even)
        return [*row.items[:at], *evened(before, even), *row.items[at + 1 :]]

    def _below_pass(self, like: LikeRow, at: int) -> int:
        """The row that the rows worked again stand on: those named from there on move with them."""
        length = self.rows_in_a_pass(like)
        return min(self._followed(like, at - at % length + k) for k in range(length)) - 1

    def _items_for(self, row: RowText, like: LikeRow | None, at: int, last: bool) -> tuple[list[Item], tuple[Count, ...]]:
        if like is None:
            return self._as_begun_before(row), ()
        number = self._followed(like, at)
        if number not in self.items_of:
            known = f"the {_spans(sorted(self.items_of))}" if self.items_of else ""
            raise Stuck("F393", f"there is no row {number} before this one to work like", like.span, known)
        items = renumbered(self.items_of[number], self.last_number + 1 - number, self._below_pass(like, at))
        between = self._is_even(like, at)
        even = like.even or (Even(span=like.span) if between or like.last is not None and begins_on_chain(items) else None)
        items = as_led(items) if even is not None else items
        if even is not None and (even.by or even.stitch is not None or changes(items)):
            items = evened(items, even)
        if not between:
            items = self._apart(like, items, at)
        if like.chains is not None:
            items = with_chains(items, like.chains, like.span)
        if like.fewer is not None:
            items = with_fewer_loops(items, like.fewer.of(self.size) * (1 + at // self.rows_in_a_pass(like)), self.size, like.span)
        if like.ending or like.dropping:
            items = [*without_turning(items), *like.ending]
        here = row.items.index(like)
        return [*row.items[:here], *ended_otherwise(items, row.items[here + 1 :], last)], self.text_of[number].counts


def _heads_the_first_only(row: RowText, like: LikeRow) -> bool:
    """ "Row 3: Rep Row 2 until there are 32 sc": the number is that of the first of them."""
    one = row.next_rows is None or set(row.next_rows.values) == {1}
    return like.goes_on and one and not row.listed and row.first == row.last


def _with_their_leads(rows: list[Planned]) -> list[Planned]:
    """Words without a header that begin a later row, put before what that row works."""
    found: list[Planned] = rows[:1]
    for before, row in zip(rows, rows[1:], strict=False):
        if before.loose and before is not rows[0]:
            row.items[:0], row.readable = before.items, row.readable and before.readable
        if not row.loose or row is rows[-1]:
            found.append(row)
    return found


def _of_any_size(part: PartText) -> set[int]:
    """The numbers of all rows that some size works."""
    headed = [(row.first.values, row.last.values) for row in part.rows if row.first and row.last]
    return {n for first, last in headed for n in range(min(first), min(max(last), min(first) + _MOST_ROWS) + 1)}


def _in_turn(rows: list[Planned]) -> list[Planned]:
    """ "Rnds 5 and 7: …" before "Rnds 6 and 8: …": worked by number."""
    apart = [r for r in rows if r.text is not None and r.text.listed and not r.first_of_many]
    if not any(int(a.number) != int(b.number) + 1 for b, a in zip(rows, rows[1:], strict=False) if a in apart):
        return rows
    lead = [r for r in rows if r.loose]
    return [*lead, *sorted((r for r in rows if not r.loose), key=lambda r: int(r.number))]


def never_there(number: str, before: int, made: int, wanted: int, span: Span) -> Stuck:
    """ "until there are 16 sc", where the rows go past 16 or do not change the count."""
    change = f"{made - before:+d} each time" if made != before else "no change each time"
    return Stuck(
        "F397", f"{wanted} sts are never reached: row {number} has {made}, {before} before it", span,
        "check the number, or say how often the rows are worked", notes=(f"{before} to {made}: {change}",),
    )  # fmt: skip


def _too_many(row: RowText) -> Stuck:
    return Stuck(
        "F391",
        f"this part would have more than {_MOST_ROWS:,} rows, which is the limit",
        row.header,
        "check the row numbers here",
    )


def loop_after(items: Sequence[Item], loop: str) -> str:
    """The loop that the next row is worked in: what a row says holds for that row, or "from here on"."""
    for item in items:
        if isinstance(item, Loops) and (item.lasts or not item.loop):
            loop = item.loop
    return loop


def after_work(items: Sequence[Item], sign: Sign) -> bool:
    """Does the sign come after stitches, so that it turns the work for the next row?"""
    before = items[: list(items).index(sign)]
    return any(
        not isinstance(i, (Chain, Sign))
        and type(i).__name__ not in ("Note", "Counting", "Colour", "Loops", "Join", "Attach")
        for i in before
    )


def _spans(numbers: list[int]) -> str:
    return (
        f"rows so far are {numbers[0]}-{numbers[-1]}"
        if len(numbers) > 1
        else f"only row so far is {numbers[0]}"
    )


def _loose_words(row: RowText, unrolled: list[Planned]) -> None:
    """Words without a header: before the first row they begin the part, later they end a row."""
    if not unrolled:
        unrolled.append(
            Planned("0", list(row.items), row.counts, "", row.span, row.header, row.readable, text=row)
        )
    elif unrolled[-1].loose:
        unrolled[-1].items.extend(row.items)
        unrolled[-1].words = unrolled[-1].words.to(row.span)
        unrolled[-1].readable &= row.readable
    elif (at := begins_elsewhere(row.items, unrolled[-1].all_items)) is not None:
        unrolled[-1].tail.extend(row.items[:at])
        unrolled.append(Planned("0", list(row.items[at:]), (), "", row.span, row.header, row.readable, text=row))
    else:
        unrolled[-1].tail.extend(row.items)
        unrolled[-1].readable &= row.readable


def _move_turning_chains(unrolled: list[Planned]) -> tuple[Chain | None, str]:
    """ "… ch 3, turn" at a row's end begins the next row. Returns what the last row leaves
    for the next part."""
    chain, turned = None, ""
    for row, following in zip(unrolled, [*unrolled[1:], None], strict=False):
        items = row.all_items
        loose = row.loose and not (following is not None and works_before(row.items, following.text))
        if following is not None and not loose and (added := chain_begun(following.items)) is not None:
            following.items = [i for i in following.items if i is not added]
            items = [*items, added]
        chain, turned, kept = closing_chain(items)
        if chain is not None and not loose and following is not None and worked_along(chain, following.items):
            row.items, row.tail, chain = items, [], None
        elif chain is not None and not loose:
            row.items, row.tail = kept, []
            chain = None if any(map(is_off, kept)) else chain          # cut off, it begins no row
            if chain is not None and following is not None and told_twice(chain, row.is_like_another, following.items):
                following.told_twice = chain
            elif chain is not None and following is not None:
                following.items.insert(0, chain)
        else:
            row.items, row.tail = kept if chain is None else items, []
        if turned and following is not None:
            following.turned_before = turned
        row.next_ends = top_named(following.items) if following is not None else None
    return chain, turned


__all__ = ["Planned", "Planner"]
