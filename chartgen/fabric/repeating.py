"""Repeats on the edge: so many times, or as often as the row has room.

"Around" is never guessed to fit. Passes are worked while they fit; then the words after
the repeat must use what is left, exactly. If they do not, the last few passes are taken
back one by one, since those words may need their stitches ("rep from * across, dc in
next st"). What comes out clean is right; if nothing does, the arithmetic is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from chartgen.fabric.claims import claimed, top_at_end, top_claimed
from chartgen.fabric.edge import Stuck, is_open_chain, matches
from chartgen.fabric.hook import MOST_STITCHES, Hook, HookState, too_many
from chartgen.fabric.last_pass import alike, at_the_join, cut, goes_to_the_end, last_pass, opened, passes_over_as_before, skips_last, slips_home, tells_a_whole_pass
from chartgen.fabric.passing import check_left, leaps, longest_passed
from chartgen.fabric.slipping import begun_in
from chartgen.fabric.so_many import are_there, in_ring
from chartgen.notation.tree import Chain, Group, Item, Join, Note, Own, Repeat, Skip, Work

_TAKE_BACK = 3
FINAL = ("F390", "F316", "F317")
_MOST_TRIES = 300
_NO_END = "this repeat does not come out at the end of the round"


@dataclass
class _Pass:
    """A point to go back to: before pass `number` (from 0), which reached so far where it came out as a whole, and went
    past so many stitches in one go."""

    number: int
    state: HookState
    at: int
    reached: int = 0
    passed: int = 0


def repeat(hook: Hook, item: Repeat, after: Sequence[Item], do: Callable) -> None:
    """Work a repeat; `after` is what follows in the row."""
    number = hook.repeats
    hook.repeats += 1
    outer = hook.path
    if item.times is not None:
        _counted(hook, item, after, do, number)
    else:
        _as_often_as_fits(hook, item, after, do, number)
    hook.path = outer


def _pass(
    hook: Hook,
    item: Repeat,
    items: Sequence[Item],
    after: Sequence[Item],
    do: Callable,
    number: int,
    turn: int,
) -> None:
    hook.path = (*hook.path[: _depth(hook, number)], (number, turn))
    do(hook, items, after)


def _depth(hook: Hook, number: int) -> int:
    return next((d for d, (n, _) in enumerate(hook.path) if n == number), len(hook.path))


def _counted(hook: Hook, item: Repeat, after: Sequence[Item], do: Callable, number: int) -> None:
    assert item.times is not None
    total = item.times.of(hook.size)
    if item.unsure:
        hook.unsure_used = True
        total += item.unsure if hook.fewer_passes else 0
    if total > MOST_STITCHES:
        raise too_many(item.times_span)
    outer = hook.path
    for turn in range(total):
        last = turn == total - 1
        items = last_pass(item) if last else item.items
        inner_after = item.items if not last else after
        if last and (home := slips_home(item)) is not None:
            _one_of_two(hook, item, (items, home), after, do, number, turn)
        else:
            _pass(hook, item, items, inner_after, do, number, turn)
        hook.path = outer
        if not (item.ending or item.mark is not None) and are_there(hook, item):
            break


def _one_of_two(hook: Hook, item: Repeat, ends, after: Sequence[Item], do: Callable, number: int, turn: int) -> None:
    """The last pass as told, or, where the row has no place left for that, as the other way of reading it has it."""
    before = hook.state()
    try:
        _pass(hook, item, ends[0], after, do, number, turn)
    except Stuck as stuck:
        if stuck.code not in ("F301", "F302", "F303"):
            raise
        hook.back_to(before)
        _pass(hook, item, ends[1], after, do, number, turn)


def _as_often_as_fits(hook: Hook, item: Repeat, after: Sequence[Item], do: Callable, number: int) -> None:
    if in_ring(item):
        raise _never_ends(item)
    _stand_where_it_closes(hook, item)
    hook.beyond = ()                                        # it goes as far as the row before does
    outer_reserve, limit_edge = hook.walk.reserved, hook.walk.edge
    reserve = _left_over_by_words(hook, item, after)
    stops = item.n_left is not None or item.until is not None
    hook.ends_on_top = top_claimed(item.ending) or top_claimed(after)
    hook.joined_instead = bool(item.ending) or _joined_next(hook, after)
    outer = hook.path
    passes: list[_Pass] = []
    fault: Stuck | None = None
    while True:
        before = _Pass(len(passes), hook.state(), hook.walk.at)
        done = hook.progress
        if passes:
            passes[-1].reached, passes[-1].passed = hook.walk.at, longest_passed(hook, passes[-1].at, passes[-1].state.stitches)
        passes.append(before)
        hook.walk.reserved, hook.walk.kept = reserve, reserve if stops else 0
        at_end = hook.walk.at >= hook.walk.end and hook.walk.side is None and not _along_row_ends(item)
        home = _ends_in_its_loop(hook, item)
        if at_end and passes[1:] and not (home or _ends_in_first(hook, item)):
            break
        try:
            _pass(hook, item, item.items, item.items, do, number, before.number)
        except Stuck as stuck:
            if stuck.code in FINAL or before.number == 0 and item.mark is None and not item.ending:
                raise
            fault = stuck
            hook.back_to(before.state)
            break
        hook.path = outer
        if hook.progress == done and hook.walk.side is None and hook.ending != "join" and not home:
            raise _never_ends(item)
    hook.path, hook.joined_instead = outer, False
    hook.walk.reserved, hook.walk.kept = outer_reserve, 0
    _end_it(hook, item, after, do, number, passes, fault, limit_edge, reserve)


def _never_ends(item: Repeat) -> Stuck:
    said = "this repeat works into no stitch of the row before, so it would never end"
    return Stuck("F316", said, item.times_span, 'say how often: "rep from * 5 more times"')


def _along_row_ends(item: Repeat) -> bool:
    """Is every stitch of a pass in the end of a row, so that the top edge, worked before, is no measure of it?"""
    wheres = [w for i in item.items for w in getattr(i, "where", ())]
    return bool(wheres) and all(w.which == "ends" for w in wheres)


def _stand_where_it_closes(hook: Hook, item: Repeat) -> None:
    """A round of loops that begins with one and closes in its base stands on the first stitch, which no loop passes over."""
    loops = bool(item.items) and isinstance(item.items[0], Chain)
    skips = any(isinstance(i, Skip) for i in item.items)
    last = item.ending[-1] if item.ending else None
    home = isinstance(last, Work) and (skips or last.stitch.is_slip)
    closes = home and any(w.which in ("base", "this", *(("first",) if skips else ())) or at_the_join(w) for w in last.where)
    if loops and closes and hook.worked == "rounds" and not hook.row_worked() and not hook.begin and hook.walk.edge.line:
        hook.walk.at = max(hook.walk.at, 1)


def _ends_in_first(hook: Hook, item: Repeat) -> bool:
    """Is one more pass worked in the place that the last came to, its slip stitch ending the round?"""
    last = item.items[-1] if item.items else None
    slips = isinstance(last, Work) and last.stitch.is_slip and any(w.which == "next" for w in last.where)
    places = [w.which for i in item.items[:-1] for w in getattr(i, "where", ())]
    hook.ends_unsaid = slips and places[:1] == ["same"] and hook.worked == "rounds"
    return hook.ends_unsaid and hook.ending != "join" and not hook.stops_short


def _ends_in_its_loop(hook: Hook, item: Repeat) -> bool:
    """ "Sl st to center of first loop, *ch 6, sc in next loop; rep from * around": is one more pass worked into that loop?"""
    onward = any(w.which == "next" and w.target.kind == "space" for w in getattr(item.items[-1], "where", ()))
    return onward and begun_in(hook) is not None


def _left_over_by_words(hook: Hook, item: Repeat, after: Sequence[Item]) -> int:
    if item.n_left is not None:
        check_left(hook, item.left, item.n_left.of(hook.size), item.times_span)
        return item.n_left.of(hook.size)
    if item.until is not None and item.until.target.kind == "turning" and (top := top_at_end(hook)):
        return top
    if item.until is not None:
        from chartgen.fabric.find import position

        edge = hook.walk.edge
        rest = edge.line[position(hook, item.until) : edge.limit]
        return sum(i not in edge.optional for i in rest)
    return max(claimed(hook, after), claimed(hook, item.ending))


def _end_it(hook, item, after, do, number, passes, fault, edge, reserve) -> None:
    """Find the end that comes out: the ending or mark in the last pass, or plain passes."""
    if _runs_home(hook, item, after, do):
        return
    greedy, told, furthest = hook.state(), None, -1
    begun = any(not hook.stitches[i].kind.is_chain for i in range(hook.first_index, passes[0].state.stitches)) or hook.begin_counts
    joined = begun and _joined_next(hook, after)
    skipped = _skipped_before(item, passes) if _joined_next(hook, after) else []
    for way in (*skipped, *_ways(item, passes, joined, joined and _would_come_round(hook, item))):
        try:
            _try(hook, item, after, do, number, way)
        except Stuck as stuck:
            if stuck.code in FINAL:
                raise
            if len(hook.stitches) >= furthest and stuck.message != _NO_END:  # what is told is how the way failed that came furthest
                told, furthest = stuck, len(hook.stitches)
            continue
        return
    hook.back_to(greedy)
    hook.walk.reserved = 0
    _plain_end(hook, item, after, do, number, passes, edge, reserve, told or fault)


def _runs_home(hook: Hook, item: Repeat, after: Sequence[Item], do: Callable) -> bool:
    """ "*Sc in each sc to corner, 3 sc in corner; rep from * around": behind the last corner the side goes on to where
    the round began."""
    first = item.items[0]
    where = first.where[0] if isinstance(first, Work) and len(first.where) == 1 else None
    open_end = item.times is None and item.n_left is None and item.until is None and not item.ending and item.mark is None
    left = _goes_round(hook) and hook.walk.at < hook.walk.end and hook.row_worked()
    rest = any(isinstance(i, (Work, Own, Group, Repeat, Skip)) for i in after) and not _joined_next(hook, after)
    if where is None or where.until != "target" or not open_end or not left or rest or hook.path:
        return False
    before = hook.state()
    try:
        do(hook, [replace(first, where=(replace(where, until="end", stop=None),))], after)
    except Stuck:
        hook.back_to(before)
        return False
    return True


def _would_come_round(hook: Hook, item: Repeat) -> bool:
    """ "Sc in same sc, *7 dc in next sp, sc in next sc; rep from * around": is the last sc of all the one begun with?"""
    last, line = item.items[-1], hook.walk.edge.line
    first = next((s for s in map(hook.stitches.__getitem__, hook.row_stitches()) if s.feet and not s.kind.is_slip), None)
    if first is None or not isinstance(last, Work) or len(last.where) != 1 or not line or len(item.items) < 2:
        return False
    onward = last.where[0].which == "next" and last.where[0].of is None and set(last.where[0].n.values) == {1}
    if onward and last.where[0].target.kind == "space":      # "sc in same sp, *skip next sp, 5 dc in next sp, skip next sp, sc in next sp"
        return first.kind == last.stitch and first.feet[0].kind == "space" and line[0] in first.feet[0].stitches
    begins = first.kind == last.stitch and first.feet[0].stitches[:1] == (line[0],)
    return onward and begins and matches(hook.stitches[line[0]], last.where[0].target)


def _goes_round(hook: Hook) -> bool:
    """Are rounds worked, or an edging's next round on its first?"""
    return hook.worked == "rounds" or hook.edge_form == "round" and not hook.turned_back


