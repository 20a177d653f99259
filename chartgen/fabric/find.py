"""Finding places: "next 3 sts", "2nd ch of next ch-2", "ch-2 sp of next shell" on an edge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.fabric.edge import Stuck, Walk, groups, is_open_chain, kind_of, matches, runs
from chartgen.fabric.fabric import Place
from chartgen.notation.tree import Target, Where
from chartgen.problems import Span

if TYPE_CHECKING:
    from chartgen.fabric.hook import Hook


def places(hook: Hook, where: Where) -> list[Place]:
    """The places that words name, one per stitch to be worked there. Moves the hook past
    them. Raises Stuck where the edge does not have them."""
    elsewhere = hook.edge_elsewhere(where)
    found = _FINDERS[where.which](hook, where) if elsewhere is None else _there(hook, where, elsewhere)
    loop, post = where.loop or hook.loop, where.post
    if not (loop or post):
        return found
    kind = "post" if post else None
    return [Place(kind or p.kind, p.stitches, loop if p.kind == "stitch" else "", p.far_side) for p in found]


def _there(hook: Hook, where: Where, walk: Walk) -> list[Place]:
    """Places on another edge than the one being worked: an earlier row, another part."""
    here = hook.walk
    hook.walk = walk
    try:
        return _FINDERS[where.which](hook, where)
    finally:
        hook.walk = here


# ---- one place at a time ------------------------------------------------------------


def _in(hook: Hook, at: int) -> Place:
    """The place at position `at` of the edge; the hook stands past it then."""
    edge = hook.walk.edge
    hook.walk.at = max(hook.walk.at, at + 1)
    hook.walk.named_last = False
    return Place("end" if edge.kind == "end" else "stitch", (edge.line[at],), far_side=edge.far_side)


def _space(hook: Hook, first: int, past: int) -> Place:
    tall = sum(not is_open_chain(hook.stitches[i]) for i in hook.walk.edge.line[hook.walk.at : first])
    hook.walk.most_passed = max(hook.walk.most_passed, tall)
    hook.walk.at = max(hook.walk.at, past)
    hook.walk.named_last = True
    return Place("space", tuple(hook.walk.edge.line[first:past]))


def _next(hook: Hook, where: Where) -> list[Place]:
    if where.of is not None:
        return _this(hook, where)
    wanted = where.n.of(hook.size)
    if not where.between and wanted > 1 and _all_alike(hook, where.target) and hook.walk.at + wanted <= hook.walk.end:
        return _stretch_of(hook, hook.walk.at, hook.walk.at + wanted)
    if where.between:
        return [_gap(hook, where)]
    found = []
    for done in range(wanted):
        found.append(_one_next(hook, where, done))
    return found


def _all_alike(hook: Hook, target: Target) -> bool:
    """Does every place of the edge answer to "st"?"""
    return target.kind == "any" and hook.chains_are_stitches and not hook.walk.edge.optional and hook.walk.side is None


def _stretch_of(hook: Hook, start: int, end: int) -> list[Place]:
    """All places of the edge from `start` up to `end`, one after another."""
    edge = hook.walk.edge
    kind = "end" if edge.kind == "end" else "stitch"
    hook.walk.at = max(hook.walk.at, end)
    hook.walk.named_last = False
    return [Place(kind, (i,), "", edge.far_side) for i in edge.line[start:end]]


def _one_next(hook: Hook, where: Where, done: int) -> Place:
    side = _side_next(hook, where.target)
    if side is not None:
        return side
    target = where.target
    if target.kind == "space":
        return _next_space(hook, where, hook.walk.at)
    if target.kind == "turning":
        return _turning(hook, where)
    if target.kind == "group":
        return _group_place(hook, *_next_group(hook, where, hook.walk.at))
    if target.kind == "place":
        return _same(hook, where)[0]
    at = _alone_at(hook, target, hook.walk.at, hook.walk.end) if where.alone else None
    if at is None:
        at = _next_at(hook, target, hook.walk.at, hook.walk.end)
    if at is None:
        raise _short(hook, where, done)
    _passes_over(hook, where, at)
    return _in(hook, at)


def _passes_over(hook: Hook, where: Where, at: int) -> None:
    """Stitches of the row before that words jump over without a chain above them and without
    saying so. A shell or other group may be passed on the way to a named stitch."""
    line, stitches = hook.walk.edge.line, hook.stitches
    if hook.just_skipped and not hook.passing_said and at > hook.walk.at:
        passed = [i for i in line[hook.walk.at : at] if i not in hook.walk.edge.optional
                  and (hook.just_skipped == "chain" or not is_open_chain(stitches[i]))]
        if passed:
            raise _unsaid(hook, where, passed)
    if hook.passing_said:
        return
    foundation = hook.edge_number == "0" and hook.edge_form == "foundation"
    between = line[hook.walk.at : at]
    passed = [i for i in between if i not in hook.walk.edge.optional and not _whole_group(hook, i, between)
              and i not in hook.walk.edge.begin and (foundation or not is_open_chain(stitches[i]))]
    over = hook.closing_chains()
    if over and len(passed) <= over + 1:
        return
    if passed and hook.walk.edge.kind != "end":
        raise _unsaid(hook, where, passed)


def _whole_group(hook: Hook, index: int, between: list[int]) -> bool:
    """Is this stitch of a shell that is passed as a whole, or whose middle was worked into?"""
    group = hook.stitches[index].group
    if group is None:
        return False
    return hook.walk.named_last or all(i in between for i in hook.walk.edge.line if hook.stitches[i].group == group)


def pass_to_skipped(hook: Hook, where: Where, before: int, first: int) -> None:
    """Going to what is skipped, too, passes over nothing unsaid."""
    after, hook.walk.at = hook.walk.at, before
    try:
        _passes_over(hook, where, first)
    finally:
        hook.walk.at = after


def _unsaid(hook: Hook, where: Where, passed: list[int]) -> Stuck:
    chains = all(is_open_chain(hook.stitches[i]) or hook.stitches[i].role == "foundation" for i in passed)
    what = "ch" if chains else ("st" if len(passed) == 1 else "sts")
    return Stuck("F321", f"{len(passed)} {what} of {hook.edge_name()} would be passed over on the way to {_the(hook, where)}", where.span,
                f'work into {"it" if len(passed) == 1 else "them"}, or say "skip next {_so_many(len(passed), what)}"', hook.arithmetic())


def _chain_place(hook: Hook, where: Where, chain: tuple[int, ...], ordinal: int) -> Place:
    line = hook.walk.edge.line
    reached = [line.index(i) for i in chain if i in line]
    top = next((n for n, i in enumerate(chain, 1) if hook.stitches[i].counts_in is not None), 0)
    if top > ordinal > 0:
        kind = kind_of(hook.stitches[chain[top - 1]]).abbreviation(hook.terms)
        raise Stuck("F325", f"ch-{len(chain)} stands for a {kind}, so its top is ch number {top}, not {ordinal}", where.span,
                    f'write "in top of ch-{len(chain)}"')
    if reached and hook.row_worked():
        _passes_over(hook, where, min(reached))
    return hook.chain_place(chain, ordinal)


def _so_many(count: int, what: str) -> str:
    return what if count == 1 else f"{count} {what}"


def _one(hook: Hook, target: Target) -> str:
    return hook.call(target).removesuffix("s")


def _the(hook: Hook, where: Where) -> str:
    return f"the {where.which if where.which in ('next', 'last', 'first') else ''} {hook.call(where.target).removesuffix('s')}".replace("  ", " ")


def _side_next(hook: Hook, target: Target) -> Place | None:
    """The next place on a chain just made that is worked back along (a leaf, a picot)."""
    walk = hook.walk
    if walk.side is None:
        return None
    slipped = hook.stitches[-1].kind.is_slip
    if (target.kind == "chain" or target.kind == "any" and not slipped) and walk.side_at < len(walk.side.line):
        index = walk.side.line[walk.side_at]
        walk.side_at += 1
        return Place("stitch", (index,))
    walk.side = None
    return None


def _next_at(hook: Hook, target: Target, start: int, end: int) -> int | None:
    """Position of the next place that answers to the target; what lies between is passed over."""
    line, stitches = hook.walk.edge.line, hook.stitches
    for at in range(start, end):
        if line[at] in hook.walk.edge.optional and target.kind != "chain":
            continue
        if target.kind == "any" and not hook.chains_are_stitches and is_open_chain(stitches[line[at]]):
            continue
        if matches(stitches[line[at]], target) or _top_at_hand(hook, target, at):
            return at
    return None


def _alone_at(hook: Hook, target: Target, start: int, end: int) -> int | None:
    """Position of the next such stitch that has no stitch like it beside it."""
    line = hook.walk.edge.line
    spot = _next_at(hook, target, start, end)
    while spot is not None:
        beside = [line[i] for i in (spot - 1, spot + 1) if 0 <= i < len(line)]
        if not any(matches(hook.stitches[i], target) and not is_open_chain(hook.stitches[i]) for i in beside):
            return spot
        spot = _next_at(hook, target, spot + 1, end)
    return None


def _top_at_hand(hook: Hook, target: Target, at: int) -> bool:
    """"next ch" may be the very top of a counting chain, if the hook is just before it."""
    return target.kind == "chain" and at == hook.walk.at and hook.stitches[hook.walk.edge.line[at]].kind.is_chain


def _short(hook: Hook, where: Where, done: int) -> Stuck:
    wanted, left = where.n.of(hook.size), _left(hook)
    what = hook.call(where.target)
    rows = hook.edge_name()
    notes = hook.arithmetic()
    if hook.walk.reserved:
        notes.append(f"{hook.walk.reserved} at the end {'is' if hook.walk.reserved == 1 else 'are'} kept for what is worked there later in the row")
    if wanted > 1:
        message = f"{wanted} {what} are wanted here, but {rows} has only {done} left"
    elif where.target.kind == "any" or left == 0 and _has_any(hook, where.target):
        message = f"there is no {'stitch' if where.target.kind == 'any' else what} left in {rows} to work into"
    else:
        message = f"{rows} has no {what} from here on" if _has_any(hook, where.target) else f"{rows} has no {what}; it has {hook.edge_kinds()}"
    return Stuck("F301", message, where.span, notes=notes)


def _has_any(hook: Hook, target: Target) -> bool:
    return any(matches(hook.stitches[i], target) for i in hook.walk.edge.line)


def _left(hook: Hook) -> int:
    return max(hook.walk.end - hook.walk.at, 0)


# ---- spaces, groups, gaps -------------------------------------------------------------


def _all_spaces(hook: Hook, start: int, end: int) -> list[tuple[int, int]]:
    return list(runs(hook.stitches, hook.walk.edge.line, start, end))


def _fits(size: int | None, run: tuple[int, int]) -> bool:
    return size is None or run[1] - run[0] == size


def _next_space(hook: Hook, where: Where, start: int) -> Place:
    size = where.target.size
    begin = start
    line = hook.walk.edge.line
    while begin < len(line) and begin > 0 and hook.walk.at == begin and _inside_run(hook, begin):
        begin += 1
    for run in _all_spaces(hook, begin, hook.walk.end):
        if _fits(size, run):
            return _space(hook, *run)
    gap = _group_gap(hook, begin) if size is None else None
    if gap is not None:
        return gap
    raise _no_space(hook, where, begin)


def _inside_run(hook: Hook, at: int) -> bool:
    """Is the hook in the middle of a run of chains it has already worked into?"""
    line, stitches = hook.walk.edge.line, hook.stitches
    return is_open_chain(stitches[line[at]]) and is_open_chain(stitches[line[at - 1]]) and hook.used(line[at - 1])


def _group_gap(hook: Hook, start: int) -> Place | None:
    """The gap between two groups where no chain lies between them."""
    line = hook.walk.edge.line
    for at in range(max(start, 1), min(hook.walk.end, len(line))):
        one, other = hook.stitches[line[at - 1]], hook.stitches[line[at]]
        if one.group is not None and other.group is not None and one.group != other.group:
            hook.walk.at = at
            hook.walk.named_last = True
            return Place("between", (line[at - 1], line[at]))
    return None


def _no_space(hook: Hook, where: Where, start: int) -> Stuck:
    wanted = f"ch-{where.target.size} sp" if where.target.size else "space"
    sizes = sorted({b - a for a, b in _all_spaces(hook, 0, hook.walk.edge.limit)})
    notes = [f"{hook.edge_name()} has spaces of " + " and ".join(f"{n} ch" for n in sizes)] if sizes else [
        f"{hook.edge_name()} has no chain spaces"
    ]
    return Stuck("F302", f"{hook.edge_name()} has no {wanted} from here on", where.span, notes=notes)


def _gap(hook: Hook, where: Where) -> Place:
    """Between two stitches (or groups): the gap before the next such place."""
    line = hook.walk.edge.line
    if where.target.kind == "group":
        stood = hook.last is not None and hook.last.kind == "between" and hook.walk.at < len(line) and hook.last.stitches[-1] == line[hook.walk.at]
        found = _group_gap(hook, hook.walk.at + stood)
        if found is not None:
            return found
    at = 0 if where.which == "first" else hook.walk.at
    if at + 1 >= len(line):
        raise _short(hook, where, 0)
    hook.walk.at = len(line) if at + 2 == len(line) else at + 1
    hook.walk.named_last = True
    return Place("between", (line[at], line[at + 1]))


def _next_group(hook: Hook, where: Where, start: int) -> tuple[int, int]:
    for span in _groups_named(hook, where.target, start, hook.walk.end):
        return span
    raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(where.target)} from here on", where.span)


def _groups_named(hook: Hook, target: Target, start: int, end: int):
    line, stitches = hook.walk.edge.line, hook.stitches
    if target.name and any(stitches[i].group_name == target.name for i in line):
        yield from _by_name(hook, target.name, start, end)
        return
    if target.name in ("cluster", "cl", "bobble"):
        for at in range(start, end):
            if kind_of(stitches[line[at]]).legs > 1:
                yield at, at + 1
        return
    if target.name:
        yield from _worked_as_one(hook, start, end)
        return
    for first, past in groups(stitches, line, start, end):
        right_size = target.size is None or past - first == target.size
        right_kind = target.stitch is None or matches(stitches[line[first]], Target("stitch", target.stitch))
        if right_size and right_kind and (past - first > 1 or target.size == 1):
            yield first, past


def _worked_as_one(hook: Hook, start: int, end: int):
    """Stitches worked as one group in one place: what a pattern calls a shell or a fan
    without defining it."""
    line, stitches = hook.walk.edge.line, hook.stitches
    at = start
    while at < end:
        group, first = stitches[line[at]].group, at
        while at < end and stitches[line[at]].group == group:
            at += 1
        if group is not None and at - first > 1:
            yield first, at


def _by_name(hook: Hook, name: str, start: int, end: int):
    line, stitches = hook.walk.edge.line, hook.stitches
    at = start
    while at < end:
        group = stitches[line[at]].group
        if stitches[line[at]].group_name != name:
            at += 1
            continue
        first = at
        while at < end and stitches[line[at]].group == group:
            at += 1
        yield first, at


def _group_place(hook: Hook, first: int, past: int) -> Place:
    """"in next shell": its chain space if it has one in the middle, else its middle stitch."""
    inner = [r for r in _all_spaces(hook, first, past) if r[0] > first and r[1] < past]
    hook.walk.at = past
    hook.walk.named_last = True
    if inner:
        middle = inner[len(inner) // 2]
        return Place("space", tuple(hook.walk.edge.line[middle[0] : middle[1]]))
    return Place("stitch", (hook.walk.edge.line[(first + past - 1) // 2],))


# ---- first, last, each, same ------------------------------------------------------------


def _first(hook: Hook, where: Where) -> list[Place]:
    if where.of is not None:
        first, past = _within(hook, where.of)
        return _members(hook, where, first, past, where.n.of(hook.size))
    if where.between:
        return [_gap(hook, where)]
    if where.target.kind == "chain" and hook.line and (chain := hook.chain_just_made()) and hook.row_worked():
        return [Place("stitch", (chain[0],))]
    if hook.closing() or hook.worked == "rounds" and hook.row_worked() and where.target.kind in ("any", "stitch"):
        own = hook.own_first(where.target)
        if own is not None:
            return [Place("stitch", (own,))]
    if where.target.kind == "space":
        for run in _all_spaces(hook, 0, hook.walk.end):
            if _fits(where.target.size, run):
                return [_space(hook, *run)]
        raise _no_space(hook, where, 0)
    if where.target.kind == "turning":
        return [_turning(hook, where)]
    if where.target.kind == "group":
        return [_group_place(hook, *_next_group(hook, where, 0))]
    found, at = [], 0
    for done in range(where.n.of(hook.size)):
        spot = _next_at(hook, where.target, at, hook.walk.end)
        if spot is None:
            raise _short(hook, where, done)
        found.append(_in(hook, spot))
        at = spot + 1
    return found


def _last(hook: Hook, where: Where) -> list[Place]:
    edge, wanted = hook.walk.edge, where.n.of(hook.size)
    if where.of is not None:
        first, past = _within(hook, where.of)
        return _members(hook, where, first, past)[-wanted:]
    if where.target.kind == "space":
        found = [r for r in _all_spaces(hook, 0, edge.limit) if _fits(where.target.size, r)]
        found = found or _begin_loop(hook, where.target.size)
        if len(found) < wanted:
            raise _no_space(hook, where, 0)
        _not_passed(hook, where, found[-1][1] - 1)
        return [_space(hook, *r) for r in found[-wanted:]]
    if where.target.kind == "group":
        spans = list(_groups_named(hook, where.target, 0, edge.limit))
        if not spans:
            return [_group_place(hook, *_next_group(hook, where, 0))]
        return [_group_place(hook, *spans[-1])]
    end = edge.limit - (1 if hook.top_is_spoken_for and not hook.taking_top else 0)
    spots: list[int] = []
    for at in range(end - 1, -1, -1):
        if len(spots) == wanted:
            break
        if edge.line[at] in edge.optional:
            continue
        if where.target.kind == "any" and not hook.chains_are_stitches and is_open_chain(hook.stitches[edge.line[at]]):
            continue
        if matches(hook.stitches[edge.line[at]], where.target):
            spots.append(at)
    if len(spots) < wanted:
        raise _short(hook, where, len(spots))
    _not_passed(hook, where, spots[0])
    if hook.row_worked():
        _passes_over(hook, where, min(spots))
    return [_in(hook, at) for at in reversed(spots)]


def _not_passed(hook: Hook, where: Where, at: int) -> None:
    """"the last sc" must still be ahead; worked into already, it is "the same sc"."""
    if at < hook.walk.at and hook.last_work_span is not None:
        raise Stuck("F304", f"the last {_one(hook, where.target)} of {hook.edge_name()} has been worked into or passed already",
                    where.span, 'write "in same st" if it is worked into again', hook.arithmetic())


def _begin_loop(hook: Hook, size: int | None) -> list[tuple[int, int]]:
    """The beginning chain at the edge's end as a loop ("ch-4 loop of last shell")."""
    edge = hook.walk.edge
    spots = [i for i, s in enumerate(edge.line) if s in edge.begin]
    if spots and (size is None or size == len(edge.begin)):
        return [(spots[0], spots[-1] + 1)]
    return []


