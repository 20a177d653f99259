"""The key of one chart: the signs drawn in it and no others, in the pattern's own terms."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby

from chartgen.draw.attributes import as_seen, as_worked, is_turned_over
from chartgen.draw.colourwork import AREA, YarnLook
from chartgen.draw.crossed import BEHIND
from chartgen.draw.drawing import Drawing, Item, Path, walk
from chartgen.draw.drawing import Stitch as Drawn
from chartgen.draw.glyphs import Glyphs
from chartgen.draw.key import (
    PATCH,
    Entry,
    in_order,
    key_sheet,
    mark_entry,
    note_entry,
    stitch_entry,
    swatch_entry,
)
from chartgen.fabric.fabric import Fabric, Row, Stitch
from chartgen.read.document import Document
from chartgen.stitches import StitchKind
from chartgen.wording.drawn import named, said, terms_said, told

AS_SEEN = "* on these WS rows work loops and posts the other way about"
AS_WORKED = "* on these WS rows loops and posts are drawn as worked; the right side shows the other"
_CROSSED = "line broken: the stitch lies behind the one that crosses it"
_LONG = "long stem: down into an earlier row, where its foot stands"
_STOOD_ON = ("pale: the edge the work stands on", "broken lines: the edge the work stands on")     # in mono nothing is pale
_COUNTED = {        # by: fewer than all of them, more than one of them
    (False, False): "{n} {ch} at the start of a {form}: counts as 1 {stitch}",
    (False, True): "{n} {ch} at the start of a {form}: stand for 1 {stitch}",
    (True, False): "{n} {ch} at the start of a {form}: counts as 1 {stitch}",
    (True, True): "{n} {ch} at the start of a {form}: the first {first} stand for 1 {stitch}",
}
MARK_WORDS = {
    "start-mark": ("start", "start here"),
    "direction": ("direction", "direction of work"),
    "turn": ("turn", "turn the work"),
    "fasten-off": ("fasten_off", "fasten off"),
    "join-yarn": ("join_yarn", "join yarn"),
    "ring": ("magic_ring", "adjustable ring"),
}


def chart_entries(
    document: Document, fabric: Fabric, glyphs: Glyphs, drawn: Sequence[Item], worked: bool = False,
    look: YarnLook | None = None, mono: bool = False, told_of: Fabric | None = None,
) -> list[Entry]:
    """Entries for the stitches, marks and yarns of a chart, and how to read its feet.

    `worked`: signs show what the hand works. `look`: how areas of yarns are drawn. `mono`: yarns by letter and
    pattern alone. `fabric`: its rows hold what is drawn; `told_of`: those that the drawing stands for, where it
    leaves out what repeats.
    """
    terms = (document.terms,)
    entries = [
        stitch_entry(kind, loop, terms, glyphs) for kind, loop in kinds_seen(fabric, worked)
    ]
    classes = {getattr(item, "classes", "") for item in walk(tuple(drawn))}
    entries += [mark_entry(sign, said(words)) for name, (sign, words) in MARK_WORDS.items() if name in classes]
    entries += list(_yarns(document, fabric, _outlined(drawn), look, mono, told_of or fabric))
    entries += [note_entry(words) for words in _notes(document, fabric, worked)]
    entries += [note_entry(said(_STOOD_ON[mono]))] * ("pale" in classes)
    return entries + [note_entry(said(_CROSSED))] * _has_crossed(drawn)


def _outlined(drawn: Sequence[Item]) -> list[str]:
    """The yarns whose areas are outlined."""
    areas = (item for item in walk(tuple(drawn)) if isinstance(item, Path) and item.classes == AREA)
    return sorted({dict(area.attributes)["data-colour"] for area in areas})


def _has_crossed(drawn: Sequence[Item]) -> bool:
    stitches = (item for item in walk(tuple(drawn)) if isinstance(item, Drawn))
    return any(mark.classes == BEHIND for stitch in stitches for mark in stitch.marks)


def kinds_seen(fabric: Fabric, worked: bool = False) -> list[tuple[StitchKind, str]]:
    """Each sign drawn, once, lowest stitch first; as seen from the right side unless as worked."""
    seen = {}
    sign_of = as_worked if worked else as_seen
    for stitch in _drawn(fabric):
        kind, loop = sign_of(stitch)
        seen[kind.id, kind.own, loop] = (kind, loop)
    return [value for _, value in sorted(seen.items(), key=lambda pair: (in_order(pair[1][0]), pair[0]))]


def _drawn(fabric: Fabric) -> list[Stitch]:
    return [fabric.stitches[i] for row in fabric.rows for i in row.stitches]


def _yarns(
    document: Document, fabric: Fabric, outlined: Sequence[str], look: YarnLook | None, mono: bool, told_of: Fabric
) -> Iterator[Entry]:
    """Each yarn's colour and, where areas of yarns are drawn, the pattern of its own."""
    used = {stitch.colour for stitch in _drawn(fabric)}
    yarns = [yarn for yarn in document.yarn if yarn.key in used]
    for yarn in yarns if len(yarns) > 1 else ():
        rows = _rows_in(told_of, yarn.key)
        words = said("{yarn}: {rows}", yarn=told(yarn.name), rows=rows) if rows else told(yarn.name)
        pattern = tuple(look.area(yarn.key, PATCH)) if look and yarn.key in outlined else ()
        yield swatch_entry("" if mono else yarn.colour or "#ffffff", yarn.key, words, pattern, bool(outlined))


