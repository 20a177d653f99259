"""Growing a figure a row at a time on the finished curve of the row before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from chartgen.fabric import Fabric, Row
from chartgen.layout.bend import Bend, bend_frame, bend_of, bend_round, bent_heads, ends_round_loop, goes_round, loop_at_end, standing_at_end, unheld
from chartgen.layout.beside_cluster import off_the_ink
from chartgen.layout.blocks import lay_blocks
from chartgen.layout.canvas import Canvas, Points, units
from chartgen.layout.crosses import narrow_at_seam
from chartgen.layout.edging import clear_seam, edged, outline_for
from chartgen.layout.finish import RowShape, curve_normals, finish_row
from chartgen.layout.fold import FAR, NEAR, alike
from chartgen.layout.forms import Figure, begin_again, corner_count
from chartgen.layout.foundation import place_foundation
from chartgen.layout.frames import Frame, Polar, Side, Stadium, Straight
from chartgen.layout.hanger import is_hanger, place_hanger
from chartgen.layout.garland import place_garland
from chartgen.layout.handles import goes_round_loops, heads_round_loops
from chartgen.layout.layers import stand_outside
from chartgen.layout.outline import Outline
from chartgen.layout.picots import make_room_for_rings
from chartgen.layout.places import Footing, footing, groups, rest_on_edge, stands_on_its_own
from chartgen.layout.polygon import PolygonRow, facing, move_on, polygon_heads, strained
from chartgen.layout.relax import relaxed_heads
from chartgen.layout.round_off import is_level, level_heads
from chartgen.layout.row_plan import Node, RowPlan, is_garland, unrolled
from chartgen.layout.ruffles import evenly_round, farther_out, room_around
from chartgen.layout.scallop import scalloped_heads
from chartgen.layout.sector import arc_heads, fan_frame, first_edge, from_one_place, spread_feet, under_heads
from chartgen.layout.shells_in_step import in_step
from chartgen.layout.short_rows import goes_on_level
from chartgen.layout.sizes import SIZES
from chartgen.layout.slide import drawn_close, slides
from chartgen.layout.spiral import back_along, climbs, comes_down, outward, spiralled
from chartgen.layout.stadium import round_the_ends, stadium_heads
from chartgen.layout.start import Start, start, stretch_to_level
from chartgen.layout.straps import with_strap
from chartgen.layout.strips import Pale, on_strip, unrolled_edge, unrolled_places, unrolled_ring
from chartgen.layout.yoke import bend_neck, yoke_shape

_SHELL = 4                  # stitches in one place that make a shell
_TALLER = 1.5               # times as tall as the stitch beside it
_SAME_WAY = 0.9             # cosine between the ways out along one straight side
_MOST_SIDES = 6             # a border of more is as good as round


def grow(canvas: Canvas, figure: Figure, plans: dict[int, RowPlan], room: dict[int, float]) -> list[Pale]:
    """Place every row of the figure on the canvas, earlier rows first.

    `room`: rows that need more of it than their stitches are tall, as a factor.
    Returns the edge a strip stands on, to be shown pale.
    """
    sheet, pale = canvas, []
    if figure.pale_row is not None:
        sheet, pale = unrolled_edge(canvas, plans[figure.pale_row], figure.spread.get(figure.pale_row, 1.0))
    elif figure.apart:
        first = figure.rows[0]
        sheet, pale = unrolled_places(canvas, plans[first], _spin(canvas, figure, canvas.fabric.rows[first]), figure.spread.get(first, 1.0))
    if figure.blocks:
        lay_blocks(canvas, figure.blocks)
    for number in figure.rows[_laid(figure):]:
        _place_row(sheet, figure, number, plans, room)
    if figure.step.makes_room():
        begin_again(figure)
        return grow(canvas, figure, plans, room)
    if sheet is not canvas:
        canvas.take(sheet, [i for j in figure.rows for i in canvas.fabric.rows[j].stitches], figure.rows)
    return pale


def _laid(figure: Figure) -> int:
    """How many rows of the figure are blocks, and have their places."""
    return figure.rows.index(figure.blocks[-1].row) + 1 if figure.blocks else 0


def _place_row(
    canvas: Canvas, figure: Figure, number: int, plans: dict[int, RowPlan], room: dict[int, float]
) -> None:
    row, spread = canvas.fabric.rows[number], figure.spread.get(number, 1.0)
    if row.form == "ring" and figure.form == "strip":
        unrolled_ring(canvas, row.stitches, number, SIZES.pitch * spread)
    elif row.form in ("ring", "foundation"):
        to = _last_worked(plans.get(number + 1)) if figure.form == "oval" else None
        place_foundation(canvas, row, SIZES.pitch * figure.pitch * spread, _way(canvas.fabric, figure), to)
        figure.spine = _spine(canvas, row, plans.get(number + 1))
        if figure.yoke is not None:
            figure.neck = bend_neck(canvas, figure.yoke, row.stitches, number)
    else:
        spin = canvas.spin[number] = _spin(canvas, figure, row)
        begun = figure.apart and number == figure.rows[0]
        cut = unrolled if begun else partial(on_strip, canvas, spin=spin)
        plan = cut(plans[number]) if figure.form == "strip" and not is_hanger(plans[number]) else plans[number]
        before = None if begun else plans.get(number - 1)
        _grow_row(canvas, figure, plan, before, room.get(number, 1.0))
        off_the_ink(canvas, plan, [*figure.rows, figure.pale_row], canvas.spin[number])


def _last_worked(above: RowPlan | None) -> int | None:
    """The last chain that stitches are worked into; chains beyond it stand up and turn round its end."""
    nodes = above.nodes if above else ()
    return max((i for node in nodes if not node.column for p in node.places for i in p.stitches), default=None)


def _spine(canvas: Canvas, row: Row, above: RowPlan | None) -> tuple[float, float] | None:
    """Ends of the chain that is worked around; chains that stand up are no part of it.

    What stands at its ends has as much room beyond the last oval as what stands on its sides.
    """
    used = {i for node in above.nodes for p in node.places for i in p.stitches} if above else set()
    at = [float(canvas.head[i].real) for i in row.stitches if i in used]
    beyond = SIZES.half_chain - SIZES.chain_width / 2
    return (min(at) - beyond, max(at) + beyond) if at else None


def _way(fabric: Fabric, figure: Figure) -> int:
    """A foundation chain runs against its first row: rightwards below a right-side row."""
    worked = [fabric.rows[j] for j in figure.rows if fabric.rows[j].form in ("round", "row")]
    return -1 if worked and worked[0].form == "row" and worked[0].side == "WS" else 1


def _spin(canvas: Canvas, figure: Figure, row: Row) -> int:
    """Which way the row is worked: the first by its side, later ones by the turns."""
    position = figure.rows.index(row.index)
    before = canvas.fabric.rows[figure.rows[position - 1]] if position else None
    if figure.pale_row is not None and not position:
        before = canvas.fabric.rows[figure.pale_row]
    if before is None or before.form in ("foundation", "ring"):
        return -1 if row.side == "WS" else 1
    return -canvas.spin[before.index] if row.turned else canvas.spin[before.index]


def _runs_back(plan: RowPlan, foot: Footing, spin: int) -> bool:
    """Whether the row's places lie against its way of working: it was joined anew elsewhere."""
    travel = spin * 1j * units(foot.normal[:-1] + foot.normal[1:])
    ahead = (np.diff(foot.base) * np.conj(travel)).real
    pairs = zip(plan.nodes, plan.nodes[1:], strict=False)
    apart = np.array([a.key != b.key for a, b in pairs], dtype=bool)
    ahead = ahead[apart & (np.abs(ahead) > 0.1)]
    return len(ahead) > 1 and float(np.mean(ahead < 0)) > 0.8