def _each(hook: Hook, where: Where) -> list[Place]:
    found = []
    start, end = hook.walk.at, _each_end(hook, where)
    if where.of is not None:
        first, past = _within(hook, where.of)
        return _members(hook, where, first, past)
    if hook.walk.edge.ring is not None and not hook.walk.edge.line:
        raise Stuck("F305", "a ring has no stitches to work each of", where.span, 'write "… in ring"')
    if hook.walk.side is not None and where.target.kind == "chain":
        while (place := _side_next(hook, where.target)) is not None:
            found.append(place)
        return found
    if where.target.kind == "space":
        found = [_space(hook, *r) for r in _all_spaces(hook, start, end) if _fits(where.target.size, r)]
        if not found:
            raise _no_space(hook, where, start)
        return found
    if where.target.kind == "group":
        found = [_group_place(hook, *g) for g in list(_groups_named(hook, where.target, start, end))]
        if not found:
            raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(where.target)} from here on", where.span)
        return found
    if _all_alike(hook, where.target) and start < end:
        return _stretch_of(hook, start, end)
    while (at := _next_at(hook, where.target, hook.walk.at, end)) is not None:
        found.append(_in(hook, at))
    if not found:
        raise _short(hook, where, 0)
    return found


def _each_end(hook: Hook, where: Where) -> int:
    end = hook.walk.end
    if where.until == "last" and where.n_left is not None:
        check_left(hook, where.left, where.n_left.of(hook.size), where.span)
        return max(hook.walk.edge.limit - where.n_left.of(hook.size), hook.walk.at)
    if where.until == "target" and where.stop is not None:
        return position(hook, where.stop)
    return end