def _joined_next(hook: Hook, after: Sequence[Item]) -> bool:
    """Is the round joined right behind the repeat?"""
    following = next((i for i in after if not isinstance(i, Note)), None)
    slips = isinstance(following, Work) and following.stitch.is_slip
    return _goes_round(hook) and not hook.path and (slips or isinstance(following, Join))


def _ways(item: Repeat, passes: list[_Pass], joined: bool, comes_round: bool):
    """(point to go back to, items of the last pass) in the order of likelihood."""
    tail = passes[-1 : -_TAKE_BACK - 2 : -1]
    if item.mark is not None:
        yield from ((p, item.items[: item.mark]) for p in tail)
    elif item.ending and all(isinstance(i, Note) for i in item.ending):
        yield from _ends_as_it_comes_out(item, tail, joined)
    elif item.ending:
        home, along, over = slips_home(item), goes_to_the_end(item), passes_over_as_before(item, joined)
        for p in tail:                                      # backwards: what is gone back behind is not there any more
            if along is not None and p.number:
                yield p, along
            if home is not None and p.number:
                yield p, home
            apart = opened(item.items)
            end = len(opened(item.items[: cut(item)]))
            while not (end == 0 and p.number and _chains_would_meet(item)):
                if end or p.number or tells_a_whole_pass(item):  # it is worked once at least
                    yield p, [*apart[:end], *item.ending]
                    yield from ((p, [*apart[:end], *skips_too]) for skips_too in _skipped_after(item, apart, joined))
                if end == 0:
                    break
                end = next((at for at in range(end - 1, -1, -1) if alike(apart[at], item.ending[0])), 0)
            if over is not None:
                yield p, over
    else:
        short = _before_its_last(item, comes_round) if joined else None
        for p in (p for p in tail if p.number):             # it is worked once at least
            yield from ((p, end) for end in _ends_of(short, first=p is tail[0]))