def _grow_row(canvas: Canvas, figure: Figure, plan: RowPlan, before: RowPlan | None, room: float) -> None:
    """Place one worked row on the finished curve of the row before."""
    if is_garland(plan):
        place_garland(canvas, plan, canvas.spin[plan.row.index])
        return
    if is_hanger(plan):
        place_hanger(canvas, plan, canvas.spin[plan.row.index])
        return
    plan = with_strap(canvas, plan, canvas.spin[plan.row.index])
    foot = _footed(canvas, figure, plan, before)
    frame = _frame(figure, canvas.spin[plan.row.index], plan, foot)
    bends = figure.form == "straight" and _bends(canvas, figure, plan, before, foot)
    aside = not bends and figure.yoke is None
    if aside and goes_round_loops(canvas, figure, plan, foot, frame):
        _loop_row(canvas, figure, plan, foot, room)
    elif aside and (outline := _sides_below(canvas, figure, plan, foot, frame)) is not None:
        if _on_one_side(canvas, figure, plan, foot, outline):
            figure.edging.add(plan.row.index)
            turned = Straight(frame.spin, normal=complex(outline.normals[0]))
            _row_above(canvas, figure, plan, before, foot, turned, room, bends)
        else:
            _edge_row(canvas, figure, plan, foot, room, outline)
    else:
        _row_above(canvas, figure, plan, before, foot, frame, room, bends)