def check_left(hook: Hook, left: Target | None, count: int, span: Span) -> None:
    """"to last 2 dc": the last two must be dc."""
    line = hook.walk.edge.line
    if left is None or left.kind != "stitch":
        return
    wrong = [i for i in line[max(len(line) - count, 0) :] if not matches(hook.stitches[i], left)]
    if wrong:
        found = kind_of(hook.stitches[wrong[0]]).abbreviation(hook.terms)
        raise Stuck("F326", f"the last {_so_many(count, _one(hook, left))} of {hook.edge_name()} would be a {found}, not a {_one(hook, left)}"
                    if count == 1 else f"the last {count} of {hook.edge_name()} are not all {hook.call(left)}: there is a {found}", span)


def each_of_several(hook: Hook, wheres: tuple[Where, ...]) -> list[Place]:
    """"in each sc and in each ch around": every place that answers to any of the targets."""
    end, found = _each_end(hook, wheres[0]), []
    line = hook.walk.edge.line
    spaces = [w.target for w in wheres if w.target.kind == "space"]
    at = hook.walk.at
    while at < end:
        stitch = hook.stitches[line[at]]
        if any(matches(stitch, w.target) for w in wheres if w.target.kind != "space") and not (
            spaces and is_open_chain(stitch)
        ):
            found.append(_in(hook, at))
            at += 1
        elif spaces and is_open_chain(stitch):
            run = next(iter(_all_spaces(hook, at, end)))
            found.append(_space(hook, *run))
            at = run[1]
        else:
            at += 1
    return found