def _skipped_after(item: Repeat, apart: Sequence[Item], joined: bool) -> list[list[Item]]:
    """ "*Skip 2 sc, sc in next sc, skip 2 sc, shell in next sc; rep from * around, ending with skip 2 sc, sc in next sc; join":
    the ending, with so many skipped behind its last stitch as in every pass."""
    slips = isinstance(item.ending[-1], Work) and item.ending[-1].stitch.is_slip
    told = list(item.ending[: len(item.ending) - slips])
    last = max((k for k, one in enumerate(apart) if told and alike(one, told[-1])), default=-1)
    skips = [one for one in apart[last + 1 : last + 2] if isinstance(one, Skip)] if last >= 0 and (joined or slips) else []
    return [[*told, *skips, *item.ending[len(told) :]]] if skips else []


def _skipped_before(item: Repeat, passes: Sequence[_Pass]) -> list[tuple[_Pass, list[Item]]]:
    """ "*6 sc under next ch-5, skip next sc; rep from * around": a last pass without the stitch skipped, which was gone past
    before the first space."""
    last = item.items[-2:-1] if passes[1:] and not item.ending and item.mark is None else ()
    spaces = any(w.target.kind == "space" for one in last for w in getattr(one, "where", ()))
    return [(passes[-1], list(item.items[:-1]))] if spaces and isinstance(item.items[-1], Skip) else []


