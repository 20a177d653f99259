"""Forms: which rows make one figure, and whether it is a disc, a sector, blocks, a panel or a strip."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import groupby

import numpy as np

from chartgen.fabric import Fabric
from chartgen.layout.bend import Bend
from chartgen.layout.blocks import BlockRow, block_rows
from chartgen.layout.corners import Corner, polygon_rows
from chartgen.layout.diamonds import diamond_rows
from chartgen.layout.flaps import across_cut, cut_off, over_flap, round_the_back, stands_up
from chartgen.layout.loops import LEGS, fringes
from chartgen.layout.openings import closes_up, gathers_lace
from chartgen.layout.outline import Outline
from chartgen.layout.oval_sides import open_sides
from chartgen.layout.row_plan import RowPlan, is_garland, plan_row
from chartgen.layout.ruffles import spread_for_ruffles
from chartgen.layout.ruffles_beside import ruffle_beside, ruffles
from chartgen.layout.shells_in_step import Step
from chartgen.layout.sector import first_fan, from_one_place, sector
from chartgen.layout.sizes import SIZES
from chartgen.layout.staggered import stand_alike
from chartgen.layout.start import natural_gaps
from chartgen.layout.yoke import Neck, Yoke, yoke_of


@dataclass
class Figure:
    """Rows drawn as one figure, before they have places."""

    piece: int
    form: str
    rows: list[int]
    pale_row: int | None = None
    continues: int | None = None
    corners: dict[int, list[Corner]] = field(default_factory=dict)
    towards: float | None = None
    spiral_end: float | None = None
    spine: tuple[float, float] | None = None
    span: float = 0.0
    halved: bool = False
    free: bool = False
    bend: Bend | None = None
    yoke: Yoke | None = None
    neck: Neck | None = None
    outline: Outline | None = None
    edging: set[int] = field(default_factory=set)
    looped: set[int] = field(default_factory=set)
    blocks: list[BlockRow] = field(default_factory=list)
    pitch: float = 1.0
    spread: dict[int, float] = field(default_factory=dict)
    ruffled: bool = False
    fuller: dict[int, float] = field(default_factory=dict)
    even: bool = False
    uneven: set[int] = field(default_factory=set)
    around: bool = True
    apart: bool = False
    step: Step = field(default_factory=Step)


@dataclass(frozen=True)
class _Round:
    """A round's length laid neat, and the radius at which a disc would have it.

    `fold`: worked into one loop only of each stitch before, none twice, as where sides rise from a base.
    `handles`: with a few loops of many chains, plain between. `runs_on`: into the next, so that its loops shift.
    """

    length: float
    radius: float
    height: float
    open: bool = False
    spine: float = 0.0
    fold: bool = False
    handles: bool = False
    runs_on: bool = False

    @property
    def stretch(self) -> float:
        """How much wider than neat it would be drawn round its middle, or round the chain there."""
        return (2 * np.pi * self.radius + 2 * self.spine) / max(self.length, 1e-6)


def figures(fabric: Fabric, plans: dict[int, RowPlan]) -> list[Figure]:
    """The figures of a fabric, in working order. Fills `plans` with a plan per worked row."""
    found: list[Figure] = []
    for piece, info in enumerate(fabric.pieces):
        fresh = True
        for part in info.parts:
            for number in part.rows:
                row = fabric.rows[number]
                if not row.stitches and is_own_foundation(fabric, number + 1):
                    continue
                begins = fresh or row.form in ("ring", "foundation")
                fresh = False
                if row.form in ("round", "row"):
                    plans[number] = plan_row(fabric, row)
                apart = number == part.rows[0] and _stands_elsewhere(fabric, number)
                if begins or apart:
                    found.append(Figure(piece, "", [number], apart=apart and not begins))
                else:
                    found[-1].rows.append(number)
    stand_alike(plans)
    formed = [_formed(fabric, figure, plans) for figure in found]
    for figure in formed:
        figure.pitch = _widest(figure, plans) if figure.form == "straight" else 1.0
        if figure.form in ("disc", "spiral") and not _is_tube(_as_disc(fabric, figure, plans)):
            figure.corners = polygon_rows(fabric, figure.rows, plans) or diamond_rows(fabric, figure.rows, plans)
    found = _with_bands(_with_yokes(formed, fabric, plans), fabric, plans)
    found = _with_strips(_with_openings(found, fabric, plans), fabric, plans)
    found = _with_rounds_over_flaps(found, fabric, plans)
    for figure in (each for each in found if each.form == "oval" and each.around):
        figure.pitch = open_sides(figure.rows, plans)
    for figure in (each for each in found if each.pale_row is not None):
        figure.continues = next(n for n, each in enumerate(found) if figure.pale_row in each.rows)
    for figure in found:
        level = figure.form in ("straight", "strip") and figure.yoke is None
        figure.spread, figure.ruffled = spread_for_ruffles(_with_edge(figure), plans, figure.pale_row, figure.apart) if level else ({}, False)
        figure.ruffled |= figure.apart and figure.rows[0] in plans and ruffles(fabric, plans[figure.rows[0]], plans)
    return found


def _with_edge(figure: Figure) -> list[int]:
    """The figure's rows, and first the row that a strip stands on."""
    return figure.rows if figure.pale_row is None else [figure.pale_row, *figure.rows]