def position(hook: Hook, where: Where) -> int:
    """Position on the edge of a place that words stop before ("across to centre sc")."""
    before, hook.passing_said = hook.walk.state(), True
    try:
        place = places(hook, where)[0]
    finally:
        hook.passing_said = False
        hook.walk.back_to(before)
    return hook.walk.edge.line.index(place.stitches[0])


def _same(hook: Hook, where: Where) -> list[Place]:
    if where.of is not None:
        return [_same_as(hook, where)]
    if hook.last is None:
        raise Stuck("F306", "nothing has been worked yet that could be the same place", where.span)
    _is_same(hook, where, hook.last)
    if where.target.kind == "space" and (run := _run_of(hook, hook.last)) is not None:
        return [_space(hook, *run)]
    _pass_it(hook, hook.last)
    return [hook.last]


def _run_of(hook: Hook, place: Place) -> tuple[int, int] | None:
    """The space that a chain just worked into is part of ("sl st in next 3 ch, sc in same sp")."""
    line = hook.walk.edge.line
    if place.kind != "stitch" or place.stitches[0] not in line or not is_open_chain(hook.stitches[place.stitches[0]]):
        return None
    at = line.index(place.stitches[0])
    return next((r for r in _all_spaces(hook, 0, len(line)) if r[0] <= at < r[1]), None)