def _footed(canvas: Canvas, figure: Figure, plan: RowPlan, before: RowPlan | None) -> Footing:
    """Where the row's stitches stand. A row joined anew at the far end is worked the other way."""
    spin, close = canvas.spin[plan.row.index], drawn_close(plan)
    foot = footing(canvas, plan, spin, close)
    if figure.form in ("straight", "oval") and _runs_back(plan, foot, spin):
        spin = canvas.spin[plan.row.index] = -spin
        foot = footing(canvas, plan, spin, close)
    if not ends_round_loop(plan, before):
        goes_on_level(plan, foot)
    if stands_on_its_own(plan):
        foot = foot.wider(figure.pitch * figure.spread.get(plan.row.index, 1.0))
    if figure.form == "sector" and before is None:
        spread_feet(plan, foot, figure.span, spin)
    return foot


def _sides_below(canvas: Canvas, figure: Figure, plan: RowPlan, foot: Footing, frame: Frame) -> Outline | None:
    """The sides of the piece that the row goes along, if it does."""
    if not _goes_along_sides(canvas, figure, plan, foot, frame):
        return None
    on_it = _on_edging(canvas, figure, plan)
    outline = outline_for(canvas, plan, foot, canvas.spin[plan.row.index], figure.outline, on_it)
    return outline if outline.has_sides else None


def _row_above(
    canvas: Canvas, figure: Figure, plan: RowPlan, before: RowPlan | None, foot: Footing, frame: Frame, room: float, bends: bool
) -> None:
    """Place a row on the row below, in the figure's frame, round its bend or along its yoke."""
    spin = canvas.spin[plan.row.index]
    pitch = 1.0 if isinstance(frame, Stadium) else figure.pitch     # the sides stand over an open chain as they are; the ends are neat
    if isinstance(frame, Stadium) or isinstance(frame, Straight) and _is_free(foot, frame):
        round_the_ends(plan, foot, spin)
    layer = isinstance(frame, Polar) and stand_outside(canvas, plan, foot, before)
    deep = [] if layer or bends and ends_round_loop(plan, before) else rest_on_edge(canvas, plan, foot, before)
    begun = start(plan, foot, spin, room, pitch, deep, figure.spread.get(plan.row.index, 1.0))
    if plan.closed and (taller := room_around(begun, foot, frame)) > SIZES.ruffled:
        figure.fuller[plan.row.index] = taller * room
        room, figure.ruffled = max(room, taller), True
        frame = farther_out(frame, begun, taller)
        begun = start(plan, foot, spin, room, pitch, deep)
    if isinstance(frame, Straight) and plan.row.form == "row" and not bends and figure.yoke is None:
        in_step(figure.step, plan.row.index, begun, foot, frame)
    make_room_for_rings(canvas, plan, begun.gaps)
    if plan.closed and np.any(begun.lengths > 0) and not (deep or layer):
        foot = footing(canvas, plan, spin, drawn_close(plan) + slides(plan, begun, foot, frame, spin))
        begun = start(plan, foot, spin, room, pitch)
        make_room_for_rings(canvas, plan, begun.gaps)
    if figure.yoke is not None and figure.neck is not None:
        shape = yoke_shape(figure.yoke, figure.neck, plan, begun, foot, spin)
    elif bends and figure.bend is not None:
        shape = _bent(figure.bend, plan, begun, foot, spin)
    else:
        shape = _shape(canvas, figure, plan, begun, foot, frame)
        shape = replace(shape, lines=[frame] * len(plan.nodes)) if layer else shape
    finish_row(canvas, plan, foot, shape, spin)


