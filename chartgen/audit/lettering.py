"""Words on the chart: do they lie on stitches, on each other, off the page; is every row numbered?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from chartgen.audit.ink import Chart
from chartgen.audit.texts import Words

_SHRINK = 0.15          # mm taken off a box all round: its corners are mostly paper
LEAST_TYPE = 2.5        # mm: lettering that reads at print size


@dataclass(frozen=True)
class Lettering:
    """Words that collide, and rows without a number.

    Attributes:
        on_stitches, on_words: one line for each collision.
        smallest: mm of the smallest type; off_page: words that leave the page.
        unnumbered: rows worked that no label numbers.
    """

    on_stitches: list[str]
    on_words: list[str]
    smallest: float
    off_page: list[str]
    unnumbered: list[str]


def lettering(chart: Chart) -> Lettering:
    """How the words of `chart` lie."""
    words = [w for w in chart.words if w.text]
    page = shapely.box(chart.page[0], chart.page[1], chart.page[0] + chart.page[2], chart.page[1] + chart.page[3])
    return Lettering(
        on_stitches=_on_stitches(chart, words),
        on_words=_on_words(words),
        smallest=min((w.size for w in words), default=0.0),
        off_page=[w.text for w in words if not page.buffer(_SHRINK).contains(w.box)],
        unnumbered=_unnumbered(chart),
    )


def _boxes(words: list[Words]) -> np.ndarray:
    return shapely.buffer(np.array([w.box for w in words]), -_SHRINK, join_style="mitre")


def _on_stitches(chart: Chart, words: list[Words]) -> list[str]:
    strokes = [(s, stroke) for s in chart.stitches for stroke in s.strokes]
    if not strokes or not words:
        return []
    lines = np.array([stroke.line for _, stroke in strokes])
    half = np.array([stroke.width / 2 for _, stroke in strokes])
    boxes = _boxes(words)
    w, s = shapely.STRtree(lines).query(boxes, predicate="dwithin", distance=half.max())
    laps = shapely.distance(boxes[w], lines[s]) < half[s]
    hit = {(int(a), strokes[b][0].name) for a, b in zip(w[laps], s[laps])}
    return sorted(f"{words[a].text!r} on {name}" for a, name in hit)


def _on_words(words: list[Words]) -> list[str]:
    if not words:
        return []
    boxes = _boxes(words)
    a, b = shapely.STRtree(boxes).query(boxes, predicate="intersects")
    return sorted(f"{words[i].text!r} on {words[j].text!r}" for i, j in zip(a, b) if i < j)


def _unnumbered(chart: Chart) -> list[str]:
    """Rows worked for which no text of a `row-label` says the number."""
    numbered = {
        (w.attributes.get("data-piece", ""), w.attributes.get("data-part", ""), w.attributes.get("data-row", ""))
        for w in chart.words if "row-label" in w.classes and w.text == w.attributes.get("data-row", "").split(".")[0]
    }
    return [f"{'/'.join(key[:2])} {key[2]}" for key in chart.rows if key[2] != "0" and key not in numbered]