def _is_same(hook: Hook, where: Where, place: Place) -> None:
    """"same sc" must be a sc. ("Same sp" is also said of the base of a beginning chain.)"""
    target = where.target
    if place.kind == "stitch" and target.kind in ("stitch", "chain"):
        stitch = hook.stitches[place.stitches[0]]
        if matches(stitch, target) or target.kind == "chain" and stitch.kind.is_chain:
            return
        found = "ch" if is_open_chain(stitch) else kind_of(stitch).abbreviation(hook.terms)
    elif place.kind in ("space", "ring") and target.kind in ("stitch", "chain"):
        found = "sp" if place.kind == "space" else "ring"
    else:
        return
    raise Stuck("F324", f"the same place is {found}, not {_one(hook, target)}", where.span, f'write "in same {found}", or name the place meant')


def _pass_it(hook: Hook, place: Place) -> None:
    """A place worked into is used, wherever the hook was led to it."""
    line, at = hook.walk.edge.line, hook.walk.at
    if at < len(line) and line[at] in place.stitches:
        hook.walk.at = at + len(place.stitches)


def _same_as(hook: Hook, where: Where) -> Place:
    """"same ch as last sc", "same st as first 2 sc", "same place as join"."""
    other = where.of
    assert other is not None
    if other.target.kind == "join" or (other.target.stitch and other.target.stitch.is_slip):
        _pass_it(hook, hook.start_place())
        return hook.start_place()
    own = [i for i in hook.row_stitches() if matches(hook.stitches[i], other.target) and hook.stitches[i].feet]
    if not own:
        return hook.start_place()
    chosen = own[0] if other.which == "first" else own[-1]
    place = hook.stitches[chosen].feet[0]
    _is_same(hook, where, place)
    return place