def _loop_row(canvas: Canvas, figure: Figure, plan: RowPlan, foot: Footing, room: float) -> None:
    """Place a row that goes round long loops."""
    spin = canvas.spin[plan.row.index]
    begun = start(plan, foot, spin, room)
    make_room_for_rings(canvas, plan, begun.gaps)
    heads, up = heads_round_loops(plan, begun, foot, spin)
    finish_row(canvas, plan, foot, RowShape(heads, up, [None] * len(heads), heads, begun.heads), spin)
    figure.looped.add(plan.row.index)


def _goes_along_sides(canvas: Canvas, figure: Figure, plan: RowPlan, foot: Footing, frame: Frame) -> bool:
    """Whether a row bends round a panel, or borders a polygon of which it has no corners itself."""
    if isinstance(frame, Straight):
        return _is_free(foot, frame) or _on_edging(canvas, figure, plan)
    row = plan.row.index
    sided = figure.form == "sector" or figure.form == "disc" and plan.closed
    bare = 0 < corner_count(figure) <= _MOST_SIDES and sided and (row not in figure.corners or _in_shells(plan))
    return bare and (row - 1 in figure.corners or _on_edging(canvas, figure, plan))


def _in_shells(plan: RowPlan) -> bool:
    """Whether a row is shells with lower stitches right beside them, whose heads lie on no straight line."""
    heights = [node.height for node in plan.nodes]
    shells = (group for group in groups(plan.nodes, plan.closed) if len(group) >= _SHELL)
    return any(heights[g[0]] > _TALLER * min(heights[g[0] - 1], heights[(g[-1] + 1) % len(heights)]) for g in shells)


def _on_one_side(canvas: Canvas, figure: Figure, plan: RowPlan, foot: Footing, outline: Outline) -> bool:
    """Whether a row goes on from an edging along one straight side, as a second half from the middle: it is laid as any row
    of a panel."""
    straight = not outline.closed and len(outline.lengths) == 1 and _on_edging(canvas, figure, plan)
    return straight and bool(np.all((foot.normal * np.conj(outline.normals[0])).real > _SAME_WAY))


def _on_edging(canvas: Canvas, figure: Figure, plan: RowPlan) -> bool:
    """Whether a row stands on an edging of the figure."""
    below = [canvas.fabric.stitches[p.stitches[-1]].row for n in plan.nodes for p in n.places if p.stitches]
    return bool(below) and all(j in figure.edging for j in below)


def _edge_row(
    canvas: Canvas, figure: Figure, plan: RowPlan, foot: Footing, room: float, outline: Outline
) -> None:
    """Place a row that goes along the sides of the piece."""
    spin = canvas.spin[plan.row.index]
    begun = start(plan, foot, spin, room)
    if plan.closed and (taller := room_around(begun, foot, outline)) > SIZES.ruffled:
        _ruffle_round(canvas, figure, plan, foot, farther_out(outline, begun, taller), taller)
        return
    make_room_for_rings(canvas, plan, begun.gaps)
    row = edged(canvas, plan, begun, foot, outline)
    finish_row(canvas, plan, foot, RowShape(_in_air(plan, foot, row.heads), row.up, row.lines, row.heads, begun.heads, row.snug), spin)
    clear_seam(canvas, plan, foot, row.heads)
    narrow_at_seam(canvas, plan)
    figure.outline = outline
    figure.edging.add(plan.row.index)


def _ruffle_round(
    canvas: Canvas, figure: Figure, plan: RowPlan, foot: Footing, outline: Outline, taller: float
) -> None:
    """Place a ruffle that goes round the piece on a line long enough for it."""
    spin = canvas.spin[plan.row.index]
    begun = start(plan, foot, spin, taller)
    heads = evenly_round(begun, foot, outline)
    finish_row(canvas, plan, foot, RowShape(heads, units(heads - foot.base), [None] * len(heads), heads, begun.heads), spin)
    figure.outline, figure.ruffled = outline, True
    figure.edging.add(plan.row.index)


