"""Right side and wrong side: where the headers say, else by the turns."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby, takewhile

from chartgen.fabric.edge import Edge, Walk
from chartgen.fabric.fabric import Row
from chartgen.fabric.hook import Hook
from chartgen.fabric.inner_sides import down_to, inner_walk, meets
from chartgen.fabric.numbering import leads_to
from chartgen.fabric.plan import Planned
from chartgen.notation.tree import Attach, Colour, Group, Item, Note, Sign, Skip, Where, Work
from chartgen.problems import Problem


def other(side: str) -> str:
    return "WS" if side == "RS" else "RS"


def first_side(planned: Sequence[Planned]) -> str:
    """The side of a part's first row: counted back from the first header that names one."""
    for at, row in enumerate(planned):
        if row.side:
            turns = sum(_turns(r) for r in planned[1 : at + 1])
            return other(row.side) if turns % 2 else row.side
    return "RS"


def faces(planned: Planned) -> str:
    """The side that is said to face where yarn is joined anew: "with RS facing, join yarn in first row end"."""
    joined = next((at for at, item in enumerate(planned.items[:4]) if isinstance(item, Attach)), 0)
    return next((item.facing for item in planned.items[:joined] if isinstance(item, Note) and item.facing), "")


def _faces_after_cut(rows: Sequence[Row], planned: Planned) -> str:
    """ "… Fasten off. Row 2 (RS): Join A with sc in first sc": the side that the header names, where no word turns the work."""
    words = [item for item in planned.items if not isinstance(item, (Note, Colour))]
    cut = bool(rows) and rows[-1].form == "row" and rows[-1].ending == "off" and isinstance(next(iter(words), None), Attach)
    said = planned.turned_before or any(isinstance(item, Sign) and item.what in ("turn", "no turn") for item in words[:3])
    return planned.side if cut and not said else ""


def turned_to(hook: Hook, rows: Sequence[Row], planned: Planned, side: str) -> bool | None:
    """Whether the work, seen from `side`, is turned to where yarn is joined anew: to the side said to face, be it in
    the header, else back along a row, on along a round; None where the words name neither side nor row."""
    if facing := faces(planned) or _faces_after_cut(rows, planned):
        return facing != side
    if _edges_anew(hook, rows, planned):
        return side != "RS"
    place = next((w for i in planned.items[:2] for w in leads_to(i) if w.row is not None and w.which == "next"), None)
    row = _left_by_the_row_before(hook, rows, planned) if place is None else _row_of(hook, rows, place)
    if row is None:
        return None
    return (planned.side or (row.side if row.form == "round" else other(row.side))) != side


def _row_of(hook: Hook, rows: Sequence[Row], place: Where) -> Row | None:
    """The row that the words name; of "next free sp of 5th rnd" that on which it was begun before."""
    number = place.row.of(hook.size) if place.row is not None else 0
    edge = hook.rows_of.get(place.part, {}).get(number) if place.part else hook.edges.get(number)
    free = hook.left.get(number) if place.unworked and not place.part else None
    below = hook.stitches[free[0]].row if free else edge.row if edge is not None else -1
    return rows[below] if 0 <= below < len(rows) else None


def _left_by_the_row_before(hook: Hook, rows: Sequence[Row], planned: Planned) -> Row | None:
    """ "Fasten off. Skip next 14 sc for back of neck, attach yarn in next sc", after a shoulder: the row that the shoulder
    stands on, along which the words go on as its first row did."""
    first = [i for i in planned.items if not isinstance(i, (Note, Colour))][:2]
    led = [w for i in first for w in leads_to(i)]
    skips = len(first) == 2 and isinstance(first[0], Skip) and isinstance(first[1], Attach) and all(w.which == "next" and not w.part for w in led)
    left = next(reversed(hook.left.values()), []) if skips and rows and rows[-1].ending == "off" else []
    return rows[hook.stitches[left[0]].row] if left else None


def _edges_anew(hook: Hook, rows: Sequence[Row], planned: Planned) -> bool:
    """Is yarn joined to a flat piece that has been cut off, for a round along its edges? Its right side is the one seen."""
    first = next((i for i in planned.items if not isinstance(i, (Note, Colour))), None)
    at_corner = isinstance(first, Attach) and (first.place is None or first.place.target.kind == "corner")
    return at_corner and hook.worked == "rounds" and bool(rows) and rows[-1].form == "row" and rows[-1].ending == "off"