def _with_bands(found: list[Figure], fabric: Fabric, plans: dict[int, RowPlan]) -> list[Figure]:
    """Cut off what goes along the row ends of several figures, or of another one, as a front band does; round the
    one side of a strip whose ends meet, as a hat above its rib; and what stands up along the sides of its own."""
    figure_of = {j: figure for figure in found for j in figure.rows}
    def cut(figure: Figure) -> int | None:
        ways = (k for k, j in enumerate(figure.rows) if k and j in plans)
        at = next((k for k in ways if _begins_anew(fabric, plans[figure.rows[k]], figure_of)), None)
        own = figure.rows[:at]
        return ruffle_beside(fabric, own, plans) or stands_up(fabric, own, plans) or at if figure.form == "straight" else at

    return _with_apart(found, fabric, plans, cut, figure_of)


def _with_apart(
    found: list[Figure], fabric: Fabric, plans: dict[int, RowPlan], cut: Callable[[Figure], int | None], figure_of: dict[int, Figure]
) -> list[Figure]:
    """Cut off each figure, and again off what was cut off, the row at the position that `cut` gives and what stands on it."""
    result, ahead = [], list(found)
    while ahead:
        figure = ahead.pop(0)
        at = cut(figure)
        if at is None:
            result.append(figure)
            continue
        form = "strip" if plans[figure.rows[at]].closed else "straight"
        figure.rows, own = cut_off(fabric, figure.rows, at, plans)
        ahead[:0] = [figure, Figure(figure.piece, form, own, apart=True)]
        figure_of |= dict.fromkeys(own, ahead[1])
    return sorted(result, key=lambda figure: figure.rows[0])


def _begins_anew(fabric: Fabric, plan: RowPlan, figure_of: dict[int, Figure]) -> bool:
    """Whether a row cannot be drawn on the rows before it: it goes into another figure, or closes a strip."""
    return _goes_elsewhere(fabric, plan, figure_of) or _takes_up(fabric, plan, figure_of) or _closes_a_strip(fabric, plan)


def _takes_up(fabric: Fabric, plan: RowPlan, figure_of: dict[int, Figure]) -> bool:
    """Whether a row takes up the stitches of another figure, one by one: a pocket's lining in its front, a second leg."""
    own = figure_of[plan.row.index]
    rows = [{fabric.stitches[i].row for place in node.places for i in place.stitches} for node in plan.nodes]
    there = [len(below) == 1 and figure_of.get(*below, own) is not own for below in rows]
    return any(another and len(list(run)) >= _TAKEN_UP for another, run in groupby(there))


def _goes_elsewhere(fabric: Fabric, plan: RowPlan, figure_of: dict[int, Figure]) -> bool:
    """Whether a row that is worked into the ends of rows, or along the free side of a chain, goes into another figure."""
    places = [p for node in plan.nodes for p in node.places if p.stitches]
    below = {fabric.stitches[p.stitches[-1]].row for p in places} if any(p.kind == "end" or p.far_side for p in places) else set()
    return any(figure_of[j] is not figure_of[plan.row.index] for j in below if j in figure_of)


def _with_rounds_over_flaps(found: list[Figure], fabric: Fabric, plans: dict[int, RowPlan]) -> list[Figure]:
    """Cut off a strip what goes round over a flap on it, or to and fro across its cut; off a disc what goes across the
    gap that rows on a part of it leave."""
    def cut(figure: Figure) -> int | None:
        rows, pale = figure.rows, figure.pale_row
        behind = round_the_back(fabric, rows, plans, pale) if figure.form in ("disc", "spiral", "strip") else None
        ways = (over_flap(fabric, rows, plans, pale), across_cut(fabric, rows, plans)) if figure.form == "strip" else ()
        return min((at for at in (*ways, behind) if at is not None), default=None)

    return _with_apart(found, fabric, plans, cut, {})