def _rows_in(fabric: Fabric, yarn: str) -> str:
    """`rounds 1-2, 6`, where a row's number is enough to find it."""
    return _numbered(fabric, {row.index for row in fabric.rows if any(fabric.stitches[i].colour == yarn for i in row.stitches)})


def _numbered(fabric: Fabric, chosen: set[int]) -> str:
    """`rounds 1-2, 6`, the numbers of these rows; nothing where a number is not enough to find a row."""
    rows = [row for row in fabric.rows if row.form in ("round", "row") and row.stitches]
    if len({row.number for row in rows}) < len(rows):
        return ""
    runs = [[row.number for row in run] for used, run in groupby(rows, key=lambda row: row.index in chosen) if used]
    words = ", ".join(run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
    form = "rounds {list}" if all(row.form == "round" for row in rows) else "rows {list}"
    return said(form, list=words) if words else ""


def _notes(document: Document, fabric: Fabric, worked: bool = False, numbered: bool = True) -> Iterator[str]:
    yield from _beginning_chains(document, fabric, numbered)
    places = {place.kind for stitch in _drawn(fabric) for place in stitch.feet}
    if "space" in places:
        yield said("foot joined: in the stitch; foot open: in the space")
    if any(stitch.rows_down > 1 for stitch in _drawn(fabric)):
        yield said(_LONG)
    yield said("the chart shows the right side")
    if any(is_turned_over(stitch) for stitch in _drawn(fabric)):
        yield said(AS_WORKED if worked else AS_SEEN)


def _beginning_chains(document: Document, fabric: Fabric, numbered: bool) -> Iterator[str]:
    """What the chains at the start of a row stand for, each way it happens said once; where as many stand for
    something else in another row, with the rows it is so in."""
    found: dict[tuple[int, str], list[Row]] = {}
    for row in fabric.rows:
        chains = [s for s in (fabric.stitches[i] for i in row.stitches) if s.role == "begin" and s.kind.is_chain]
        if chains:
            found.setdefault((len(chains), _meaning(document, chains)), []).append(row)
    alike = Counter(chains for chains, _ in found)
    for (chains, meaning), rows in found.items():
        where = _numbered(fabric, {row.index for row in rows}) if numbered and alike[chains] > 1 else ""
        where = f"{said(rows[0].form)} {rows[0].number}" if where and len(rows) == 1 else where
        forms = said(" or ").join(said(form) for form in sorted({row.form for row in rows}, reverse=True))
        yield meaning.format(forms) + (f" ({where})" if where else "")


def _meaning(document: Document, chains: Sequence[Stitch]) -> str:
    """`8 ch at the start of a {}: the first 3 stand for 1 dc`; the form of row is filled in later."""
    fields: dict[str, object] = {"n": len(chains), "form": "{}", "ch": named(chains[0].kind, document.terms)[0]}
    for count, stitch in enumerate(chains, 1):
        if stitch.stands_as or stitch.counts_in is not None:
            stands = named(stitch.stands_as, document.terms)[0] if stitch.stands_as else said("st")
            return said(_COUNTED[count < len(chains), count > 1], **fields, first=count, stitch=stands)
    return said("{n} {ch} at the start of a {form}: not counted", **fields)


def draw_chart_key(
    document: Document, fabrics: Sequence[Fabric], cross: bool = False, worked: bool = False
) -> Drawing:
    """The key of a whole pattern on a sheet of its own: every sign any of its sizes uses."""
    glyphs = Glyphs(cross=cross)
    seen = {}
    for fabric in fabrics:
        for kind, loop in kinds_seen(fabric, worked):
            seen.setdefault((kind.id, kind.own, loop), (kind, loop))
    entries = [stitch_entry(kind, loop, (document.terms,), glyphs) for kind, loop in seen.values()]
    notes: dict[str, None] = {}
    for fabric in fabrics:
        notes |= dict.fromkeys(_notes(document, fabric, worked, len(fabrics) == 1))
    entries += [note_entry(words) for words in notes]
    facts = (said("key"), said("version {version}", version=document.version), terms_said(document.terms))
    return key_sheet(entries, told(document.title), " · ".join(facts))
