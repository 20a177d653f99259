"""The chart of one size: every stitch where the layout puts it, and what helps to read it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from chartgen.draw.attributes import Names, slug
from chartgen.draw.chartkey import chart_entries
from chartgen.draw.colourwork import YarnLook, yarn_areas
from chartgen.draw.drawing import PEN, Drawing, Group, Item, Label, Path
from chartgen.draw.figurenames import FigureNames
from chartgen.draw.figures import ROW_MARGIN, Figure, Placed, around, arrange, figures, with_room
from chartgen.draw.glyphs import Glyphs
from chartgen.draw.inks import BLACK, DASHES, PALE, PAPER, TEXT, darkened
from chartgen.draw.inkspots import ink_spots, spots_with_blots
from chartgen.draw.key import Entry, set_entries, set_under, widest
from chartgen.draw.labels import Ink, text_width
from chartgen.draw.lane import with_lanes
from chartgen.draw.marks import Marks
from chartgen.draw.joinednames import JoinedNames
from chartgen.draw.partnames import PartNames
from chartgen.draw.pointers import note_above
from chartgen.draw.portion import ROUND_FORMS, WHOLE, Portion
from chartgen.draw.rowlabel import SIDE
from chartgen.draw.rownumbers import RowNumbers
from chartgen.draw.rows import RowArt, on_paper, pale_copies
from chartgen.draw.rowwords import row_words, rows_in_words
from chartgen.draw.sheet import for_makers, heading, sizes_marked, small_print, symbols_of
from chartgen.draw.starts import Starts
from chartgen.draw.symbols import MM, ellipse, path_data
from chartgen.draw.transfer import enlarged
from chartgen.draw.view import lacking, portion
from chartgen.draw.viewmarks import BRACKET_ROOM, view_marks
from chartgen.fabric.fabric import Fabric, Row
from chartgen.fabric.fabric import Stitch as Worked
from chartgen.layout.placed import Layout, Run
from chartgen.problems import Problem
from chartgen.read.colours import colour_names
from chartgen.read.document import Document
from chartgen.wording.drawn import said, terms_said, told

LARGE = 3.12            # times life size of a large print: type of 22 points and more (2.5 mm x 3.12 = 7.8 mm), rows of 6-14 mm
_MARGIN = 10.0          # mm round the sheet
_HEADING = 10.0          # mm above a figure for the name of its piece and parts
_PIECE = 3.5            # mm, type of that name
_KEY_GAP = 6.0
_USUAL_KEY = (60.0, 35.0)   # mm that a key takes beside figures, or under them
_YARN_BESIDE = 7.0      # mm, a yarn's patch and letter beside a number
_BESIDE = 170.0         # mm: a chart narrower than this has its key beside it
_BLOCKS = ((190.0, 215.0), (277.0, 130.0))
"""Width and height of figures, mm, that leave room for a key on A4 upright or on its side."""
_WIDE = 400.0           # mm: as wide as figures stand side by side where no page holds them
_VIEW_WORDS = {"repeat": "repeat of the chart", "wedge": "sector of the chart", "strip": "strip of the chart"}
_FLAT = {
    "cups": "drawn flat: the fabric cups",
    "ruffles": "drawn flat: the fabric ruffles",
}


@dataclass(frozen=True)
class ChartOptions:
    """How a chart is to be drawn.

    Attributes:
        view: how much of the piece is shown: whole, repeat, wedge, strip, rows:3-8, row:5.
        single: "plus" or "cross", the sign of a single crochet.
        yarn_inks: signs in the colour of their yarn, darkened until they read.
        worked: loops and posts of wrong-side rows as the hand works them, not as seen.
        large: for large print; signs, lines and words grow alike.
    """

    view: str = WHOLE
    left_handed: bool = False
    mono: bool = False
    single: str = "plus"
    paper: str = PAPER
    yarn_inks: bool = False
    worked: bool = False
    large: bool = False


def draw_chart(
    document: Document,
    fabric: Fabric,
    layout: Layout,
    options: ChartOptions = ChartOptions(),
    problems: Sequence[Problem] = (),
    shown: Portion | None = None,
) -> Drawing:
    """The chart of `fabric` on one sheet. Of `problems`, what makers need is printed small at its foot.

    `shown`: what the view shows, where it is known already.

    Raises portion.NoSuchRows for a view of rows that are not there.
    """
    shown = shown or portion(fabric, layout, options.view)
    if shown.view not in _VIEW_WORDS:
        shown = replace(shown, layout=with_lanes(shown.fabric, shown.layout))
    drawing = _Chart(document, fabric, shown, options, tuple(problems)).drawing()
    return enlarged(drawing, LARGE) if options.large else drawing


def size_about(document: Document, fabric: Fabric, layout: Layout) -> tuple[float, float]:
    """About how wide and high the whole chart would be drawn, in mm: its figures, with room for a usual key."""
    shown = portion(fabric, with_lanes(fabric, layout), WHOLE)
    _, width, height = _Chart(document, fabric, shown, ChartOptions(), ()).arranged(_MARGIN)
    beside, below = (_USUAL_KEY[0], 0.0) if width < _BESIDE else (0.0, _USUAL_KEY[1])
    return width + beside + 2 * _MARGIN, height + below + 3 * _MARGIN


@dataclass(frozen=True)
class _Chart:
    document: Document
    whole: Fabric
    portion: Portion
    options: ChartOptions
    problems: tuple[Problem, ...]

    @property
    def fabric(self) -> Fabric:
        """The fabric as far as it is shown."""
        return self.portion.fabric

    @property
    def layout(self) -> Layout:
        return self.portion.layout

    def drawing(self) -> Drawing:
        title, title_height, title_width = self._title()
        top = _MARGIN + title_height
        placed, width, height = self.arranged(top)
        placed = [Placed(p.figure, p.left + _MARGIN, p.top) for p in placed]
        art = self._art(placed)
        rows = self._pieces(art)
        aids = tuple(self._aids(art, placed, rows))
        areas = tuple(self._colour_areas(art, rows))
        pale = tuple(self._pale(art, placed))
        told_of = (*rows, *aids, *areas, *(pale if self.portion.strong is None else ()))
        entries = chart_entries(
            self.document, self.fabric, art.glyphs, told_of, self.options.worked, self._look, self.options.mono,
            self.whole if self.portion.view in _VIEW_WORDS else None,
        )
        key, width, height = self._key(entries, width, height, top)
        width = max(width, title_width, 90.0)
        print_, small = small_print((*filter(for_makers, self.problems), *self._view_note()), _MARGIN, top + height, width,
                                    sizes_marked(self.document, self.fabric.size))
        items = tuple(
            item for item in (title, *areas, *pale, *rows, *aids, key, print_)
            if not isinstance(item, Group) or item.children
        )
        return Drawing(
            width + 2 * _MARGIN, top + height + small + _MARGIN,
            self._name(), self._description(), items, symbols_of(items),
            self._root(), self.options.paper, tuple(_frame(p) for p in placed),
        )

    def arranged(self, top: float) -> tuple[list[Placed], float, float]:
        """Figures in lines as wide as a page, upright or on its side, where that holds them all; else in the lines that
        come nearest to one."""
        ways = []
        for room, highest in (*_BLOCKS, (_WIDE, 0.0)):
            placed, width, height = arrange(self.figures, top, _HEADING, room, self._words_width)
            if width <= room and height <= highest:
                return placed, width, height
            ways.insert(0, (placed, width, height))
        return min(ways, key=lambda way: min(max(way[1] / wide, way[2] / high) for wide, high in _BLOCKS))

    @cached_property
    def figures(self) -> list[Figure]:
        """Every figure of which something is shown, with room for its brackets."""
        bracketed = {bracket.run for bracket in self.portion.brackets}
        found = figures(self.fabric, self.layout)
        if self.portion.view != WHOLE:
            found = [f for f in found if self._shows(f)]
        found = [with_room(f, BRACKET_ROOM, BRACKET_ROOM) if bracketed & set(f.runs) else f for f in found]
        found = [with_room(f, self._words_beside(f)) for f in found]
        return [around(f, [e.points for e in self.portion.edges if e.run in f.runs]) for f in found]

    def _words_beside(self, figure: Figure) -> float:
        """Room in mm for the yarns and the names of parts beside the numbers of a tube's rounds."""
        runs = [self.layout.runs[run] for run in figure.runs]
        if not all(run.form == "strip" for run in runs) or figure.margin[0] >= ROW_MARGIN[0]:
            return 0.0
        parts = {self.fabric.rows[row].part for run in runs for row in run.rows if self.fabric.rows[row].stitches}
        names = [told(self.fabric.pieces[figure.piece].parts[part].name) for part in sorted(parts)]
        name = max(text_width(words, SIDE) for words in names) + 1.0 if len(names) > 1 else 0.0
        return name + (_YARN_BESIDE if len(self._yarns()) > 1 else 0.0)

    def _shows(self, figure: Figure) -> bool:
        return any(
            self.fabric.rows[row].stitches for run in figure.runs for row in self.layout.runs[run].rows
        )

    def _title(self) -> tuple[Group, float, float]:
        extra = [said("left-handed")] if self.options.left_handed else []
        extra += [said(_VIEW_WORDS[self.portion.view])] if self.portion.view in _VIEW_WORDS else []
        return heading(self.document, self.fabric.size, extra, _MARGIN, _MARGIN)

    def _name(self) -> str:
        title, size = told(self.document.title), self.fabric.size
        return said("{title}: stitch chart", title=title) + (said(", size {size}", size=told(size)) if size is not None else "")

    def _description(self) -> str:
        """Stitch totals of every row: the chart for those who cannot see it."""
        every = []
        for piece in self.fabric.pieces:
            for part in piece.parts:
                rows = rows_in_words(self.fabric, [self.fabric.rows[r] for r in part.rows], self.document.terms)
                every.append(f"{told(piece.name)}, {told(part.name)}. {'. '.join(rows)}.")
        version = said("version {version}", version=self.document.version)
        return f"{terms_said(self.document.terms)}, {version}. " + " ".join(every)

    def _root(self) -> tuple[tuple[str, str], ...]:
        size = (("data-size", self.fabric.size),) if self.fabric.size is not None else ()
        return (*size, ("data-view", self.portion.view))

    def _view_note(self) -> Iterator[Problem]:
        if self.options.view != self.portion.view:
            yield Problem("E604", "note", lacking(self.options.view))

    def _art(self, placed: Sequence[Placed]) -> RowArt:
        glyphs = Glyphs(cross=self.options.single == "cross", flip=self.options.left_handed)
        paper = on_paper(self.whole, self.layout, placed)
        inks = {key: darkened(colour, self.options.paper) for key, colour in self._yarns().items()}
        use = inks if self.options.yarn_inks and not self.options.mono else None
        return RowArt(
            self.fabric, paper, Names(self.fabric), glyphs, self.options.mono, use,
            self.portion.strong, self.options.worked,
        )

    def _yarns(self) -> dict[str, str]:
        """Hex colour of each yarn that has one."""
        names = colour_names()
        return {
            yarn.key: names.get(yarn.colour.lower(), yarn.colour)
            for yarn in self.document.yarn if yarn.colour
        }

    def _pieces(self, art: RowArt) -> tuple[Group, ...]:
        return tuple(
            Group(
                tuple(self._part(art, piece, part) for part in range(len(info.parts))),
                id=slug(info.name), classes="piece", title=told(info.name),
            )
            for piece, info in enumerate(self.fabric.pieces)
        )

    def _part(self, art: RowArt, piece: int, part: int) -> Group:
        info = self.fabric.pieces[piece].parts[part]
        rows = [self.fabric.rows[r] for r in info.rows]
        groups = [art.group(row, row_words(self.fabric, row, self.document.terms)) for row in rows]
        name, parts = art.names.slugs[piece]
        return Group(tuple(groups), id=f"{name}-{parts[part]}", classes="part", title=told(info.name))

    def _pale(self, art: RowArt, placed: Sequence[Placed]) -> Iterator[Group]:
        marks = pale_copies(art, self.layout, placed)
        if marks:
            ink, dash = (BLACK, DASHES) if self.options.mono else (PALE, "")
            yield Group(marks, classes="pale", ink=ink, width=0.25, dash=dash, title=said("the edge the work stands on"))

    @cached_property
    def _look(self) -> YarnLook | None:
        """How areas of yarns are drawn, where there are two yarns or more."""
        yarns, options = self._yarns(), self.options
        return YarnLook(yarns, options.paper, options.mono, not options.yarn_inks) if len(yarns) > 1 else None

    def _colour_areas(self, art: RowArt, rows: Sequence[Item]) -> Iterator[Group]:
        """A light wash with outline and pattern under stitches in another yarn than the palest, where rows change yarn.

        In mono outline and pattern alone.
        """
        if look := self._look:
            ink = spots_with_blots(rows)
            areas = (
                path for yarn, area in yarn_areas(self.fabric, art.paper, look.ground) if yarn in look.colours
                for path in look.area(yarn, area, ink)
            )
            yield Group(tuple(areas), id="layer.yarn-areas")

    def _aids(self, art: RowArt, placed: Sequence[Placed], rows: Sequence[Item]) -> Iterator[Item]:
        rings = tuple(self._rings(placed))
        yield Group(rings, id="layer.rings", ink=TEXT)
        view = tuple(view_marks(self.portion, placed))
        yield Group(view, id="layer.view")
        ink = Ink(ink_spots((*rows, *rings, *view, *self._pale(art, placed))))
        yarns = self._yarns()
        starts = Starts(art, self.layout, placed, self.whole.rows)
        marks, numbers = Marks(starts, ink), RowNumbers(starts, ink, yarns if len(yarns) > 1 else {})
        yield Group(tuple(self._headings(placed)), id="layer.headings")
        directions = tuple(self._directions(marks, placed))
        labels = tuple(numbers.labels())
        yield Group(labels, id="layer.row-labels")
        yield Group((*PartNames(starts, ink).labels(labels), *JoinedNames(starts, ink).labels()), id="layer.part-names")
        yield Group(
            (*directions, *self._starts(marks), *marks.turn_marks(), *self._ends(marks)), id="layer.marks", ink=TEXT,
        )

    def _starts(self, marks: Marks) -> Iterator[Item]:
        """The start of each piece, and where yarn is joined for a part begun anew."""
        for info in self.fabric.pieces:
            for number, part in enumerate(info.parts):
                firsts = [
                    self.fabric.stitches[self.whole.rows[r].stitches[0]]
                    for r in part.rows if self.whole.rows[r].stitches
                ]
                if not firsts or (number and not part.begins_anew) or not self._is_shown(firsts[0]):
                    continue
                yield marks.join_mark(firsts[0]) if number else marks.start_mark(firsts[:2])

    def _is_shown(self, stitch: Worked) -> bool:
        return stitch.index in self.fabric.rows[stitch.row].stitches

    def _ends(self, marks: Marks) -> Iterator[Item]:
        for row in self.whole.rows:
            if row.cut and row.stitches and self._is_shown(self.fabric.stitches[row.stitches[-1]]):
                yield marks.end_mark(self.fabric.stitches[row.stitches[-1]])

    def _directions(self, marks: Marks, placed: Sequence[Placed]) -> Iterator[Item]:
        for figure in placed:
            run = self.layout.runs[figure.figure.runs[0]]
            first = self._first_round(run.rows)
            if run.form in ROUND_FORMS and first:
                yield marks.direction(first)

    def _first_round(self, rows: Sequence[int]) -> Row | None:
        rounds = (self.fabric.rows[r] for r in rows)
        return next((row for row in rounds if row.form == "round" and row.stitches), None)

    def _rings(self, placed: Sequence[Placed]) -> Iterator[Path]:
        """The circle of an adjustable ring, just inside the feet worked into it, where any of them is drawn."""
        for figure in placed:
            run = self.layout.runs[figure.figure.runs[0]]
            ring = next((r for r in run.rows if self.whole.rows[r].form == "ring"), None)
            if ring is None or self.whole.rows[ring].stitches or run.form == "straight":
                continue
            if away := self._feet_from_ring(run):
                x, y = figure.paper_centre(self.layout)
                yield _circle(x, y, max(0.3, min(away) - 0.2) * MM)

    def _feet_from_ring(self, run: Run) -> list[float]:
        """How far from the middle stand the stitches that are worked into the ring and drawn, pale ones too; chain lengths."""
        drawn = {i for row in run.rows for i in self.fabric.rows[row].stitches} | {i for i, *_ in run.pale}
        return [
            float(((self.layout.feet[i][0] - run.centre) ** 2).sum() ** 0.5) for i in sorted(drawn)
            if self.fabric.stitches[i].feet and self.fabric.stitches[i].feet[0].kind == "ring" and len(self.layout.feet[i])
        ]

    def _headings(self, placed: Sequence[Placed]) -> Iterator[Label]:
        for figure in placed:
            name, note = self._names.of(figure.figure), self._figure_note(figure.figure)
            yield Label(name, figure.left, figure.top - _HEADING + _PIECE, _PIECE, ink=TEXT, weight="bold", classes="heading")
            if note:
                yield note_above(figure, note)

    @cached_property
    def _names(self) -> FigureNames:
        return FigureNames(self.document, self.fabric, self.layout, self.figures)

    def _words_width(self, figure: Figure) -> float:
        name, note = self._names.of(figure), self._figure_note(figure)
        return max(text_width(name, _PIECE, True), text_width(note, SIDE)) + 3

    def _figure_note(self, figure: Figure) -> str:
        """What is shown of it, and how it lies."""
        runs = [self.layout.runs[r] for r in figure.runs]
        notes = [said("continue in rounds")] if any(self._is_tube(run) for run in runs) else []
        notes += [words for run, words in self.portion.notes if run in figure.runs]
        notes += [said(_FLAT[flat]) for flat in sorted({run.drawn_flat for run in runs if run.drawn_flat})]
        return "; ".join(notes)

    def _is_tube(self, run: Run) -> bool:
        """A strip of rounds, rather than of rows worked on a part of what was left."""
        return run.form == "strip" and any(self.fabric.rows[row].form == "round" for row in run.rows)

    def _key(
        self, entries: Sequence[Entry], width: float, height: float, top: float
    ) -> tuple[Group, float, float]:
        """The key beside a narrow chart, below a wide one; the size of both together."""
        beside = width < _BESIDE
        left = _MARGIN + (width + _KEY_GAP if beside else 0)
        down = top if beside else top + height + _KEY_GAP
        name = Label(said("Key"), left, down + _PIECE, _PIECE, ink=TEXT, weight="bold", classes="heading")
        column, first = widest(entries) + 4, down + _HEADING - 3
        if beside:
            items, used = set_entries(entries, left, first, 1, column)
        else:
            items, column, used = set_under(entries, left, first, width)
        used += _HEADING - 3
        group = Group((name, *items), id="layer.key")
        if beside:
            return group, width + _KEY_GAP + column, max(height, used)
        return group, max(width, column), height + _KEY_GAP + used


def _frame(placed: Placed) -> tuple[float, float, float, float]:
    left, top = placed.left, placed.top
    return left, top - _HEADING, left + placed.figure.width, top + placed.figure.height


def _circle(x: float, y: float, radius: float) -> Path:
    return Path(path_data(ellipse(x, y, radius, radius)), PEN, classes="ring")