# ---- places within places ---------------------------------------------------------------


def _within(hook: Hook, of: Where) -> tuple[int, int]:
    """The stretch of the edge that "of …" names, as (first, past last)."""
    target = of.target
    start = 0 if of.which == "last" else hook.walk.at
    if of.which == "same" and hook.last is not None:
        first, past = _stretch(hook, hook.last.stitches)
        around = [r for r in _all_spaces(hook, 0, hook.walk.edge.limit) if r[0] <= first < r[1]]
        if around and target.kind in ("space", "turning") and not _fits(target.size, around[0]):
            raise Stuck("F302", f"the space just worked has {around[0][1] - around[0][0]} ch, not {target.size}", of.span)
        return around[0] if around and target.kind in ("space", "turning") else (first, past)
    if target.kind in ("space", "turning"):
        found = [r for r in _all_spaces(hook, start, hook.walk.edge.limit) if _fits(target.size, r)]
        begin = hook.walk.edge.begin
        if of.which in ("this", "first") and target.kind == "turning" and begin and target.size in (None, len(begin)):
            return _stretch(hook, hook.walk.edge.begin)
        if not found:
            raise _no_space(hook, of, start)
        return found[-1] if of.which == "last" else found[0]
    if target.kind == "chain" and of.n.of(hook.size) > 1:
        found = [r for r in _all_spaces(hook, start, hook.walk.edge.limit) if _fits(of.n.of(hook.size), r)]
        if found:
            return found[-1] if of.which == "last" else found[0]
    if target.kind == "group":
        spans = list(_groups_named(hook, target, start, hook.walk.edge.limit))
        if not spans:
            raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(target)} from here on", of.span)
        return spans[-1] if of.which == "last" else spans[0]
    if target.kind == "stitch":
        at = _next_at(hook, target, start, hook.walk.edge.limit)
        if at is not None:
            return at, at + 1
    raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(target)} from here on", of.span)


def _stretch(hook: Hook, indices: tuple[int, ...]) -> tuple[int, int]:
    line = hook.walk.edge.line
    spots = [line.index(i) for i in indices if i in line]
    if not spots:
        raise Stuck("F303", "that place is not on the edge being worked", None)
    return min(spots), max(spots) + 1


def _members(hook: Hook, where: Where, first: int, past: int, most: int | None = None) -> list[Place]:
    """What the target names within a stretch of the edge, the first `most` of them."""
    if where.target.kind == "space":
        spaces = [r for r in _all_spaces(hook, first, past) if _fits(where.target.size, r)][:most]
        if not spaces:
            raise _no_space(hook, where, first)
        return [_space(hook, *r) for r in spaces]
    if where.target.kind == "place":
        return [_group_place(hook, first, past)]
    line = hook.walk.edge.line
    found = [at for at in range(first, past) if matches(hook.stitches[line[at]], where.target)]
    if not found or most is not None and len(found) < most:
        count = f"only {len(found)}" if found else "no"
        raise Stuck("F303", f"there {'are' if len(found) > 1 else 'is'} {count} {hook.call(where.target)} in that place", where.span)
    return [_in(hook, at) for at in found[:most]]