def _turns(row: Planned) -> bool:
    return row.turned_before != "no turn"


def sides_of(rows: Sequence[Row], hook: Hook) -> list[list[int]]:
    """The stitches that end the rows of this piece: from the last row down the side where it
    ended, and up the other side."""
    flat = [r for r in rows if r.piece == hook.piece and r.form == "row" and r.line]
    beside = edgings(rows, hook) if flat else set()
    part = list(takewhile(lambda r: not _only_along_ends(r, hook), (r for r in flat if r.part not in beside)))
    near: list[int] = []
    far: list[int] = []
    ended_near = True
    for row in reversed(part):
        near.append(row.line[-1] if ended_near else row.line[0])
        far.append(row.line[0] if ended_near else row.line[-1])
        ended_near = ended_near != row.turned
    return [near, far[::-1]]


def edgings(rows: Sequence[Row], hook: Hook) -> set[int]:
    """The parts that are worked along row ends: the ends of their own rows are not those of the side."""
    first = {row.part: row for row in reversed(rows) if row.piece == hook.piece}
    return {part for part, row in first.items() if any(foot.kind == "end" for i in row.stitches for foot in hook.stitches[i].feet)}


def _only_along_ends(row: Row, hook: Hook) -> bool:
    """An edging told behind the rows of its own part, no scallop that is held at a row end on its way."""
    worked = (stitch for stitch in map(hook.stitches.__getitem__, row.stitches) if stitch.role != "join")
    return {foot.kind for stitch in worked for foot in stitch.feet} == {"end"}


def ends_taken(hook: Hook) -> set[int]:
    """The stitches at row ends that an edging before this row stands on."""
    made = hook.stitches[: hook.first_index]
    return {i for stitch in made for foot in stitch.feet if foot.kind == "end" for i in foot.stitches}


def side_walk(hook: Hook, part: str = "") -> Walk:
    """The walk along row ends: of the part named, now or before in this row, of an inner side, or of the piece:
    down the side the hook is at, then up the other."""
    inner = None if part else inner_walk(hook) or (hook.goes_down if hook.attaching else None)
    if inner is not None:
        return inner
    hook.side_of = part if hook.rows_in.get(part) else hook.side_of
    return _along_part(hook, hook.side_of) if hook.side_of else _along_piece(hook)


def _along_piece(hook: Hook) -> Walk:
    walk = hook.elsewhere.get("side")
    done = walk is not None and walk.at >= len(walk.edge.line)
    round_corner = hook.last is None or hook.last.kind != "end"
    if walk is None or done and round_corner and hook.sides_begun < 2:
        walk = Walk(Edge(_other_side(_without_edging(hook, _sides_from_here(hook)), walk.edge.line if walk is not None else []), kind="end"))
        walk.at = _past_loop(hook, walk.edge.line)
        hook.elsewhere["side"] = walk
        hook.sides_begun += 1
    return walk


def _past_loop(hook: Hook, line: list[int]) -> int:
    """ "7 dc in ch-4 loop at end, sc in end of next row": the row whose turning chain is that loop is gone past."""
    loop = hook.last.stitches if hook.last is not None and hook.last.kind == "space" else ()
    return max((at + 1 for at, index in enumerate(line) if index in loop), default=0)


def _without_edging(hook: Hook, sides: list[list[int]]) -> list[list[int]]:
    """Where yarn is joined anew and the side met first has an edging already: the other first, from its last row too."""
    anew = hook.attaching or hook.joined_at is not None and not hook.row_worked()
    taken = ends_taken(hook) if anew and len(sides) == 2 else set()
    return [sides[1][::-1], sides[0][::-1]] if taken & set(sides[0]) and not taken & set(sides[1]) else sides


def _other_side(sides: list[list[int]], done: list[int]) -> list[int]:
    """The side met after the one that is done, the other way along; the first of both where none is."""
    if not sides:
        return []
    other = sides[1] if set(done) == set(sides[0]) else sides[0]
    return other[::-1] if done and done not in sides else list(other)