def _with_openings(found: list[Figure], fabric: Fabric, plans: dict[int, RowPlan]) -> list[Figure]:
    """Cut off the rounds from one on that leaves out a thumb's or a sleeve's stitches below far fewer chains."""
    def cut(figure: Figure) -> int | None:
        ways = (closes_up(fabric, figure.rows, plans), gathers_lace(figure.rows, plans))
        return min((at for at in ways if at is not None and figure.form in ("disc", "spiral", "oval", "strip")), default=None)

    return _with_apart(found, fabric, plans, cut, {})


def _closes_a_strip(fabric: Fabric, plan: RowPlan) -> bool:
    """Whether a round is worked into row ends alone, one of each row: the strip has become a tube. Where its beginning chain
    rises from does not matter."""
    places = [place for node in plan.nodes if not node.column for place in node.places]
    ends = {p.stitches[-1] for p in places if p.kind == "end"}
    return plan.closed and len(ends) > 2 and all(p.kind == "end" for p in places) and len({fabric.stitches[i].row for i in ends}) == len(ends)


def _with_yokes(found: list[Figure], fabric: Fabric, plans: dict[int, RowPlan]) -> list[Figure]:
    """Cut what is worked on a part of a yoke's last row off the yoke."""
    result: list[Figure] = []
    for figure in found:
        result.append(figure)
        rows = [j for j in figure.rows if j in plans]
        on_chain = figure.form == "straight" and fabric.rows[figure.rows[0]].form == "foundation"
        figure.yoke = yoke_of([plans[j] for j in rows]) if on_chain else None
        if figure.yoke is None or rows[-1] in figure.yoke.corners:
            continue
        cut = figure.rows.index(next(j for j in rows if j not in figure.yoke.corners))
        result.append(Figure(figure.piece, "strip", figure.rows[cut:], apart=True))
        figure.rows = figure.rows[:cut]
    return result


def _stands_elsewhere(fabric: Fabric, number: int) -> bool:
    """A tube begun on stitches left earlier, such as a thumb, none of it on the row before; or a yoke that
    goes over body and sleeves in turn."""
    row = fabric.rows[number]
    places = [place for k in row.stitches for place in fabric.stitches[k].feet]
    used = Counter(fabric.stitches[i].row for place in places for i in place.stitches)
    del used[number]
    around_it = any(place.kind == "end" or place.far_side for place in places)      # an edging
    gathers = sum(n >= _MANY for n in used.values()) > 2 and not around_it
    return gathers or row.form == "round" and bool(used) and number - 1 not in used


def is_own_foundation(fabric: Fabric, number: int) -> bool:
    """A row of foundation stitches, each made with a chain of its own to stand on."""
    if not 0 <= number < len(fabric.rows):
        return False
    return any(fabric.stitches[i].kind.own_chain for i in fabric.rows[number].line)


def _widest(figure: Figure, plans: dict[int, RowPlan]) -> float:
    """How much wider than neat the columns of a panel must stand for its widest stitches, or a loop at each."""
    widest = 1.0
    for plan in (plans[j] for j in figure.rows if j in plans):
        pairs = zip(plan.nodes, plan.nodes[1:], plan.runs, strict=False)
        wide = [(a.width + b.width) / 2 for a, b, run in pairs if not run and a.key != b.key]
        fringed = LEGS if any(fringes(a, b, run) for a, b, run in zip(plan.nodes, plan.nodes[1:], plan.runs, strict=False)) else 0.0
        widest = max([widest, *(w / SIZES.pitch for w in [*wide, fringed])])
    return min(widest, SIZES.gap_most)


def _formed(fabric: Fabric, figure: Figure, plans: dict[int, RowPlan]) -> Figure:
    """Name the figure's form from its first worked rows."""
    worked = [fabric.rows[j] for j in figure.rows if fabric.rows[j].form in ("round", "row")]
    first = worked[0] if worked else None
    if figure.apart:
        figure.form = "strip" if first is not None and first.form == "round" else "straight"
    elif first is not None and is_own_foundation(fabric, first.index):
        figure.form = "straight" if first.form == "row" else "strip"
    elif first is not None and first.form == "row" and (blocks := block_rows(fabric, figure.rows)):
        figure.form, figure.blocks = "blocks", blocks
    elif first is not None and _is_sector(fabric, figure, plans, first.index):
        figure.form = "sector"
    elif first is None or first.form == "row":
        figure.form = "disc" if fabric.rows[figure.rows[0]].form == "ring" and not (first and is_garland(plans[first.index])) else "straight"
        if first is not None and _both_sides(plans[first.index]):
            figure.form, figure.around = "oval", False
    elif _around_one_point(fabric, figure, plans[first.index]):
        runs_on = all(r.ending in ("spiral", "") for r in worked[:2])
        lace = any(any(plans[r.index].runs) for r in worked)
        figure.form = "spiral" if runs_on and not lace else "disc"
    else:
        figure.form = "oval"
    return figure