def _ends_as_it_comes_out(item: Repeat, tail: Sequence[_Pass], joined: bool):
    """ "Ending to correspond": the last pass stops after any of its stitches, of a round also after a chain that leads to its
    join, or before its last where the join is in place of that."""
    short = _before_its_last(item) if joined else None
    stops = (Work, Group, Own, Chain) if joined else (Work, Group, Own)
    for p in tail:
        if short is not None:
            yield p, [*short, *item.ending]
        for end in range(len(item.items), 0, -1):
            if isinstance(item.items[end - 1], stops):
                yield p, [*item.items[:end], *item.ending]
        if p.number:
            yield p, None


def _ends_of(short: list[Item] | None, first: bool) -> tuple[list[Item] | None, ...]:
    """A last pass as begun and broken off before its last stitch, or none: the pass that found no room is begun first."""
    if short is None:
        return (None,)
    return (short, None) if first else (None, short)


def _before_its_last(item: Repeat, comes_round: bool = False) -> list[Item] | None:
    """A pass up to its last stitch (and the chain behind that), where a chain leads to it or the round began with it,
    or no more than what is skipped; None for others."""
    made = [at for at, i in enumerate(item.items) if isinstance(i, (Work, Group, Own, Chain))]
    goes_on = len(made) > 2 and isinstance(item.items[made[-1]], Chain) and isinstance(item.items[made[-3]], Chain)
    made = made[:-1] if goes_on else made                   # "Ch 6, *sc in next loop, ch 3, dc in next dc, ch 3"
    skips = made[:1] == [1] and not goes_on and isinstance(item.items[0], Skip)
    leads = len(made) > 1 and isinstance(item.items[made[-1]], Work) and (comes_round or isinstance(item.items[made[-2]], Chain))
    home = comes_round and isinstance(item.items[made[-1] - 1], Skip)       # "…, skip next sp, sc in next sp", the one begun in
    return list(item.items[: made[-1] if leads and (home or not skips) else 1]) if skips or leads else None


def _chains_would_meet(item: Repeat) -> bool:
    """An ending that begins with a chain replaces a closing chain, it does not lengthen it."""
    return isinstance(item.ending[0], Chain) and isinstance(item.items[-1], Chain)


