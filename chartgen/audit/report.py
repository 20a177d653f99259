"""The numbers of one chart, each beside its aim, for the chart and for each of its parts."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import shapely

from chartgen.audit.ink import Chart, read_chart
from chartgen.audit.inks import inks
from chartgen.audit.lettering import LEAST_TYPE, lettering
from chartgen.audit.recount import against_report, recount
from chartgen.audit.regular import regular
from chartgen.audit.standing import standing
from chartgen.audit.touching import touching

_A_TENTH = 0.105            # of a stitch's 1.05 chain lengths: how near a foot is to its place
_WHOLE = "(chart)"


@dataclass(frozen=True)
class Measure:
    """One number of a chart and what it should be.

    Attributes:
        key: of the column and in JSON; title: said in full.
        entries: (value, who) of everything measured that counts, worst first.
        aim: the number it should not pass; None where nothing is promised.
        sort: `count` how many entries; `sum`, `most`, `least` of their values.
    """

    key: str
    title: str
    entries: tuple[tuple[float, str], ...]
    aim: float | None = None
    sort: str = "count"
    digits: int = 2

    def value(self, part: str = "") -> float | None:
        """The number for the chart, or for one part (`piece/part`); None where nothing is measured."""
        values = [v for v, who in self.entries if not part or who.split(" ")[0].rstrip(",") == part]
        if self.sort == "count":
            return float(len(values))
        if self.sort == "sum":
            return float(sum(values))
        return float((max if self.sort == "most" else min)(values)) if values else None

    def met(self, part: str = "") -> bool | None:
        """Whether the aim is met; None without an aim or anything to measure."""
        value = self.value(part)
        if self.aim is None or value is None:
            return None
        return value >= self.aim - 1e-6 if self.sort == "least" else value <= self.aim + 1e-6

    def said(self, part: str = "") -> str:
        """As it stands in the table; `*` where it falls short of its aim."""
        value = self.value(part)
        if value is None:
            return "-"
        mark = "*" if self.met(part) is False else ""
        return f"{value:.{0 if self.sort == 'count' else self.digits}f}{mark}"


@dataclass(frozen=True)
class Audit:
    """One chart judged.

    Attributes:
        parts: `piece/part`, with the number of stitches of each.
        compared: False where no check report was at hand, and for a view of some of the rows.
    """

    name: str
    stitches: int
    parts: dict[str, int]
    measures: tuple[Measure, ...]
    compared: bool = False

    @property
    def short(self) -> list[Measure]:
        """Measures that fall short of their aim."""
        return [m for m in self.measures if m.met() is False]

    def __getitem__(self, key: str) -> Measure:
        return next(m for m in self.measures if m.key == key)

    def as_json(self, worst: int = 5) -> dict[str, Any]:
        return {
            "chart": self.name, "stitches": self.stitches, "compared": self.compared,
            "short": [m.key for m in self.short],
            "measures": {m.key: self._json(m, worst) for m in self.measures},
        }

    def _json(self, m: Measure, worst: int) -> dict[str, Any]:
        return {
            "title": m.title, "value": m.value(), "aim": m.aim, "met": m.met(),
            "parts": {part: m.value(part) for part in self.parts},
            "worst": [{"value": value, "who": who} for value, who in m.entries[:worst]],
        }


def audit(file: Path | Chart, report: Mapping[str, Any] | None = None) -> Audit:
    """Judge one chart.

    Args:
        file: an SVG file, or a chart already read.
        report: what `check --json` says of its spec; looked for beside the file
            (`<stem>.check.json`) when it is not given.
    """
    chart = read_chart(file) if isinstance(file, Path) else file
    if report is None and isinstance(file, Path):
        report = _report_beside(file)
    parts: dict[str, int] = {}
    for stitch in chart.stitches:
        name = "/".join(stitch.part)
        parts[name] = parts.get(name, 0) + 1
    return Audit(chart.name, len(chart.stitches), parts, tuple(_measures(chart, report)), report is not None and chart.whole)


def _report_beside(file: Path) -> Mapping[str, Any] | None:
    path = file.with_name(file.name.split(".chart")[0] + ".check.json")
    return json.loads(path.read_text("utf-8")) if path.exists() else None


def _lines(lines: Iterable[str]) -> tuple[tuple[float, str], ...]:
    return tuple((1.0, line) for line in lines)


def _over(entries: Iterable[tuple[float, str]], least: float) -> tuple[tuple[float, str], ...]:
    return tuple((value, who) for value, who in entries if value > least)


def _measures(chart: Chart, report: Mapping[str, Any] | None) -> Iterator[Measure]:
    yield from _recounted(chart, report)
    yield from _touch(chart)
    yield from _stand(chart)
    yield from _regular(chart)
    yield from _page(chart)


def _recounted(chart: Chart, report: Mapping[str, Any] | None) -> Iterator[Measure]:
    counted = recount(chart)
    compared = report is not None and chart.whole
    wrong = against_report(counted, report, chart.attributes.get("data-size")) if compared else []
    yield Measure("misdrawn", "signs that are not what they say", _lines(counted.misdrawn), 0)
    yield Measure("recount", "rows whose signs differ from the report", _lines(wrong), 0)


def _touch(chart: Chart) -> Iterator[Measure]:
    found = touching(chart)
    gap = () if found.smallest_gap == float("inf") else ((found.smallest_gap, found.gap_between),)
    yield Measure("overlap", "pairs not joined whose ink laps", tuple(found.overlaps), 0)
    yield Measure("mm2", "area of that, mm2", tuple(found.overlaps), 0, "sum")
    yield Measure("fans", "pairs in one place that lap above the foot", tuple(found.fans), 0)
    yield Measure("deep", "joined pairs that lie on one another", tuple(found.deep), 0)
    yield Measure("cross", "stems that cross and should not", tuple(found.crossings), 0)
    yield Measure("gap", "smallest gap of inks not joined, mm; - where all are wider than a stroke", gap, chart.pen, "least")
    yield Measure("close", "pairs nearer than a stroke's width", tuple(found.crowded), 0)
    yield Measure("marks", "arrows, leaders and marks on stitches", tuple(found.marks), 0)


def _stand(chart: Chart) -> Iterator[Measure]:
    found = standing(chart)
    tenth = _A_TENTH * chart.chain_length
    yield Measure("feet", "feet more than a tenth of a stitch off their place", _over(found.feet, tenth), 0)
    yield Measure("foot", "the worst of them, mm off", tuple(found.feet), tenth, "most")
    yield Measure("lost", "feet whose place is not on the chart", _lines(found.lost), 0 if chart.whole else None)
    yield Measure("adrift", "ink away from where its element says it is", _over(found.adrift, 0.02), 0)
    yield Measure("stretch", "longest stem over the median of its kind", tuple(found.stretch), 1.3, "most")
    yield Measure("squeeze", "shortest stem over the median of its kind", tuple(found.stretch[::-1]), 0.7, "least")
    yield Measure("size", "smallest ch, sc or dc over the least that reads (2, 2, 4.1 mm)", tuple(found.sizes), 1.0, "least")
    yield Measure("small", "smallest sign of any kind, mm", (found.smallest,), None, "least")
    heights = ", ".join(f"{kind} {mm:.1f}" for kind, mm in found.heights.items())
    yield Measure("heights", "heights that do not rise with the kind", () if found.in_order else _lines([f"{_WHOLE} {heights}"]), 0)


def _regular(chart: Chart) -> Iterator[Measure]:
    found = regular(chart)
    yield Measure("even", "plain rows: variation of neighbour distances, %", tuple(found.evenness), 2, "most")
    yield Measure("uneven", "other rows: the same between like neighbours, %", tuple(found.unevenness), None, "most", 1)
    yield Measure("round", "plain rounds: off the circle, % of radius", tuple(found.roundness), 2, "most")
    yield Measure("straight", "plain rows: off the line, chain lengths", tuple(found.straightness), 0.05, "most")
    yield Measure("symm", "motifs: off k-fold, % of radius", tuple(found.symmetry), 0.5, "most")


def _page(chart: Chart) -> Iterator[Measure]:
    words, shades = lettering(chart), inks(chart)
    strokes = tuple(sorted((s.width, st.name) for st in chart.stitches for s in st.strokes if s.width))
    yield Measure("stroke", "thinnest stroke, mm", strokes[:1], 0.25, "least")
    yield Measure("labels", "words on stitches or on words", _lines(words.on_stitches + words.on_words), 0)
    yield Measure("type", "smallest lettering, mm", ((words.smallest, _WHOLE),), LEAST_TYPE, "least", 1)
    yield Measure("numbers", "rows without a number", _lines(words.unnumbered), 0)
    yield Measure("rows:1", "contrast of neighbouring rows, luminance ratio", tuple(shades.between), 3, "least", 1)
    yield Measure("paper:1", "contrast of rows on paper, luminance ratio", tuple(shades.on_paper), 4.5, "least", 1)
    yield Measure("cut", "symbols whose box cuts off some of their ink", _lines(chart.cut), 0)
    yield Measure("off", "lines and words that leave the page", _lines(_off_page(chart)) + _lines(words.off_page), 0)


def _off_page(chart: Chart) -> list[str]:
    x, y, width, height = chart.page
    page = shapely.box(x, y, x + width, y + height)
    named = [(stroke, s.name) for s in chart.stitches for stroke in s.strokes]
    named += [(stroke, f"{_WHOLE} a line beside the stitches") for stroke in (*chart.pale, *chart.rings, *chart.other)]
    off = []
    for stroke, name in named:
        low, high = stroke.points.min(axis=0) - stroke.width / 2, stroke.points.max(axis=0) + stroke.width / 2
        if not page.contains(shapely.box(*low, *high)):
            off.append(name)
    return off


def table(audits: Sequence[Audit], parts: bool = True, worst: int = 0) -> str:
    """The audits as a page of text: a line for each chart and part, aims above, misses marked `*`."""
    if not audits:
        return ""
    heads = [m.key for m in audits[0].measures]
    aims = [_aim(m) for m in audits[0].measures]
    rows = [["chart", "sts", *heads], ["aim", "", *aims]]
    for each in audits:
        rows.append(_row(each.name.removesuffix(".svg"), each.stitches, each.measures, lambda m: m.said()))
        if parts and len(each.parts) > 1:
            rows += [_row(f"  {p}", n, each.measures, lambda m, p=p: m.said(p)) for p, n in each.parts.items()]
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    lines = ["  ".join(cell.rjust(w) if k else cell.ljust(w) for k, (cell, w) in enumerate(zip(row, widths))) for row in rows]
    met = sum(not each.short for each in audits)
    lines += ["", f"{met} of {len(audits)} charts meet every aim; * falls short of it"]
    lines += [line for each in audits for line in (_offenders(each, worst) if worst else ())]
    return "\n".join(lines) + "\n"


def _row(name: str, stitches: int, measures: Sequence[Measure], said: Callable[[Measure], str]) -> list[str]:
    return [name, str(stitches), *(said(m) for m in measures)]


def _aim(measure: Measure) -> str:
    if measure.aim is None:
        return ""
    return f"{'>=' if measure.sort == 'least' else '<='}{measure.aim:.3g}"


def _offenders(each: Audit, worst: int) -> Iterator[str]:
    short = [m for m in each.short if m.key != "mm2"]
    if not short:
        return
    yield f"\n{each.name}"
    for measure in short:
        yield f"  {measure.key}: {measure.title}"
        for value, who in measure.entries[:worst]:
            yield f"    {value:8.3f}  {who}"


def legend(measures: Sequence[Measure]) -> str:
    """What each column means, a line each."""
    return "\n".join(f"{m.key:9} {m.title}{f' (aim {_aim(m)})' if m.aim is not None else ''}" for m in measures)
