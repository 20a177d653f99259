"""The measured schematic: every piece to one scale, with its dimensions in every size.

Pieces stand side by side in the order made, before seams. Up to four sizes are printed
on the lines in the trade's form `17 (18.5, 21)`; more get letters and a table.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from chartgen.draw.body_view import has_flat_part
from chartgen.draw.disc_view import flat_part
from chartgen.draw.border_view import Border
from chartgen.draw.drawing import Drawing, Group, Item, Label
from chartgen.draw.garment_view import is_shaped
from chartgen.draw.attributes import slug
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import text_width
from chartgen.draw.outline_view import standing_on_tube
from chartgen.draw.panel_view import motifs_joined
from chartgen.draw.sheet import LINE_SPACING, for_makers, piece_title, sizes_marked, wrapped
from chartgen.draw.size_table import table, table_height
from chartgen.draw.size_values import Letters, Sizes, Wording
from chartgen.draw.shapes import Box, bounds, moved
from chartgen.draw.views import CAPTION, View, view_of
from chartgen.draw.yoke_view import YokeView, garment_in_one
from chartgen.fabric.fabric import Fabric
from chartgen.measure.borders import edged
from chartgen.measure.in_one import rows_of
from chartgen.measure.items import item_of
from chartgen.measure.measures import Figure, InOne, Joined, Measures, OnTube, Outline, Panel, PieceMeasures, Revolution
from chartgen.problems import Problem
from chartgen.read.document import Document, Gauge
from chartgen.sizing.chosen import bodies
from chartgen.stitches import registry
from chartgen.units import cm_text, inch_text
from chartgen.wording.drawn import decimal, dimension, length, named, said, sizes_said, terms_said, told, warned

A4 = (210.0, 297.0)
MARGIN = 12.0
BETWEEN = 6.0
TITLE, SMALL, NOTE = 5.0, 3.4, 3.0
SCALES: tuple[tuple[Fraction, str], ...] = (
    *((Fraction(n), f"{n}:1") for n in (5, 2)),
    *((Fraction(1, n), f"1:{n}") for n in (1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 25, 30, 40, 50)),
)
"""Scales a ruler can check; those of ISO 5455 and a few between, largest first."""
NO_SCALE = "none"
_AS = {
    Panel: "motifs joined as they are worked", OnTube: "worked in rounds to the armholes, laid flat; front",
}
_IN_ONE = {False: "worked in one from the neck, laid flat", True: "worked in one from the hem, laid flat"}


def _as(made: InOne | OnTube | Panel) -> str:
    """How figures that are drawn together are worked and seen."""
    return said(_IN_ONE[made.from_below] if isinstance(made, InOne) else _AS[type(made)])


@dataclass(frozen=True)
class _Sheet:
    """The figures placed on a sheet, and how much room is left for them."""

    width: float
    height: float
    groups: tuple[Group, ...]
    bottom: float
    letters: Letters | None
    scale: str


def draw_schematic(
    document: Document,
    fabrics: Sequence[Fabric],
    measures: Sequence[Measures],
    size_index: int,
    problems: Sequence[Problem],
) -> Drawing:
    """The schematic of all pieces, drawn in one size and dimensioned in all that are given.

    Args:
        fabrics, measures: one of each per size, in the same order.
        size_index: which of them is drawn to scale.
        problems: cautions and missed measurements, listed at the foot.
    Returns:
        An A4 sheet, upright or, where that shows the pieces larger, lying.
    """
    sizes, problems = Sizes(measures, size_index), [p for p in problems if for_makers(p)]
    upright = _composed(document, sizes, problems, A4)
    lying = _composed(document, sizes, problems, A4[::-1])
    ranks = [label for _, label in SCALES] + [NO_SCALE]
    sheet, scale = min((upright, lying), key=lambda made: (ranks.index(made[1]), made is lying))
    return sheet


def _composed(
    document: Document, sizes: Sizes, problems: Sequence[Problem], paper: tuple[float, float]
) -> tuple[Drawing, str]:
    width, height = paper
    room = width - 2 * MARGIN
    head, top = _heading(document, sizes, room)
    shapes = [_titled(document, shape) for shape in _shapes(sizes)]
    foot_room = _foot_height(document, sizes, problems, room)
    placed = _fitted(sizes, shapes, room, height - 2 * MARGIN - top - foot_room, MARGIN + top)
    y = max(placed.bottom + 6, MARGIN + top)
    foot, y = _foot(document, sizes, problems, placed, room, y)
    attributes = (("data-view", "schematic"), ("data-scale", placed.scale), *_size_attribute(sizes))
    drawing = Drawing(
        width, max(height, y + MARGIN), said("{title}: schematic", title=told(document.title)),
        _description(document, sizes), (head, *placed.groups, *foot), attributes=attributes,
    )
    return drawing, placed.scale


def _size_attribute(sizes: Sizes) -> tuple[tuple[str, str], ...]:
    size = sizes.measures[sizes.drawn].size
    return (("data-size", size),) if size is not None else ()


def _description(document: Document, sizes: Sizes) -> str:
    """Read aloud in place of the picture: each piece and its dimensions in the size drawn."""
    every = []
    for piece in sizes.measures[sizes.drawn].pieces:
        lengths = "; ".join(f"{dimension(d.name)} {decimal(f'{float(d.cm):.1f}')} cm" for d in piece.dimensions)
        every.append(f"{told(piece.name)}: {lengths}")
    title = said("Measured schematic of {title}, version {version}", title=told(document.title), version=document.version)
    return f"{title}. " + ". ".join(every)


# Pieces ---------------------------------------------------------------------------------

@dataclass(frozen=True)
class _Shape:
    """A figure to be drawn: where it is found, and what is written over it; `flat`: only this part, from above."""

    piece: int
    index: int
    figure: Figure
    caption: str
    under: str
    of: PieceMeasures
    flat: int | None = None
    together: InOne | OnTube | Panel | None = None


def _shapes(sizes: Sizes) -> list[_Shape]:
    """Figures that counts establish, edgings aside, in the order made; a garment in one is one shape."""
    return [
        shape
        for p, piece in enumerate(sizes.measures[sizes.drawn].pieces)
        for k, figure in enumerate(piece.figures)
        for made in (_together(piece, k),)
        if _can_be_drawn(figure) and not _drawn_around(figure) and (made is None or k == _first(made))
        for shape in (
            (_Shape(p, k, figure, told(piece.name), _as(made), piece, together=made),) if made is not None
            else (_Shape(p, k, figure, _caption(piece, figure), _under(figure), piece), *_from_above(p, k, piece, figure),
                  *_sewn(p, k, piece, figure))
        )
    ]


def _titled(document: Document, shape: _Shape) -> _Shape:
    """A shape whose caption begins with its piece, said to be made twice where it is."""
    name, title = told(shape.of.name), piece_title(document, shape.of.name)
    of_piece = shape.flat is None and not isinstance(shape.together, Panel) and shape.caption.startswith(name)
    return replace(shape, caption=title + shape.caption[len(name):]) if of_piece else shape


def _from_above(p: int, k: int, piece: PieceMeasures, figure: Figure) -> Iterator[_Shape]:
    """The crown or the base of a body, which its side does not show."""
    if isinstance(figure, Revolution) and figure.form == "body" and len(figure.parts) > 1 and not figure.closed:
        first = figure.rounds[0].part
        if has_flat_part(figure, first):
            name = f"{told(piece.name)}: {told(piece.parts[first].name)}"
            yield _Shape(p, k, figure, name, said("from above, laid flat"), piece, first)


def _drawn_around(figure: Figure) -> bool:
    """An edging in rounds is drawn around what it edges; one in rows is a strip of its own."""
    return figure.edging and isinstance(figure, Revolution)


def _sewn(p: int, k: int, piece: PieceMeasures, figure: Figure) -> Iterator[_Shape]:
    """The panel that a motif is sewn into, beside the motif."""
    if piece.panel is not None and piece.panel.sewn and piece.panel.cells[0][0] == k:
        across, up = (max(cell[axis] for cell in piece.panel.cells) + 1 for axis in (1, 2))
        under = said("{n} joined, {across} across and {up} up", n=len(piece.panel.cells), across=across, up=up)
        yield _Shape(p, k, figure, said("{piece}: panel", piece=told(piece.name)), under, piece, together=piece.panel)


def _together(piece: PieceMeasures, figure: int) -> InOne | OnTube | Panel | None:
    """The garment in one or the panel that a figure is part of."""
    if piece.in_one is not None and figure in piece.in_one.figures:
        return piece.in_one
    if piece.on_tube is not None and figure in (piece.on_tube.tube, piece.on_tube.front):
        return piece.on_tube if _lies_flat(piece) else None
    return piece.panel if piece.panel is not None and not piece.panel.sewn and figure in (k for k, _, _ in piece.panel.cells) else None


def _first(made: InOne | OnTube | Panel) -> int:
    if isinstance(made, OnTube):
        return made.tube
    return made.yoke if isinstance(made, InOne) else min(k for k, _, _ in made.cells)


def _lies_flat(piece: PieceMeasures) -> bool:
    """Whether both were measured as one."""
    return any(d.name == "armhole depth" for d in piece.dimensions)


def _can_be_drawn(figure: Figure) -> bool:
    """Counts establish it, or it is lace whose last round does."""
    return figure.established or (isinstance(figure, Revolution) and figure.form == "flat")


def _caption(piece: PieceMeasures, figure: Figure) -> str:
    names = [told(piece.parts[q].name) for q in figure.parts]
    if len(figure.parts) == len(piece.parts):
        return told(piece.name)
    return f"{told(piece.name)}: {', '.join(names)}"


def _under(figure: Figure) -> str:
    """What the view is, and the verdict on lying flat."""
    if isinstance(figure, Outline):
        return said("edging, worked along row ends" if figure.edging else "worked in rows")
    if figure.form == "body":
        return said("worked in rounds, side view")
    ratio = figure.rounds[-1].flat_ratio
    if ratio is None:
        return said("from above, blocked flat to its last round")
    return said("from above; {verdict}: {share} % of the stitches that lie flat", verdict=said(figure.verdict), share=round(100 * ratio))


def _fitted(sizes: Sizes, shapes: Sequence[_Shape], width: float, height: float, top: float) -> _Sheet:
    """The pieces at the largest scale at which they fit the room; at the smallest, as they come."""
    sheet = None
    crowded = sum(is_shaped(shape.figure) for shape in shapes) > 1 or any(isinstance(shape.together, (InOne, OnTube)) for shape in shapes)
    for factor, label in SCALES if shapes else ((Fraction(1), NO_SCALE),):
        letters = Letters() if sizes.many or crowded else None
        views = [_view(sizes, letters, 10 * float(factor), shape) for shape in shapes]
        sheet = _shelved(views, width, top, letters, label)
        deep = sheet.bottom - top + (table_height(letters, sizes.names(), width) + 3 if letters else 0.0)
        if all(v.box[2] - v.box[0] <= width for v in views) and deep <= height:
            break
    assert sheet is not None, "there is at least one scale"
    return sheet


def _view(sizes: Sizes, letters: Letters | None, scale: float, shape: _Shape) -> View:
    wording = Wording(sizes, letters, scale, shape.piece, shape.index)
    if shape.flat is not None and isinstance(shape.figure, Revolution):
        return _captioned(shape, flat_part(wording, shape.figure, shape.flat))
    if isinstance(shape.together, InOne):
        return _captioned(shape, garment_in_one(YokeView(wording, shape.together, shape.of.figures)))
    if isinstance(shape.together, OnTube):
        tube, front = shape.of.figures[shape.together.tube], shape.of.figures[shape.together.front]
        assert isinstance(tube, Revolution) and isinstance(front, Outline), "a piece in rows on a tube"
        return _captioned(shape, standing_on_tube(wording, tube, front))
    if isinstance(shape.together, Panel):
        return _captioned(shape, motifs_joined(wording, shape.together, shape.of.figures))
    first = wording.part_name(shape.figure.parts[0])
    border = Border.of(wording, shape.of.figures, shape.figure)
    return _captioned(shape, view_of(wording, shape.figure, first, border))


def _captioned(shape: _Shape, items: Sequence[Item]) -> View:
    """Name over the figure, what is seen under the name."""
    left, top, right, bottom = bounds(items)
    middle = (left + right) / 2
    labels = (
        Label(shape.caption, middle, top - 9, CAPTION + 0.4, "middle", ink=TEXT, weight="bold", classes="caption"),
        Label(shape.under, middle, top - 4.2, NOTE, "middle", ink=TEXT, classes="caption"),
    )
    half = max(text_width(shape.caption, CAPTION + 0.4, True), text_width(shape.under, NOTE)) / 2
    box: Box = (min(left, middle - half), top - 13, max(right, middle + half), bottom)
    name = slug(f"{shape.caption}-{shape.index}" if shape.index else shape.caption) + ("-from-above" if shape.flat is not None else "")
    name += "-panel" if isinstance(shape.together, Panel) and shape.together.sewn else ""
    group = Group((*items, *labels), id=f"piece-{name}", classes="piece", title=shape.caption)
    return View((group,), box)


def _shelved(views: Sequence[View], width: float, top: float, letters: Letters | None, scale: str) -> _Sheet:
    """Views side by side, in lines; each line sits centred in the width."""
    lines: list[list[View]] = [[]]
    for view in views:
        if lines[-1] and _line_width([*lines[-1], view]) > width:
            lines.append([])
        lines[-1].append(view)
    groups: list[Group] = []
    y = top
    for row in lines:
        x = MARGIN + (width - _line_width(row)) / 2
        deep = max((v.box[3] - v.box[1] for v in row), default=0.0)
        for view in row:
            dy = y - view.box[1]
            groups += [g for g in moved(view.items, x - view.box[0], dy) if isinstance(g, Group)]
            x += view.box[2] - view.box[0] + BETWEEN
        y += deep + BETWEEN
    return _Sheet(width, y, tuple(groups), y - BETWEEN, letters, scale)


def _line_width(views: Sequence[View]) -> float:
    return sum(v.box[2] - v.box[0] for v in views) + BETWEEN * max(0, len(views) - 1)


# Words ----------------------------------------------------------------------------------

def _lines_of(texts: Sequence[str], size: float, room: float, y: float, classes: str,
              weight: str = "") -> tuple[list[Item], float]:
    """Lines of text under each other from `y` down; returns them and where they end."""
    made: list[Item] = []
    for text in texts:
        for k, words in enumerate(wrapped(text, size, room)):
            y += size * LINE_SPACING
            made.append(Label(words, MARGIN + (2.5 if k else 0), y, size, ink=TEXT, weight=weight, classes=classes))
    return made, y


def _heading(document: Document, sizes: Sizes, room: float) -> tuple[Group, float]:
    title, y = _lines_of([said("{title}: schematic", title=told(document.title))], TITLE, room, MARGIN - 3, "title", "bold")
    names = [told(m.size) for m in sizes.measures if m.size is not None]
    drawn = sizes.measures[sizes.drawn].size
    facts = [said("version {version}", version=document.version), terms_said(document.terms)]
    if drawn is not None:
        facts.append(said("sizes {sizes}", sizes=sizes_said(names)))
        facts.append(said("drawn: size {size}", size=told(drawn)))
    under, y = _lines_of([" · ".join(facts)], SMALL, room, y + 0.8, "subtitle")
    gauges, y = _lines_of([_gauge_line(document)], SMALL, room, y, "gauge")
    return Group((*title, *under, *gauges), id="heading"), y - MARGIN + 5


def _gauge_line(document: Document) -> str:
    """Every gauge complete."""
    every = [gauge_text(g, document.terms) for g in _gauges(document)]
    return said("Gauge: {gauges}", gauges="; ".join(dict.fromkeys(every))) if every else ""


def _gauges(document: Document) -> list[Gauge]:
    of_parts = [g for piece in document.pieces for part in piece.parts for g in part.gauge]
    return [*document.gauge, *of_parts]


def gauge_text(gauge: Gauge, terms: str = "US") -> str:
    """A gauge complete, as patterns print it: `14 dc and 8 rows = 10 cm, in rounds, blocked`."""
    kind = registry().find(gauge.stitch.value, terms)
    stitch = named(kind, terms)[0] if kind else told(gauge.stitch.value)
    if gauge.said:
        return f"{stitch}: {gauge.said}"
    counts = [f"{_plain(gauge.stitches)} {stitch}"] if gauge.stitches else []
    rows = "{n} rows" if counts else "{n} rows of {stitch}"
    counts += [said(rows, n=_plain(gauge.rows), stitch=stitch)] if gauge.rows else []
    square = gauge.width_cm == gauge.height_cm
    over = _plain(gauge.width_cm) if square else said("{width} by {height}", width=_plain(gauge.width_cm), height=_plain(gauge.height_cm))
    how = said({True: ", in rounds", False: ", in rows", None: ""}[gauge.in_rounds])
    how += said({True: ", blocked", False: ", not blocked", None: ""}[gauge.blocked])
    return f"{said(' and ').join(counts)} = {over} cm{how}"


def _plain(value: Fraction | None) -> str:
    return decimal(f"{float(value or 0):.6g}")


def _notes(document: Document, sizes: Sizes, scale: str) -> list[str]:
    """What the reader must know to trust the numbers."""
    drawn = sizes.measures[sizes.drawn]
    about = _to_fit(document) + sizes_marked(document, _only_size(sizes))
    if scale == NO_SCALE:
        return about + _unseen(drawn)
    size = said("; size {size} is drawn", size=told(drawn.size)) if drawn.size is not None else ""
    blocked = {g.blocked for g in _gauges(document)} - {None}
    as_gauge = said(", blocked" if blocked == {True} else ", before blocking" if blocked == {False} else "")
    measured = said("Measured at the gauge given{blocked}, unstretched, before seams and edging.", blocked=as_gauge)
    notes = [
        f"{said('Scale {scale}', scale=scale)}{size}. {measured}",
        said("1 in = 2.54 cm. Centimetres to the half, inches to the quarter, each rounded once from the exact length."),
        _around_said(drawn) + _order_said(drawn),
    ]
    return about + notes + _joined(drawn) + _unseen(drawn)


def _only_size(sizes: Sizes) -> str | None:
    """The size, where one alone is shown."""
    return sizes.measures[0].size if len(sizes.measures) == 1 else None


def _to_fit(document: Document) -> list[str]:
    """Whom it is made for, apart from what it measures; of a hat, the heads."""
    if document.fits is None:
        return []
    rows = _rows_said([str(row) for row in document.fits.rows])
    fitted = [said("To fit: {rows}; what it measures is on the drawing.", rows=rows)] if rows else []
    return fitted + _heads(document)


def _rows_said(rows: Sequence[str]) -> str:
    """Rows of body tables; of one table "trade child, 2 (4, 6) years", its name and what all share once."""
    tables, cells = {row.rpartition(" / ")[0] for row in rows}, [row.rpartition(" / ")[2] for row in rows]
    if len(rows) < 2 or len(tables) > 1 or "" in tables:
        return sizes_said(rows)
    shared = {cell.partition(" ")[2] for cell in cells}
    unit = shared.pop() if len(shared) == 1 and all(cell[:1].isdigit() for cell in cells) else ""
    values = [cell.partition(" ")[0] for cell in cells] if unit else cells
    return f"{tables.pop()}, {sizes_said(values)} {unit}".rstrip()


def _heads(document: Document) -> list[str]:
    """Around the heads that a hat fits, in every size."""
    cells = [body.cell("head") for body in bodies(document)[0]] if item_of(document) == "hat" else []
    lengths = [cell.cm for cell in cells if cell is not None]
    if not cells or len(lengths) < len(cells):
        return []
    cm, inches = ([text(one) for one in lengths] for text in (cm_text, inch_text))
    return [said("Fits heads of {around} around; the hat stretches to them.", around=", ".join(length(cm, inches)))]


def _order_said(measures: Measures) -> str:
    """How the order and the way of work are shown."""
    panels = [piece for piece in measures.pieces if piece.panel is not None and not piece.panel.sewn]
    if len(panels) == len(measures.pieces) == 1:
        return said("The numbers show the order in which the motifs are worked.")
    return said("The thick open arrow shows the direction of work.")


def _around_said(measures: Measures) -> str:
    """What around and across mean, where a piece is measured around."""
    around = any(d.sense == "around" for piece in measures.pieces for d in piece.dimensions)
    return said("Around: all the way round. Across: from side to side as the piece lies. ") if around else ""


def _joined(measures: Measures) -> list[str]:
    """Which edges are joined, by the letters they carry."""
    every = [
        said("{letter}: {one} to {other}", letter=chr(ord("a") + k % 26), one=_edges(j, True), other=_edges(j, False))
        for k, j in enumerate(measures.joined) if j.one != j.other
    ]
    return [said("Heavy edges are joined, a letter to the same letter. {edges}.", edges="; ".join(every))] if every else []


def _edges(joined: Joined, first: bool) -> str:
    """The edges of one side of a join: "Front armhole and Back armhole"."""
    of_one = joined.one.count(" and ") + 1
    names = joined.edges[:of_one] if first else joined.edges[of_one:]
    return said(" and ").join(f"{told(piece)} {dimension(edge)}" for piece, edge in names)


def _unseen(measures: Measures) -> list[str]:
    """Figures that are not drawn, each with the reason."""
    every = []
    for piece in measures.pieces:
        for figure in piece.figures:
            name = _caption(piece, figure)
            if _drawn_around(figure) and edged(piece.figures, figure) is not None:
                every.append(said("{name}: the edging is drawn dashed around the piece and measured apart.", name=name))
            elif figure.edging and isinstance(figure, Revolution):
                deep = float(sum(r.height_cm for r in rows_of(figure)))
                every.append(said("{name}: an edging, {cm} cm deep, not drawn.", name=name, cm=decimal(f"{deep:.1f}")))
            elif not _can_be_drawn(figure):
                why = getattr(figure, "why", "") or "its chains span more than they skip"
                every.append(said("{name}: not drawn; size not established, since {why}.", name=name, why=said(why)))
    return every if measures.pieces else [said("Nothing is drawn to scale: the pattern gives no gauge.")]


def _problem_lines(problems: Sequence[Problem]) -> list[str]:
    warnings = [(p, *warned(p)) for p in problems]
    return [f"▸ {message}" + (f"; {help}" if help and p.severity != "note" else "") for p, message, help in warnings]


def _foot_height(document: Document, sizes: Sizes, problems: Sequence[Problem], room: float) -> float:
    notes = [*_notes(document, sizes, "1:20"), *_problem_lines(problems)]
    _, y = _lines_of(notes, NOTE, room, 0.0, "note")
    return y + 8


def _foot(
    document: Document, sizes: Sizes, problems: Sequence[Problem], placed: _Sheet, room: float, y: float
) -> tuple[list[Group], float]:
    """Table of sizes where letters stand on the lines, then notes, cautions and missed promises."""
    groups: list[Group] = []
    if placed.letters is not None and placed.letters.given:
        made, y = table(placed.letters, sizes.names(), MARGIN, y, room)
        groups.append(made)
        y += 3
    notes, y = _lines_of(_notes(document, sizes, placed.scale), NOTE, room, y, "note")
    groups.append(Group(tuple(notes), id="notes"))
    if problems:
        listed, y = _lines_of(_problem_lines(problems), NOTE, room, y + 1.5, "caution")
        groups.append(Group(tuple(listed), id="cautions"))
    return groups, y