def _try(hook: Hook, item: Repeat, after: Sequence[Item], do: Callable, number: int, way) -> None:
    """Work the last pass and the rest of the row tentatively; raise Stuck if it does not come out."""
    from chartgen.fabric.finishing import left_over

    start, items = way
    hook.back_to(start.state)
    hook.walk.reserved = 0
    outer, stood = hook.path, hook.walk.at
    if items is not None:
        _pass(hook, item, items, after, do, number, start.number)
        hook.path = outer
        if item.mark is None and skips_last(item, items) and _more_is_left(hook):
            raise Stuck("F310", _NO_END, item.span)         # what is skipped must be all that is left
        if item.ending and leaps(hook, start.reached, stood, start.state.stitches, start.passed):
            raise Stuck("F310", "the ending would pass over what a whole repeat works into", item.span)
        if hook.walk.at == stood and _ends_in_what_is_left(hook, item, items) or _comes_there_again(hook, item):
            raise Stuck("F310", "the last place of this repeat has been worked into already", item.span)
    if hook.in_place is None and not outer:
        hook.tries += 1
        if hook.tries > _MOST_TRIES:
            raise Stuck("F317", "this row has more repeats than can be tried out", item.span)
        do(hook, after)
        fault = left_over(hook)
        if fault is not None:
            raise fault
        hook.row_done = True


def _more_is_left(hook: Hook) -> bool:
    """Stitches ahead that slip stitches at the round's start have not gone past."""
    walk = hook.walk
    return any(i not in walk.behind for i in walk.edge.line[walk.at : walk.edge.limit])


def _ends_in_what_is_left(hook: Hook, item: Repeat, items: Sequence[Item]) -> bool:
    """ "Ending with sc in top of turning ch" takes over a pass's last stitch; what another pass has worked
    already is not worked again."""
    last = item.ending[-1] if item.ending else None
    where = last.where[0] if isinstance(last, Work) and last.where else None
    named = where is not None and (where.which in ("nth", "top", "last") or where.target.kind == "turning")
    feet = [set(foot.stitches) for i in hook.row_stitches() for foot in hook.stitches[i].feet]
    again = any(not feet[-1].isdisjoint(before) for before in feet[:-1])        # not the last sc of a picot gone past as a whole
    return hook.worked == "rows" and len(items) == len(item.ending) and named and again


def _comes_there_again(hook: Hook, item: Repeat) -> bool:
    """ "*Sc around bar of next dc; rep from * around, ending with sc around ch-6", "… ending with sc in last sp between
    petals": has the hook been round that bar, or in that gap, before?"""
    last = next((i for i in reversed(item.ending) if not isinstance(i, (Chain, Note))), None)
    feet = [foot for i in hook.row_stitches() for foot in hook.stitches[i].feet]
    if not isinstance(last, Work) or not last.where or last.where[0].which == "same" or not feet:
        return False
    before = [foot.stitches for foot in feet[: -last.count.of(hook.size)] if foot.kind in ("post", "between")]
    return feet[-1].stitches in before


def _plain_end(hook, item, after, do, number, passes, edge, reserve, fault) -> None:
    """No way came out. Say why, by the arithmetic of one pass."""
    if fault is None:
        return
    raise misfit(hook, item, passes, edge, reserve, fault)


def misfit(hook: Hook, item: Repeat, passes: list[_Pass], edge, reserve: int, fault: Stuck) -> Stuck:
    """The repeat does not come out: how many stitches there are, one repeat uses, are left."""
    if len(passes) < 2:
        return fault
    used = passes[1].at - passes[0].at
    start, end = passes[0].at, edge.limit - reserve
    foundation = hook.edge_number == "0"
    if used <= 0 or not foundation and any(is_open_chain(hook.stitches[i]) for i in edge.line[start:end]):
        return fault
    if any(b.at - a.at != used for a, b in zip(passes, passes[1:], strict=False)):
        return fault
    whole, rest = divmod(end - start, used)
    total = end - start
    if rest == 0:
        return fault
    what = "ch" if foundation else "stitches"
    fits = [n for n in (total - rest, total - rest + used)]
    own = f"{start} before it" if start else ""
    kept = f"{reserve} after it" if reserve else ""
    outside = ", ".join(x for x in (own, kept) if x)
    notes = [
        f"{hook.edge_name()} has {len(edge.line)} {what}" + (f" ({outside})" if outside else ""),
        f"one repeat uses {used}: {whole} × {used} = {whole * used}, which leaves {rest} over",
        f"it comes out over {start + reserve + fits[0]} or {start + reserve + fits[1]} {what}",
    ]
    help_text = ""
    if rest == used - 1 and hook.worked == "rounds":
        help_text = 'if the last repeat\'s last stitch is where the round is joined, write what its end is: "… around, ending with …; join"'
    return Stuck(
        "F310",
        f"the repeat does not come out: {total} {what}, {used} in each repeat, {rest} left over",
        item.span,
        help_text,
        notes,
    )


__all__ = ["misfit", "repeat"]