def _is_sector(fabric: Fabric, figure: Figure, plans: dict[int, RowPlan], first: int) -> bool:
    """Whether rows worked to and fro about one point go round it; sets how far, and their corners."""
    rows = [j for j in figure.rows if j >= first and fabric.rows[j].form == "row" and plans[j].nodes]
    if not rows or rows[0] != first or not from_one_place(plans[first]):
        return False
    found = sector([plans[j] for j in rows])
    figure.span, figure.corners, figure.halved = found.span, found.corners, found.halved
    if not figure.span and fabric.rows[figure.rows[0]].form == "ring":
        figure.span, figure.free = first_fan(plans[first]), True
    return figure.span > 0


def _both_sides(plan: RowPlan) -> bool:
    return any(place.far_side for node in plan.nodes for place in node.places)


def _around_one_point(fabric: Fabric, figure: Figure, plan: RowPlan) -> bool:
    """Whether the first round stands in a ring, in its chains, or in one chain."""
    if fabric.rows[figure.rows[0]].form == "ring":
        return True
    return len({place for node in plan.nodes for place in node.places}) == 1


def _with_strips(found: list[Figure], fabric: Fabric, plans: dict[int, RowPlan]) -> list[Figure]:
    """Cut tubes and closing rounds off their discs."""
    result: list[Figure] = []
    for figure in found:
        flat = figure.form in ("disc", "spiral") and not figure.corners or figure.form == "oval" and figure.around
        cut = _strip_start(fabric, figure, plans) if flat else None
        if cut is None:
            result.append(figure)
            continue
        if all(fabric.rows[j].form == "ring" for j in figure.rows[:cut]):
            result.append(Figure(figure.piece, "strip", figure.rows))
            continue
        result.append(Figure(figure.piece, figure.form, figure.rows[:cut]))
        result.append(Figure(figure.piece, "strip", figure.rows[cut:], figure.rows[cut - 1]))
    return result


def _strip_start(fabric: Fabric, figure: Figure, plans: dict[int, RowPlan]) -> int | None:
    """Index, in the figure's rows, of the round from which they no longer lie flat.

    Two rounds or more that hardly grow, and would be drawn far too wide on the disc; one
    or two that are only a little under full are still drawn flat, stretched. Of lace, which
    gives, four are asked. Round an oval
    stitches stand apart at its ends alone, so that a smaller share is too wide.
    """
    most = SIZES.strip_stretch if figure.form != "oval" else SIZES.oval_stretch
    rounds = _as_disc(fabric, figure, plans)
    if _is_tube(rounds):
        return 1
    if (folded := _folds_up(rounds, most)) is not None:
        return folded
    starts = (_sides_from(rounds, _falls_behind, 1, most), _sides_from(rounds, _goes_on_even, _LACE_SIDES, _LACE_STRETCH))
    return min((start for start in starts if start is not None), default=None)


def _sides_from(rounds: list[_Round], is_side: Callable[[_Round, _Round], bool], further: int, most: float) -> int | None:
    """Index of the first of several rounds in turn that are sides, so many `further` ones at least, if they would be drawn
    more than `most` times as wide as neat."""
    first: int | None = None
    for i in range(1, len(rounds)):
        if not is_side(rounds[i], rounds[i - 1]):
            first = None
            continue
        first = i if first is None else first
        if i >= first + further and rounds[i].stretch > most:
            return first
    return None


def _folds_up(rounds: list[_Round], most: float) -> int | None:
    """Index of the round at which sides rise, be they of lace: a fold that does not grow, and rounds on it too few to lie flat."""
    folds = (i for i in range(1, len(rounds)) if rounds[i].fold and _falls_behind(rounds[i], rounds[i - 1]))
    return next((i for i in folds if max(this.stretch for this in rounds[i:]) > most), None)