def _bends(canvas: Canvas, figure: Figure, plan: RowPlan, before: RowPlan | None, foot: Footing) -> bool:
    """Whether the row goes round a loop at its end, or on round one that the row before went round."""
    if loop := loop_at_end(plan, before):
        figure.bend = bend_of(canvas, loop, plan)
    elif loop := standing_at_end(plan, before):
        figure.bend = bend_round(canvas, loop, plan, foot)
        return True
    if figure.bend is None or not goes_round(figure.bend, foot):
        figure.bend = None
        return False
    return True


def _bent(bend: Bend, plan: RowPlan, begun: Start, foot: Footing, spin: int) -> RowShape:
    first = plan.row.index == bend.row
    own, feet = unheld(bend, begun, foot) if first else (begun, foot)
    frame = bend_frame(bend, feet, own, spin)
    heads = np.append(bent_heads(bend, own, feet, frame, first), begun.heads[len(feet.base) :])
    return RowShape(heads, frame.up(frame.along(heads)), [None] * len(heads), heads, begun.heads)


def _shape(
    canvas: Canvas, figure: Figure, plan: RowPlan, begun: Start, foot: Footing, frame: Frame
) -> RowShape:
    """The row's heads and the lines between them: on a polygon's sides, or in the frame."""
    heads, level = _heads(canvas, figure, plan, begun, foot, frame)
    up = frame.up(frame.along(heads))
    if figure.free or isinstance(frame, Straight | Side) and _is_free(foot, frame):
        up = curve_normals(heads, foot.normal)
    elif not level:
        up = _out_of_fans(up, heads, foot, begun)
    lines: list[Frame | None] = [frame if flat else None for flat in _lie_flat(begun, heads, frame, level)]
    corners = figure.corners.get(plan.row.index)
    if corners and figure.form == "sector":
        sides = polygon_heads(plan, begun, foot, corners, first_edge(figure.span, frame.spin), frame.spin, figure.span, figure.halved)
        heads, up, lines = sides.heads, sides.up, sides.lines
    elif corners:
        sides = _on_sides(figure, plan, begun, foot, heads, frame.spin)
        if sides is not None:
            heads, up, lines = sides.heads, sides.up, sides.lines
    if figure.form == "sector" and from_one_place(plan):
        under_heads(plan, foot, heads)
    return RowShape(_in_air(plan, foot, heads), up, lines, heads, begun.heads)


def _lie_flat(begun: Start, heads: Points, frame: Frame, level: bool) -> NDArray[np.bool_]:
    """Which runs of chains lie on the row's line: round an oval those that have their full length there; others hang."""
    apart = np.abs(np.roll(heads, -1) - heads)
    return level & (apart > 0.95 * begun.lengths) if isinstance(frame, Stadium) else np.full(len(heads), level)


def _on_sides(figure: Figure, plan: RowPlan, begun: Start, foot: Footing, heads: Points, spin: int) -> PolygonRow | None:
    """The round on a polygon's sides; None for lace that is none, neither here nor further out."""
    row, corners = plan.row.index, figure.corners[plan.row.index]
    if figure.towards is None:
        figure.towards = facing(heads, corners, spin)
    if not move_on(figure.towards, heads, corners, spin):
        sides = polygon_heads(plan, begun, foot, corners, figure.towards, spin)
        if not strained(plan, begun, foot, corners, sides):
            return sides
    figure.corners = {j: found for j, found in figure.corners.items() if j < row}
    figure.towards = figure.towards if figure.corners else None
    return None


