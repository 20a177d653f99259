"""The key of every stitch the program knows."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.draw.chartkey import MARK_WORDS
from chartgen.draw.drawing import Drawing
from chartgen.draw.glyphs import Glyphs
from chartgen.draw.key import LOOPS, in_order, key_sheet, mark_entry, stitch_entry
from chartgen.draw.keygroups import group_entries
from chartgen.stitches import StitchKind, registry
from chartgen.wording.drawn import said

_SHOWN_LEGS = {"together": (2, 3), "cluster": (3,), "bobble": (5,), "puff": (3,), "popcorn": (5,), "star": (3,)}


def all_kinds() -> list[StitchKind]:
    """Every simple kind, then each family on each base stitch."""
    known = registry()
    simple = sorted(known.simple.values(), key=in_order)
    made = [
        known.made(family, base, legs)
        for family, rule in sorted(known.families.items(), key=lambda one: one[1]["in_key"])
        for base in sorted(rule.get("in_key_of", rule["of"]), key=lambda base: known.simple[base].height)
        for legs in _legs_shown(family, rule["legs"])
    ]
    return simple + made


def _legs_shown(family: str, legs: dict[str, int]) -> tuple[int, ...]:
    return _SHOWN_LEGS.get(family, (legs.get("usual", legs["least"]),))


def draw_key(
    kinds: Sequence[StitchKind] | None = None,
    terms: str | Sequence[str] = ("US", "UK"),
    title: str = "Stitch signs",
    cross: bool = False,
) -> Drawing:
    """A key on a sheet of its own: `kinds`, or every kind known, named in `terms`."""
    terms = (terms,) if isinstance(terms, str) else tuple(terms)
    shown = all_kinds() if kinds is None else list(kinds)
    glyphs = Glyphs(cross=cross)
    entries = [stitch_entry(kind, "", terms, glyphs) for kind in shown]
    if kinds is None:
        entries += [stitch_entry(registry().simple["single_crochet"], loop, terms, glyphs) for loop in LOOPS]
        if not cross:
            sc = registry().simple["single_crochet"]
            entries.append(stitch_entry(sc, "", terms, Glyphs(cross=True), "where a spec says chart: {sc: x}"))
        entries += [*group_entries(terms, glyphs)]
        entries += [mark_entry(name, said(words)) for name, words in MARK_WORDS.values()]
    return key_sheet(entries, title)
