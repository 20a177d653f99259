"""Notes for an editor: gauges that promise more than they can hold, lengths before counts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from chartgen.fabric.fabric import Fabric
from chartgen.measure.gauge import plain
from chartgen.measure.ground import is_edging, places_of
from chartgen.problems import Problem
from chartgen.read.document import Document, Gauge
from chartgen.stitches import registry

_LEAST_SWATCH = Fraction(99, 10)    # cm; 4 in trade and 10 cm both pass
_FOUR_INCHES = Fraction(1016, 100)
_HOOK_SLACK = 1.0                   # mm beyond the class that pass unremarked (our choice)
_GAUGE_SLACK = Fraction(6, 5)       # a fifth beyond the class passes unremarked (our choice)
_BY_LENGTH = re.compile(r"(?:until|till)\b[^.;]*\bmeasures?\b", re.IGNORECASE)


@cache
def yarn_classes() -> dict[str, dict[str, Any]]:
    """Yarn classes by their number."""
    text = files("chartgen.measure").joinpath("yarn_classes.yaml").read_text("utf-8")
    classes: dict[str, dict[str, Any]] = yaml.safe_load(text)
    return classes


def gauge_doubts(document: Document) -> Iterator[Problem]:
    """Small swatches, and yarn, hook and gauge that do not belong together."""
    of_parts = (gauge for piece in document.pieces for part in piece.parts for gauge in part.gauge)
    for gauge in (*document.gauge, *of_parts):
        yield from _small_swatch(document, gauge)
    yield from _odd_company(document)


def _small_swatch(document: Document, gauge: Gauge) -> Iterator[Problem]:
    side = min(gauge.width_cm if gauge.stitches else gauge.height_cm,
               gauge.height_cm if gauge.rows else gauge.width_cm)
    if side >= _LEAST_SWATCH or registry().find(gauge.stitch.value, document.terms) is None:
        return
    times = float(10 / side)
    yield Problem(
        "M413", "note", f"the gauge of {gauge.stitch} is taken over {plain(side)} cm", gauge.stitch.span,
        help="count a swatch over 10 cm at least",
        notes=(f"a stitch miscounted over {plain(side)} cm is {times:.3g} stitches in 10 cm",),
    )


def _odd_company(document: Document) -> Iterator[Problem]:
    """The main yarn's class against hook and single crochet gauge; toys are worked tight on purpose."""
    main = document.yarn[0] if document.yarn else None
    if main is None or main.weight is None or "toy" in document.wearer:
        return
    known = yarn_classes()[str(main.weight)]
    said = f"yarn class {main.weight} ({known['name']})"
    low, high = known["hook"]
    for hook in dict.fromkeys(document.hook):
        mm = re.match(r"[\d.]+(?= ?mm)", hook)
        if mm and not low - _HOOK_SLACK <= float(mm[0]) <= high + _HOOK_SLACK:
            yield Problem("M414", "note", f"{said} usually goes with a hook of {low:g} to {high:g} mm, "
                          f"not {hook}", document.spans.get("hook"))
    for gauge in document.gauge:
        kind = registry().find(gauge.stitch.value, document.terms)
        if kind is None or kind.id != "single_crochet" or not gauge.stitches:
            continue
        count = gauge.stitches * _FOUR_INCHES / gauge.width_cm
        least, most = known["sc"]
        if not least / _GAUGE_SLACK <= count <= most * _GAUGE_SLACK:
            yield Problem("M414", "note", f"{said} usually gives {least} to {most} {gauge.stitch} over 4 in, "
                          f"not {float(count):.1f}", gauge.stitch.span)


def fixed_after_length(document: Document, fabric: Fabric) -> Iterator[Problem]:
    """Rows worked by length whose ends a later row takes by a fixed count."""
    by_length = {
        (p, q): words
        for p, piece in enumerate(document.pieces)
        for q, part in enumerate(piece.parts)
        for words in (" ".join(text for text, _ in part.words.lines),)
        if _BY_LENGTH.search(words)
    }
    if not by_length:
        return
    for row in fabric.rows:
        if row.form not in ("row", "round") or not is_edging(fabric, row):
            continue
        ends = [fabric.stitches[i] for p in places_of(fabric, row) if p.kind == "end" for i in p.stitches]
        of = next(((s.piece, s.part) for s in ends if (s.piece, s.part) in by_length), None)
        if of is not None and row.declared is not None:
            part = document.pieces[of[0]].parts[of[1]].name
            yield Problem(
                "M412", "warning", f"row {row.number} takes {row.declared} sts from the row ends of {part}, which "
                "is worked until it measures a length", row.words,
                help="say how many rows that is, or so many sts for every so many rows",
                notes=("the number of rows differs from hand to hand, so a fixed count does not fit everybody's",),
            )
