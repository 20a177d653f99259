"""The sheets of one pattern: which drawings there are, and what each is drawn from."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from chartgen.problems import Problem

if TYPE_CHECKING:
    from chartgen.draw.drawing import Drawing
    from chartgen.fabric import Fabric
    from chartgen.measure import Measures
    from chartgen.read import Document

OUTPUTS = ("chart", "key", "schematic")
Progress = Callable[[str], object]


@dataclass(frozen=True)
class Asked:
    """What is to be drawn, and how.

    Attributes:
        size: one size by name; None for every size.
        view: how much of a piece the chart shows.
    """

    size: str | None = None
    view: str = "whole"
    left_handed: bool = False
    mono: bool = False


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
            yield ".".join(("chart", *self._size_slug(index))), self._chart(index)

    def _size_slug(self, index: int) -> tuple[str, ...]:
        """The size as part of a file name; numbered where two sizes would be spelled alike."""
        slugs = [_slug(fabric.size) for fabric in self.fabrics if fabric.size is not None]
        if not slugs:
            return ()
        alike = slugs.count(slugs[index]) > 1
        return (f"{slugs[index]}-{index + 1}" if alike else slugs[index],)

    def _chart(self, index: int) -> Drawing:
        from chartgen.draw.chart import ChartOptions, draw_chart
        from chartgen.layout.lay_out import lay_out

        fabric = self.fabrics[index]
        self.progress(f"{self.stem}: chart {fabric.size or ''}".rstrip())
        layout = lay_out(fabric, self.asked.left_handed)
        options = ChartOptions(
            view=self.asked.view, left_handed=self.asked.left_handed, mono=self.asked.mono
        )
        told = _of_size(self.findings, fabric.size)
        return draw_chart(self.document, fabric, layout, options, told)

    def _key(self) -> Iterator[tuple[str, Drawing]]:
        from chartgen.draw.chartkey import draw_chart_key

        yield "key", draw_chart_key(self.document, [self.fabrics[i] for i in self.sizes])

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


def _slug(name: str) -> str:
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-") or "size"
