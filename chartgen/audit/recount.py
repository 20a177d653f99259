"""Every row counted again from its signs, and held against what the chart and the report say.

A sign counts as what its strokes are. Where strokes allow several names (a closed group
may be a cluster, a bobble or a pattern's own word) it counts under the name it is given,
provided its strokes can be that.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from chartgen.audit.ink import DEFAULT_CHAIN, Chart, Stitch
from chartgen.audit.places import places_named
from chartgen.audit.signs import Sign, fits, sign_of, usual

Key = tuple[str, str, str]
_UNCOUNTED = ("foundation", "join")
_LOOPS = ("front", "back", "third")
_LARGER = 0.7               # usual size over drawn size from which a chart is large print


@dataclass(frozen=True)
class RowCount:
    """One row from its signs: stitches by US abbreviation, and what a careful reader counts."""

    counts: Counter[str] = field(default_factory=Counter)
    stitches: int = 0


@dataclass(frozen=True)
class Recount:
    """A chart counted again.

    Attributes:
        rows: for each (piece, part, row), its count.
        misdrawn: one line for each sign that is not what its element says.
    """

    rows: dict[Key, RowCount]
    misdrawn: tuple[str, ...]


def recount(chart: Chart) -> Recount:
    """Count every row of `chart` from its signs."""
    signs = [sign_of(stitch, chart.left_handed) for stitch in _at_usual_size(chart)]
    own = _own_words(chart, signs)
    names = [_name(stitch, sign, own) for stitch, sign in zip(chart.stitches, signs)]
    rows: dict[Key, RowCount] = {}
    for key, stitches in chart.rows.items():
        counts = Counter(names[s.index] for s in stitches if s.role not in _UNCOUNTED)
        total = sum(_counted(s, names[s.index]) for s in stitches)
        rows[key] = RowCount(counts, total + _standing(chart, key))
    wrong = (_misdrawn(s, signs[s.index], names[s.index]) for s in chart.stitches)
    return Recount(rows, tuple(line for line in wrong if line) + tuple(_missing_numbers(chart)))


def _at_usual_size(chart: Chart) -> Iterable[Stitch]:
    """The stitches as large as in usual print, where the whole chart is a larger one."""
    scale = DEFAULT_CHAIN / chart.chain_length
    return chart.stitches if scale > _LARGER else (_scaled(stitch, scale) for stitch in chart.stitches)


def _scaled(stitch: Stitch, scale: float) -> Stitch:
    strokes = tuple(replace(s, points=s.points * scale, width=s.width * scale) for s in stitch.strokes)
    return replace(stitch, head=stitch.head * scale, feet=stitch.feet * scale, strokes=strokes)


def _own_words(chart: Chart, signs: Sequence[Sign]) -> dict[str, str]:
    """For each word of the pattern's own, the code of the sign it is usually drawn with."""
    drawn: dict[str, list[Sign]] = {}
    for stitch, sign in zip(chart.stitches, signs):
        if fits(sign, _shown(stitch)) is None:
            drawn.setdefault(stitch.kind, []).append(sign)
    return {word: usual(found).code for word, found in drawn.items()}


def _shown(stitch: Stitch) -> str:
    shown = stitch.attributes.get("data-shown", "")
    return stitch.kind if not shown or shown in _LOOPS else shown


def _name(stitch: Stitch, sign: Sign, own: Mapping[str, str]) -> str:
    """What the sign counts as: the kind it is said to be if its strokes can be that."""
    if stitch.kind in own:
        return stitch.kind if sign.code == own[stitch.kind] and sign.base else sign.code
    return stitch.kind if fits(sign, _shown(stitch)) else sign.code


def _counted(stitch: Stitch, name: str) -> bool:
    """Does it add one to its row's stitches by itself?"""
    if name == "ch" or stitch.role in (*_UNCOUNTED, "travel"):
        return False
    return not (name == "slst" and _closes_own_chain(stitch))


def _closes_own_chain(stitch: Stitch) -> bool:
    """A slip stitch into its own row closes a picot; it is no stitch of the edge."""
    return any(
        place.form != "lost" and place.row == stitch.row and place.part == stitch.part
        for place in places_named(stitch)
    )


def _standing(chart: Chart, key: Key) -> int:
    """Chains that stand for a stitch of this row."""
    return sum(
        1 for s in chart.stitches
        if s.attributes.get("data-counts-in") == key[2] and s.part == key[:2]
    )


def _misdrawn(stitch: Stitch, sign: Sign, name: str) -> str:
    if name != stitch.kind:
        return f"{stitch.name}: drawn as {sign.code}"
    shown = stitch.attributes.get("data-shown", "")
    loop = shown if shown in _LOOPS else stitch.attributes.get("data-loop", "")
    has_stem = sign.form == "stems" and bool(sign.legs) and not sign.foot.endswith("post")
    if has_stem and len(stitch.strokes) > 2 and loop != sign.loop:
        return f"{stitch.name}: drawn {sign.loop or 'in both loops'}, worked {loop or 'in both loops'}"
    return ""


def _missing_numbers(chart: Chart) -> Iterator[str]:
    """Rows whose order of working has a hole or a number twice."""
    if not chart.whole:
        return
    for key, stitches in chart.rows.items():
        worked = [s.n for s in stitches]
        if worked != list(range(1, len(worked) + 1)):
            missing = sorted(set(range(1, max(worked) + 1)) - set(worked))
            twice = sorted(n for n, times in Counter(worked).items() if times > 1)
            yield f"{'/'.join(key[:2])} {key[2]}: numbers missing {missing}, twice {twice}"


def slug(name: str) -> str:
    """A name as it stands in attributes: lower case, words joined by hyphens."""
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-")


def against_report(recounted: Recount, report: Mapping[str, Any], size: str | None) -> list[str]:
    """Every row where the signs and the check report differ, one line each.

    Args:
        report: the object that `check --json` prints for the spec.
        size: the chart's `data-size`; None in a pattern without sizes.
    """
    entry = next((e for e in report["sizes"] if e["size"] == size), None)
    if entry is None:
        return [f"the report has no size {size!r}"]
    lines, reported = [], set()
    for row in entry["rows"]:
        key = (slug(row["piece"]), slug(row["part"]), row["row"])
        reported.add(key)
        lines += _differences(key, recounted.rows.get(key, RowCount()), row)
    stray = [k for k, c in recounted.rows.items() if k not in reported and sum(c.counts.values())]
    return lines + [f"{'/'.join(k[:2])} {k[2]}: not in the report" for k in stray]


def _differences(key: Key, counted: RowCount, row: Mapping[str, Any]) -> Iterator[str]:
    where = f"{'/'.join(key[:2])} {key[2]}"
    for kind in sorted(set(counted.counts) | set(row["counts"])):
        drawn, said = counted.counts.get(kind, 0), row["counts"].get(kind, 0)
        if drawn != said:
            yield f"{where}: {drawn} {kind} drawn, {said} in the report"
    if counted.stitches != row["stitches"]:
        yield f"{where}: {counted.stitches} stitches drawn, {row['stitches']} in the report"