def _is_tube(rounds: list[_Round]) -> bool:
    """Two rounds or more on a long ring of chains, none of which grows but at its handles; of lace more, after its first."""
    if not rounds[0].length:
        return False
    longest = np.maximum.accumulate([this.length for this in rounds])
    pairs = zip(rounds[1:], rounds, longest, strict=False)
    grows = [this.length - most >= _most_growth(this) and not (this.handles or before.handles) for this, before, most in pairs]
    lace = any(this.open and not this.handles for this in rounds)
    return not any(grows[1:] if lace else grows) and len(rounds) > (_LACE_TUBE if lace else 2)


def _falls_behind(this: _Round, before: _Round) -> bool:
    """A round that grows by little more than a third of what a disc needs; never lace."""
    return not (this.open or before.open) and _hardly_grows(this, before)


def _goes_on_even(this: _Round, before: _Round) -> bool:
    """The same of a joined round of lace, such as the sides of a mesh bag."""
    return this.open and not this.runs_on and _hardly_grows(this, before)


def _hardly_grows(this: _Round, before: _Round) -> bool:
    return this.height > 0 and this.length - before.length < _most_growth(this)


def _most_growth(this: _Round) -> float:
    return _TUBE_GROWTH * 2 * np.pi * this.height


_LACE_TUBE = 4          # so many of its rounds, with the ring, may be the beginning of a disc
_LACE_SIDES, _LACE_STRETCH = 3, 1.5     # so many more rounds of lace as long as the first, drawn so much wider than neat, are sides
_TUBE_GROWTH = 0.36
_TAKEN_UP = 4           # stitches of another figure in turn that are no joining of motifs
_MANY = 8               # stitches of a row from which on a round goes over it, and not into a few of it
_LONG_RING = 16
_HANDLES = 2


def _as_disc(fabric: Fabric, figure: Figure, plans: dict[int, RowPlan]) -> list[_Round]:
    """The figure's rounds as they would lie on a disc; its foundation first."""
    rounds: list[_Round] = []
    spine = _spine(fabric, figure, plans) if figure.form == "oval" else 0.0
    for number in figure.rows:
        if number in plans:
            rounds.append(_one_round(plans[number], rounds[-1].radius if rounds else 0.8, spine))
            continue
        if spine:
            rounds.append(_Round(0.0, 0.0, 0.0, spine=spine))
            continue
        chains = len(fabric.rows[number].line) if fabric.rows[number].form == "ring" else 0
        radius = max(chains / (2 * np.pi), 0.4) + (0.4 if chains else 0.0)
        rounds.append(_Round(chains * SIZES.pitch if chains >= _LONG_RING else 0.0, radius, 0.0))
    return rounds


def _spine(fabric: Fabric, figure: Figure, plans: dict[int, RowPlan]) -> float:
    """Length of the chain that the figure's first round is worked about."""
    first = next(j for j in figure.rows if j in plans)
    return float(len({i for node in plans[first].nodes for p in node.places for i in p.stitches}) - 1)


def _one_round(plan: RowPlan, inside: float, spine: float = 0.0) -> _Round:
    length = float(natural_gaps(plan).sum()) if plan.nodes else 1.0
    height = float(np.median([n.height for n in plan.nodes])) if plan.nodes else 1.0
    radius = max(inside + height, (length - 2 * spine) / (2 * np.pi) * 0.7)
    return _Round(length, radius, height, any(plan.runs) or bool(plan.rings), spine, _is_fold(plan), _has_handles(plan), not plan.joins and plan.closing is None)


def _is_fold(plan: RowPlan) -> bool:
    keys = [node.key for node in plan.nodes]
    return plan.closed and all(key is not None and key.loop in ("back", "front") for key in keys) and len(set(keys)) == len(keys)


def _has_handles(plan: RowPlan) -> bool:
    loops = [len(run) for run in plan.runs if run]
    return 0 < len(loops) <= _HANDLES and min(loops) >= SIZES.loop_chains and not plan.rings and len(plan.nodes) >= 4 * len(loops)


def corner_count(figure: Figure) -> int:
    """k of a k-cornered figure, by its last polygon round; 0 for any other."""
    return len(figure.corners[max(figure.corners)]) if figure.corners else 0


def drawn_form(figure: Figure) -> str:
    """The form as a run of the layout names it; work around a chain is a disc or straight."""
    if figure.form == "oval":
        return "disc" if figure.around else "straight"
    return "polygon" if figure.corners and figure.form != "sector" else figure.form


def begin_again(figure: Figure) -> None:
    """Forget what growing the figure found out, before it is grown anew."""
    figure.towards = figure.spiral_end = figure.spine = figure.bend = figure.neck = figure.outline = None
    figure.step.begin_again()
    figure.edging, figure.looped, figure.fuller, figure.uneven = set(), set(), {}, set()