def _nth(hook: Hook, where: Where) -> list[Place]:
    of = where.of
    if where.beyond:
        return [_after(hook, where)]
    if of is not None and of.target.kind == "turning":
        chain = hook.chain_meant(of)
        if chain is not None:
            if where.ordinal > len(chain):
                raise Stuck("F307", f"ch-{len(chain)} has only {len(chain)} ch, so there is no ch number {where.ordinal}", where.span)
            return [_chain_place(hook, where, chain, where.ordinal)]
    if of is None:
        return _nth_ahead(hook, where)
    first, past = _within(hook, of)
    line = hook.walk.edge.line
    spots = [at for at in range(first, past) if matches(hook.stitches[line[at]], where.target)]
    if where.ordinal > len(spots):
        raise Stuck("F307", f"that group has only {len(spots)} {hook.call(where.target)}, not {where.ordinal}", where.span)
    place = _in(hook, spots[where.ordinal - 1])
    hook.walk.named_last = True
    return [place]


def _nth_ahead(hook: Hook, where: Where) -> list[Place]:
    at, line = hook.walk.at, hook.walk.edge.line
    for _ in range(where.ordinal):
        spot = _next_at(hook, where.target, at, hook.walk.edge.limit)
        if spot is None:
            raise _short(hook, where, 0)
        at = spot + 1
    del line
    return [_in(hook, at - 1)]


def _from_hook(hook: Hook, where: Where) -> list[Place]:
    return [hook.from_hook(where)]