def _sides_from_here(hook: Hook) -> list[list[int]]:
    """Both sides in the order met: where the top was worked back to the row's start, that side first."""
    down, up = hook.sides
    if hook.goes_up:
        return up_and_down(hook)
    top = hook.walk.edge.line
    if down and up and hook.sides_begun == 0 and hook.row_worked() and top and {down[0], up[-1]} == {top[0], top[-1]}:
        hook.sides = [down, up] if top[-1] == down[0] else [up[::-1], down[::-1]]
    return hook.sides


def _along_part(hook: Hook, part: str) -> Walk:
    """Along one side of a part: up it where the work comes from below it or from down another, else down it."""
    rows = hook.rows_in[part]
    under_way = hook.elsewhere.get(("side", part))
    if under_way is not None and under_way.at < len(under_way.edge.line):
        return under_way
    up = _goes_up(hook, rows)
    line = [meets(row, hook.side, up) for row in (rows if up else rows[::-1])]
    hook.elsewhere["side", part] = walk = Walk(Edge(line, kind="end", row=rows[-1].index))
    hook.came_up = up
    return walk


def _goes_up(hook: Hook, rows: Sequence[Row]) -> bool:
    if hook.last is None or not hook.last.stitches or not hook.row_worked():
        return hook.goes_to_top
    if hook.last.kind == "end":
        return not hook.came_up
    return hook.stitches[hook.last.stitches[0]].row < rows[0].index


def goes_down(hook: Hook, after: Sequence[Item]) -> Walk | None:
    """The side down which words go that begin along row ends and go on across stitches left unworked."""
    onward = next((item for item in after if _leaves_the_side(item)), None)
    return down_to(hook, onward.where[0]) if isinstance(onward, Work | Group) else None


def goes_to_top(hook: Hook, part: str, after: Sequence[Item]) -> bool:
    """Whether words that begin along a part's row ends go on across its last row: then they go up, else down."""
    rows = hook.rows_in.get(part, ())
    onward = next((item for item in after if _leaves_the_side(item)), None)
    if not rows or not isinstance(onward, Work | Group):
        return False
    where = onward.where[0]
    if where.part or where.row is not None:
        return where.part == part and (where.row is None or str(where.row.of(hook.size)) == rows[-1].number)
    return hook.walk.edge.row == rows[-1].index


def up_and_down(hook: Hook) -> list[list[int]]:
    """The side that goes up to where the last row is met first, and the other, down from where it is left."""
    down, up = hook.sides
    top = hook.walk.edge.line
    return [up, down] if top and up and up[-1] == top[0] else [down[::-1], up[::-1]]


def begins_up(after: Sequence[Item]) -> bool:
    """ "9 sc up the right side, 9 sc across the top and 9 sc down the left side": along the last row between two sides,
    be it in one go or "3 sc in first dc, sc in each of next 23 dc, 3 sc in last dc"."""
    worked = [item.where[0] for item in after if isinstance(item, Work | Group) and item.where]
    edges = [edge for edge, _ in groupby(_edge_of(where) for where in worked)]
    return edges[:3] == ["side", "top", "side"] and not any(isinstance(item, Sign) and item.what == "far side" for item in after)


def down_at_once(items: Sequence[Item]) -> bool:
    """ "3 sc in corner, 27 sc along side edge": from the corner where the last row has ended down the side."""
    worked = [item.where[0] for item in items if isinstance(item, Work | Group) and item.where]
    return len(worked) > 1 and worked[0].target.kind == "corner" and _edge_of(worked[1]) == "side"


def _edge_of(where: Where) -> str:
    """Which edge of a piece the words go into: a side, the last row's stitches, or another."""
    on_top = where.target.kind in ("any", "stitch") and where.row is None and not where.part
    return "side" if where.target.kind == "end" else "top" if on_top else ""


def _leaves_the_side(item: Item) -> bool:
    """Whether what is worked now is no longer along row ends."""
    if isinstance(item, Work | Group):
        return bool(item.where) and item.where[0].target.kind != "end" and item.where[0].which != "same"
    return isinstance(item, Sign) and item.what == "far side"


def wrong_side(hook: Hook, planned: Planned, side: str, size: str | None) -> Problem:
    return Problem(
        "F340",
        "warning",
        f"{hook.row_name_of(planned.number)} is marked {planned.side}, but by the turns before it, its {side} faces",
        planned.header,
        f'write "({side})", or say where the work is not turned',
        size=size,
    )