def _heads(
    canvas: Canvas, figure: Figure, plan: RowPlan, begun: Start, foot: Footing, frame: Frame
) -> tuple[Points, bool]:
    """The row's heads, and whether they lie on one line of the frame."""
    if isinstance(frame, Stadium):
        return stadium_heads(plan, begun, foot, frame, _loops_are_last(canvas.fabric, plan)), True
    if isinstance(frame, Straight | Side) and _is_free(foot, frame):
        return relaxed_heads(begun, foot, frame.spin, plan.closed), False
    if figure.free and not from_one_place(plan):
        return relaxed_heads(begun, foot, frame.spin, plan.closed), False
    if isinstance(frame, Polar) and not plan.closed and figure.span:
        return arc_heads(plan, begun, foot, figure.span, frame)
    if isinstance(frame, Polar) and frame.spiral and plan.closed and comes_down(begun, foot):
        return back_along(level_heads(plan, begun, foot, frame), begun, foot), True
    level = is_level(plan, begun, foot, frame)
    if not level and isinstance(frame, Straight | Polar):
        stretch_to_level(begun, foot, frame, plain=not (_has_fans(plan.nodes) or _on_fans(canvas, plan)))
    shape: Callable[[RowPlan, Start, Footing, Frame], Points] = level_heads if level else scalloped_heads
    heads = shape(plan, begun, foot, frame)
    if isinstance(frame, Polar) and frame.spiral and level and plan.closed:
        return spiralled(canvas, plan, heads, begun, foot, figure), True
    if isinstance(frame, Polar) and plan.closed:
        climb = climbs(foot) if frame.spiral and figure.spiral_end is not None else 0.0
        heads, off = alike(canvas.fabric, plan, outward(heads, -climb), frame.spin, FAR if figure.even else NEAR)
        heads = outward(heads, climb)
        figure.uneven |= {plan.row.index} if off else set()
    figure.spiral_end = None
    return heads, level


def _loops_are_last(fabric: Fabric, plan: RowPlan) -> bool:
    """Whether the next row is not worked into the loops of this one."""
    loops = {i for run in plan.runs for i in run}
    above = fabric.rows[plan.row.index + 1].stitches if plan.row.index + 1 < len(fabric.rows) else ()
    return not any(loops & set(place.stitches) for i in above for place in fabric.stitches[i].feet)


def _on_fans(canvas: Canvas, plan: RowPlan) -> bool:
    """Whether a row stands on fans, whose tops it follows."""
    below = {i for node in plan.nodes for place in node.places for i in place.stitches}
    feet = Counter(place for i in below for place in set(canvas.fabric.stitches[i].feet))
    return max(feet.values(), default=0) >= SIZES.shell_from


def _has_fans(nodes: tuple[Node, ...]) -> bool:
    """Whether a row opens fans of its own."""
    return any(len(group) >= SIZES.shell_from for group in groups(nodes, closed=False))


def _out_of_fans(up: Points, heads: Points, foot: Footing, begun: Start) -> Points:
    """What stands on a wide fan goes on outward as its stems point."""
    size = np.bincount(begun.group)[begun.group]
    stems = units(heads - foot.base)
    return np.where(size >= SIZES.fan_from, units(0.35 * up + 0.65 * stems), up)


def _is_free(foot: Footing, frame: Straight | Side) -> bool:
    """Whether the row goes round a bend: some of it faces well away from the frame's up."""
    up = frame.up(np.zeros(len(foot.normal)))
    return bool(np.any((foot.normal * np.conj(up)).real < SIZES.bend_from))


def _frame(figure: Figure, spin: int, plan: RowPlan, foot: Footing) -> Frame:
    """The frame the row is laid in, by the figure's form."""
    if figure.form == "sector":
        return fan_frame(figure.span, spin)
    if figure.form in ("disc", "spiral"):
        return Polar(spin, plan.closed, figure.form == "spiral")
    if figure.form == "oval":
        left, right = figure.spine or (0.0, 0.0)
        one_side = units(np.array([np.median(foot.normal.real) + 1j * np.median(foot.normal.imag)]))[0]
        if not plan.closed and np.mean((foot.normal * np.conj(one_side)).real > 0.9) > 0.7:
            return Side(spin, complex(one_side))
        heights = float(np.median([node.height for node in plan.nodes]))
        inside = float(np.median(Stadium(spin, left, right, 1.0).level(foot.base)))
        return Stadium(spin, left, right, inside + heights, plan.closed, opened=figure.pitch > 1.0)
    return Straight(spin)


def _in_air(plan: RowPlan, foot: Footing, heads: Points) -> Points:
    """Where a round starts from the hook itself, its loops end there."""
    here = heads.copy()
    for i, node in enumerate(plan.nodes):
        if node.stitch < 0:
            here[i] = foot.base[i]
    return here
