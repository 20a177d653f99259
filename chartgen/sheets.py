"""The sheets of one pattern: which drawings there are, and what each is drawn from."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from chartgen.problems import Problem

if TYPE_CHECKING:
    from chartgen.draw.drawing import Drawing
    from chartgen.draw.portion import Portion
    from chartgen.fabric import Fabric
    from chartgen.layout.placed import Layout
    from chartgen.measure import Measures
    from chartgen.read import Document

OUTPUTS = ("chart", "key", "schematic")
SINGLE = {"+": "plus", "x": "cross"}
PARTIAL_VIEWS = ("repeat", "wedge", "strip")
_ROWS = re.compile(r"rows:([\w-]+/)?\d+-\d+|row:([\w-]+/)?\d+")
Progress = Callable[[str], object]


def is_view(words: str) -> bool:
    """Whether `words` name a view: whole, repeat, wedge, strip, rows:3-8, row:5, row:brim/5."""
    return words in ("whole", *PARTIAL_VIEWS) or bool(_ROWS.fullmatch(words))


@dataclass(frozen=True)
class Asked:
    """What is to be drawn, and how.

    Attributes:
        size: one size by name; None for every size.
        view: how much of a piece the chart shows.
        yarn_colours: signs in the colour of their yarn.
        as_worked: loops and posts of wrong-side rows as the hand works them.
        outlined: words as shapes, for programs without the font.
        page: "free" for one sheet as large as the chart; "a4", "letter" or, for both, "either" for pages.
        language: its code; "" for English in the pattern's own terms.
        readable: beside a whole chart larger than a page, a view that can be read on one.
        apart: width and height in mm of the largest whole chart; of one that would be larger each figure
            is on a sheet of its own, no larger than a page where it repeats.
    """

    size: str | None = None
    view: str = "whole"
    left_handed: bool = False
    mono: bool = False
    large: bool = False
    yarn_colours: bool = False
    as_worked: bool = False
    outlined: bool = False
    page: str = "free"
    readable: bool = False
    language: str = ""
    apart: tuple[float, float] | None = None


@dataclass(frozen=True)
class Sheets:
    """The drawings of one spec, each made when it is asked for."""

    stem: str
    document: Document
    fabrics: tuple[Fabric, ...]
    measures: tuple[Measures, ...]
    findings: tuple[Problem, ...]
    asked: Asked
    sizes: tuple[int, ...]
    progress: Progress

    def named(self, name: str) -> Iterator[tuple[str, Drawing]]:
        yield from {"chart": self._charts, "key": self._key, "schematic": self._schematic}[name]()

    def _charts(self) -> Iterator[tuple[str, Drawing]]:
        for index in self.sizes:
            yield from self._charts_of(index, ".".join(("chart", *self._size_slug(index))))

    def _charts_of(self, index: int, name: str) -> Iterator[tuple[str, Drawing]]:
        """The view asked for and, where that is more than a page, one that can be read."""
        from chartgen.draw.chart import LARGE, size_about
        from chartgen.draw.pages import fits_a_page
        from chartgen.draw.view import figures_apart, readable_views
        from chartgen.layout.lay_out import lay_out

        fabric = self.fabrics[index]
        self.progress(f"{self.stem}: chart {fabric.size or ''}".rstrip())
        layout = lay_out(fabric, self.asked.left_handed)
        if self.asked.apart is not None and not self._holds(size_about(self.document, fabric, layout)):
            for number, part in enumerate(figures_apart(fabric, layout, LARGE if self.asked.large else 1.0), start=1):
                yield from self._paged(f"{name}.{number}", self._chart(fabric, layout, part.view, part))
            return
        drawing = self._chart(fabric, layout, self.asked.view)
        yield from self._paged(".".join((name, *_view_slug(self.asked.view))), drawing)
        if self.asked.readable and self.asked.view == "whole" and not fits_a_page(drawing):
            for part in readable_views(fabric, layout):
                yield from self._paged(f"{name}.{part.view}", self._chart(fabric, layout, part.view, part))

    def _holds(self, size: tuple[float, float]) -> bool:
        """Is a whole chart of this size no larger than asked for?"""
        return self.asked.apart is None or all(side <= most for side, most in zip(size, self.asked.apart, strict=True))

    def _paged(self, name: str, drawing: Drawing) -> Iterator[tuple[str, Drawing]]:
        """One sheet, or an overview and pages of the size asked for."""
        from chartgen.draw.pages import PAPERS, on_pages

        if self.asked.page not in PAPERS:
            yield name, drawing
            return
        for ending, page in on_pages(drawing, PAPERS[self.asked.page], self.asked.large):
            yield ".".join((name, *ending)), page

    def _size_slug(self, index: int) -> tuple[str, ...]:
        """The size as part of a file name; numbered where two sizes would be spelled alike."""
        sizes = [fabric.size for fabric in self.fabrics if fabric.size is not None]
        return (size_slug(sizes, index),) if sizes else ()

    def _chart(self, fabric: Fabric, layout: Layout, view: str, shown: Portion | None = None) -> Drawing:
        from chartgen.draw.chart import ChartOptions, draw_chart

        asked, said = self.asked, self.document.chart
        options = ChartOptions(
            view=view, left_handed=asked.left_handed, mono=asked.mono, large=asked.large,
            single=SINGLE[said.sc], yarn_inks=asked.yarn_colours or said.inks == "by yarn",
            worked=self._as_worked,
        )
        return draw_chart(self.document, fabric, layout, options, _of_size(self.findings, fabric.size), shown)

    def _key(self) -> Iterator[tuple[str, Drawing]]:
        from chartgen.draw.chartkey import draw_chart_key

        yield "key", draw_chart_key(
            self.document, [self.fabrics[i] for i in self.sizes],
            cross=SINGLE[self.document.chart.sc] == "cross", worked=self._as_worked,
        )

    @property
    def _as_worked(self) -> bool:
        return self.asked.as_worked or self.document.chart.loops == "as worked"

    def _schematic(self) -> Iterator[tuple[str, Drawing]]:
        from chartgen.draw.schematic import draw_schematic

        self.progress(f"{self.stem}: schematic")
        shown = range(len(self.fabrics)) if self.asked.size is None else self.sizes
        told = self.findings
        if self.asked.size is not None:
            told = _of_size(told, self.fabrics[self.sizes[0]].size)
        fabrics, measures = [self.fabrics[i] for i in shown], [self.measures[i] for i in shown]
        yield "schematic", draw_schematic(self.document, fabrics, measures, 0, told)


def _of_size(problems: Iterable[Problem], size: str | None) -> tuple[Problem, ...]:
    """What concerns one size: what all share, and its own."""
    return tuple(p for p in problems if p.size is None or size in (p.size, *p.also))


def size_slug(sizes: Sequence[str], index: int) -> str:
    """A size as part of a file name; numbered where two sizes would be spelled alike."""
    slugs = [_slug(size) for size in sizes]
    return f"{slugs[index]}-{index + 1}" if slugs.count(slugs[index]) > 1 else slugs[index]


def _slug(name: str) -> str:
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-") or "size"


def _view_slug(view: str) -> tuple[str, ...]:
    """A view as part of a file name: `row:brim/5` is `row-brim-5`; nothing for the whole."""
    return () if view == "whole" else (re.sub(r"[:/]", "-", view),)