def _centre(hook: Hook, where: Where) -> list[Place]:
    line = hook.walk.edge.line
    if where.of is not None:
        first, past = _within(hook, where.of)
        spots = [at for at in range(first, past) if matches(hook.stitches[line[at]], where.target)]
        if not spots and where.target.kind == "any":
            spots = list(range(first, past))
    else:
        spots = [at for at in range(len(line)) if matches(hook.stitches[line[at]], where.target)]
    if not spots:
        raise Stuck("F303", f"{hook.edge_name()} has no {hook.call(where.target)} at its centre", where.span)
    place = _in(hook, spots[(len(spots) - 1) // 2])
    hook.walk.named_last = where.of is not None
    return [place]


def _ring(hook: Hook, where: Where) -> list[Place]:
    ring = hook.walk.edge.ring
    if ring is None:
        raise Stuck("F308", "there is no ring to work into", where.span, 'begin with "ch 4, join with sl st to form a ring"')
    hook.walk.at = len(hook.walk.edge.line)
    return [Place("ring", ring)]


def _top(hook: Hook, where: Where) -> list[Place]:
    of = where.of
    assert of is not None
    if of.target.kind == "turning":
        chain = hook.chain_meant(of)
        if chain is None:
            _other_length(hook, of)
        if chain is not None:
            return [_chain_place(hook, where, chain, 0)]
    if of.which in ("last", "this") and of.target.kind == "stitch":
        own = [i for i in hook.row_stitches() if matches(hook.stitches[i], of.target)]
        if own and (of.which == "last" or hook.closing()):
            return [Place("stitch", (own[-1] if of.which == "last" else own[0],))]
    if of.target.kind == "group":
        first, past = _within(hook, of)
        hook.walk.at = past
        return [Place("stitch", (hook.walk.edge.line[(first + past - 1) // 2],))]
    return places(hook, of)


def _other_length(hook: Hook, of: Where) -> None:
    """"top of ch-3" where the beginning chain has 2 ch."""
    begin = hook.begin if hook.worked == "rounds" and hook.row_worked() else hook.walk.edge.begin
    if begin and of.target.size is not None and len(begin) != of.target.size and of.which == "this":
        raise Stuck("F327", f"the beginning chain has {len(begin)} ch, not {of.target.size}", of.span, f'write "top of ch-{len(begin)}"')


def _base(hook: Hook, where: Where) -> list[Place]:
    size = where.of.target.size if where.of is not None else None
    line = hook.line or list(hook.begin)
    made = {b - a for a, b in runs(hook.stitches, line, 0, len(line))} | {len(hook.begin)}
    if size is not None and hook.row_worked() and size not in made:
        raise Stuck("F307", f"this row has made no ch-{size}", where.span)
    return [hook.start_place()]


def _these(hook: Hook, where: Where) -> list[Place]:
    if where.target.kind == "chain":
        chain = hook.chain_just_made()
        if where.ordinal > len(chain):
            raise Stuck("F307", f"only {len(chain)} ch have just been made", where.span)
        return [Place("stitch", (chain[where.ordinal - 1],))]
    if where.ordinal > len(hook.these):
        raise Stuck("F306", "it is not clear which places are meant", where.span)
    return [hook.these[where.ordinal - 1]]


def _turning(hook: Hook, where: Where) -> Place:
    """"in top of turning ch", "in ch-3": its top; the same words for a chain space mean the space."""
    chain = hook.chain_meant(where)
    if chain is not None:
        return _chain_place(hook, where, chain, 0)
    for run in _all_spaces(hook, hook.walk.at, hook.walk.end):
        if _fits(where.target.size, run):
            return _space(hook, *run)
    raise _no_space(hook, where, hook.walk.at)


def _this(hook: Hook, where: Where) -> list[Place]:
    target = where.target
    if where.of is not None and where.beyond:
        return [_after(hook, where)]
    if where.of is not None:
        return _this_of(hook, where)
    if target.kind == "turning":
        return [_turning(hook, where)]
    if target.kind == "space":
        return [_this_space(hook, where)]
    if target.kind == "group":
        return [_group_place(hook, *_next_group(hook, where, hook.walk.at))]
    if target.kind == "join":
        return [hook.start_place()]
    if target.kind == "place":
        return _same(hook, where)
    if where.between:
        return [_gap(hook, where)]
    end = hook.walk.edge.limit
    loop = hook.walk.edge.loop
    if loop and matches(hook.stitches[loop[-1]], target) and not _all_spaces(hook, hook.walk.at, end):
        return [_in(hook, hook.walk.edge.line.index(loop[-1]))]
    at = _alone_at(hook, target, hook.walk.at, end) if where.alone else None
    if at is None:
        at = _next_at(hook, target, hook.walk.at, end)
    if at is None:
        at = _next_at(hook, target, hook.walk.at, len(hook.walk.edge.line))
    if at is None and target.kind == "chain" and (chain := hook.chain_just_made()):
        return [Place("stitch", (chain[0],))]
    if at is None:
        raise _short(hook, where, 0)
    return [_in(hook, at)]


def _after(hook: Hook, where: Where) -> Place:
    """"next dc after shell": the place just past (or before) a group."""
    assert where.of is not None
    first, past = _within_here(hook, where.of)
    at = _next_at(hook, where.target, past, hook.walk.edge.limit)
    if at is None:
        raise _short(hook, where, 0)
    return _in(hook, at)


def _within_here(hook: Hook, of: Where) -> tuple[int, int]:
    """The named group the hook is in, or the next one."""
    line = hook.walk.edge.line
    for first, past in _groups_named(hook, of.target, 0, hook.walk.edge.limit):
        if past > hook.walk.at - 1 and (first <= hook.walk.at):
            return first, max(past, hook.walk.at)
    del line
    return _within(hook, of)


def _this_of(hook: Hook, where: Where) -> list[Place]:
    assert where.of is not None
    of = where.of
    named = of.target.kind == "group" and not any(
        hook.stitches[i].group_name == of.target.name for i in hook.walk.edge.line
    )
    if where.target.kind == "space" and named:
        return _last(hook, Where("last", where.target, span=where.span)) if of.which == "last" else [
            _this_space(hook, where)
        ]
    if named and where.target.kind in ("any", "stitch"):
        return _next(hook, replace(where, which="next", of=None))
    first, past = _within(hook, of)
    if of.which == "last":
        _not_passed(hook, where, past - 1)
    found = _members(hook, where, first, past, where.n.of(hook.size))
    hook.walk.at = max(hook.walk.at, past if of.target.kind == "group" and where.target.kind == "space" else hook.walk.at)
    return found


def _this_space(hook: Hook, where: Where) -> Place:
    target = where.target
    if hook.walk.edge.loop and hook.walk.at == 0 and not hook.row_worked():
        if target.size is None:
            return Place("space", hook.walk.edge.loop)
    for run in _all_spaces(hook, hook.walk.at, hook.walk.end):
        if _fits(target.size, run):
            return _space(hook, *run)
    for run in _begin_loop(hook, target.size):
        return _space(hook, *run)
    raise _no_space(hook, where, hook.walk.at)


def _ends(hook: Hook, where: Where) -> list[Place]:
    """The ends of the rows along the side the hook is at, one after another."""
    side = hook.side_walk()
    here, hook.walk = hook.walk, side
    try:
        wanted = where.n.of(hook.size) if where.n.values != (1,) else None
        found = []
        while side.at < len(side.edge.line) and (wanted is None or len(found) < wanted):
            found.append(_in(hook, side.at))
    finally:
        hook.walk = here
    if not found:
        raise Stuck("F309", "there are no row ends left along this side", where.span)
    return found


def _made(hook: Hook, where: Where) -> list[Place]:
    """"last sc made", "sc just made": of this row."""
    own = [i for i in hook.row_stitches() if matches(hook.stitches[i], where.target) and not hook.stitches[i].kind.is_chain]
    if not own:
        raise Stuck("F306", f"no {hook.call(where.target)} has been made in this row yet", where.span)
    return [Place("stitch", (own[-1],))]


def _skipped(hook: Hook, where: Where) -> list[Place]:
    """"in skipped st": the stitches passed over last, in their order."""
    if not hook.skipped:
        raise Stuck("F306", "no stitch has been skipped here", where.span)
    return [hook.skipped.pop(0)]


_FINDERS = {
    "next": _next, "each": _each, "same": _same, "first": _first, "last": _last, "nth": _nth,
    "hook": _from_hook, "remaining": _each, "centre": _centre, "ring": _ring, "top": _top,
    "base": _base, "these": _these, "this": _this, "skipped": _skipped, "made": _made, "ends": _ends,
}
