"""What a sign is by its strokes: stems, cross-strokes, bars, ovals, hooks.

Nothing is taken from what the element says it is, save where its feet and head stand.
The forms are those of the published symbol conventions (JIS L 0201; Craft Yarn Council
chart symbols): an oval is a chain, a dot a slip stitch, a stem with a bar across its
middle a single crochet, a stem with a bar on top and n slanted strokes a half double
(0), double (1), treble (2), double treble (3) or triple treble (4).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import degrees, hypot

import numpy as np
import shapely

from chartgen.audit.ink import Stitch, Stroke
from chartgen.audit.paths import Floats
from chartgen.stitches import registry

_ALONG = 0.8            # cosine: a stem runs this near the way from foot to head
_LOW, _HIGH = 0.62, 0.5     # shares of that way within which a stem's ends lie,
_REACH, _OVER = 1.8, 2.4    # and mm: half a chain and its pens; above, an oval over many tops
_SLANTED = 12.0         # degrees off square from which a stroke is a cross-stroke
_AT_TOP = 0.45          # mm from a stem's upper end within which a bar lies on it,
_TOP_SHARE = 0.2        # and no more than this share of a short stem
_NEAR_FOOT = 0.7        # share of a leg, from its top, beyond which a sign belongs to the foot
_CURVED = 1.05          # length over chord from which a line is a curve
_DOT = 1.6              # times the pen: a stroke so broad and short is a slip stitch,
_BROAD = 0.4            # mm, if its pen is broader than any row's
_DOT_SIZE = 3.2         # mm: a solid mark no longer is one too
_GAP, _IN_LINE = 2.8, 0.999     # mm of a break in a stem, and cosine between its pieces
_SPREAD = 1.5           # mm between feet from which legs stand apart

# (head, cross-strokes, plain bars) of a sign with one stem: US abbreviation.
_SINGLE = {
    ("", 0, 1): "sc", ("bar", 0, 0): "hdc", ("bar", 1, 0): "dc", ("bar", 2, 0): "tr",
    ("bar", 3, 0): "dtr", ("bar", 4, 0): "trtr", ("", 0, 2): "esc", ("bar", 0, 1): "ehdc",
    ("bar", 1, 1): "edc", ("wave", 0, 1): "rsc", ("drop", 0, 1): "loopst", ("coil", 0, 0): "bullion",
}  # fmt: skip
_HEADS = ("", "bar", "wave", "drop", "coil")      # where there are two, the later tells more
_LEG = {0: "hdc", 1: "dc", 2: "tr", 3: "dtr", 4: "trtr"}
_POST = {"front post": "fp", "back post": "bp"}
_OWN_CHAIN = "chain"        # the foot of a foundation stitch


@dataclass(frozen=True)
class Sign:
    """What is drawn.

    Attributes:
        form: chain, slip, stems, or "" for strokes that make no sign.
        base: US abbreviation of one leg, "" where the strokes make none.
        legs: stems; closed: bar or oval over several, apart: on feet of their own.
        foot: front post, back post, front, back, third or "".
    """

    form: str
    base: str = ""
    legs: int = 0
    closed: str = ""
    apart: bool = False
    foot: str = ""

    @property
    def code(self) -> str:
        """A name for it: `dc`, `fpdc`, `dc3tog`; `dc5 bar`, `dc5 oval` for a closed group."""
        if self.form in ("chain", "slip"):
            return {"chain": "ch", "slip": "slst"}[self.form]
        if not self.base:
            return "?"
        if self.legs > 1:
            return f"{self.base}{self.legs}tog" if self.apart and self.closed == "bar" else f"{self.base}{self.legs} {self.closed}"
        return _POST.get(self.foot, "") + self.base

    @property
    def loop(self) -> str:
        return self.foot if self.foot in ("front", "back", "third") else ""


@dataclass(frozen=True)
class _Stem:
    """One stem: its ends, mm, and the unit vector up along it.

    Attributes:
        pieces: the strokes that make it: several where it is broken behind another stem.
    """

    low: Floats
    top: Floats
    pieces: tuple[Stroke, ...]

    @property
    def up(self) -> Floats:
        way = self.top - self.low
        return way / (hypot(*way) or 1.0)

    def across(self, point: Floats) -> tuple[float, float]:
        """mm below the stem's upper end, and to its right seen from the foot."""
        way = point - self.top
        x, y = self.up
        return -float(way[0] * x + way[1] * y), float(-way[0] * y + way[1] * x)

    @property
    def length(self) -> float:
        return hypot(*(self.top - self.low))


def stems_of(stitch: Stitch) -> list[_Stem]:
    """The strokes that run from a foot to the head."""
    if not len(stitch.feet):
        return []
    open_ = [stroke for stroke in stitch.strokes if not (stroke.closed or stroke.filled)]
    return [stem for pieces in _mended(open_) if (stem := _as_stem(pieces, stitch))]


def _mended(strokes: Sequence[Stroke]) -> list[tuple[Stroke, ...]]:
    """Strokes that follow each other on one straight line, as one broken line."""
    runs: list[tuple[Stroke, ...]] = []
    for stroke in strokes:
        if runs and _goes_on(runs[-1][-1], stroke):
            runs[-1] = (*runs[-1], stroke)
        else:
            runs.append((stroke,))
    return runs


def _goes_on(one: Stroke, other: Stroke) -> bool:
    """Whether a straight line is taken up again a little further on."""
    way, gap, on = _way(one), other.points[0] - one.points[-1], _way(other)
    length, wide, further = hypot(*way), hypot(*gap), hypot(*on)
    if not (0 < wide <= _GAP and length and further) or is_curved(one) or is_curved(other):
        return False
    return float(way @ gap) >= _IN_LINE * length * wide and float(way @ on) >= _IN_LINE * length * further


def _way(stroke: Stroke) -> Floats:
    return stroke.points[-1] - stroke.points[0]


def _as_stem(pieces: tuple[Stroke, ...], stitch: Stitch) -> _Stem | None:
    low, top = pieces[0].points[0], pieces[-1].points[-1]
    if hypot(*(low - stitch.head)) < hypot(*(top - stitch.head)):
        low, top = top, low
    foot = min(stitch.feet, key=lambda f: hypot(*(f - low)))
    way, own = stitch.head - foot, top - low
    reach, size = hypot(*way) or 1e-9, hypot(*own) or 1e-9
    straight = float(way @ own) / (reach * size) >= _ALONG
    room = _OVER if any(s.closed for s in stitch.strokes) else _REACH
    ends = hypot(*(low - foot)) <= min(_LOW * reach, _REACH) and hypot(*(top - stitch.head)) <= min(_HIGH * reach, room)
    return _Stem(low, top, pieces) if straight and ends and size >= 0.18 * reach else None


def sign_of(stitch: Stitch, left_handed: bool = False) -> Sign:
    """What the strokes of `stitch` are."""
    strokes = stitch.strokes
    if len(strokes) == 1 and _is_oval(strokes[0]):
        return Sign("chain")
    if len(strokes) == 1 and _is_dot(strokes[0]):
        return Sign("slip")
    stems = stems_of(stitch)
    if not stems:
        return Sign("stems", "sc", 1) if _is_cross(strokes) else Sign("")
    rest = [s for s in strokes if all(s is not piece for stem in stems for piece in stem.pieces)]
    return _several(stitch, stems, rest, left_handed) if len(stems) > 1 else _single(stems[0], rest, left_handed)


def _is_oval(stroke: Stroke) -> bool:
    """A closed line with paper inside it."""
    return stroke.closed and not stroke.filled and not _is_solid(stroke)


def _is_solid(stroke: Stroke) -> bool:
    """Does the pen leave no paper inside a closed line?"""
    return stroke.filled or bool(shapely.Polygon(stroke.points).buffer(-stroke.width / 2).is_empty)


def _is_dot(stroke: Stroke) -> bool:
    """One small solid mark: a filled or thickly drawn oval, or a stroke about as broad as long."""
    size = hypot(*np.ptp(stroke.points, axis=0))
    if stroke.closed:
        return _is_solid(stroke) and size <= _DOT_SIZE
    return size <= _DOT * stroke.width and stroke.width > _BROAD


def _is_cross(strokes: Sequence[Stroke]) -> bool:
    """Two lines of one length that cross in their middles."""
    if len(strokes) != 2 or any(s.closed for s in strokes):
        return False
    a, b = strokes
    middles = hypot(*(_middle(a) - _middle(b)))
    return middles < 0.15 * a.length and abs(a.length - b.length) < 0.2 * a.length and a.line.crosses(b.line)


def _chord(stroke: Stroke) -> float:
    return hypot(*(stroke.points[-1] - stroke.points[0]))


def _middle(stroke: Stroke) -> Floats:
    return (stroke.points[0] + stroke.points[-1]) / 2


def _single(stem: _Stem, rest: Sequence[Stroke], left_handed: bool) -> Sign:
    head, foot, slanted, plain = "", "", 0, 0
    for stroke in rest:
        what = _part(stem, stroke, left_handed)
        if what == "slanted":
            slanted += 1
        elif what == "plain":
            plain += 1
        elif what in _HEADS:
            head = max(head, what, key=_HEADS.index)
        else:
            foot = what
    base = _SINGLE.get((head, slanted, plain), "")
    return Sign("stems", base, 1, foot=foot)


def _part(stem: _Stem, stroke: Stroke, left_handed: bool) -> str:
    """What one stroke is on a stem: bar, wave, drop, coil, slanted, plain, a hook or a loop's arc."""
    below, _ = stem.across(_middle(stroke))
    curved = is_curved(stroke)
    if curved and below < 0.4 * stem.length:
        return _curve_at_top(stem, stroke)
    if curved or below > stem.length:
        return _foot_part(stem, stroke, left_handed)
    if _off_square(stem.up, stroke) >= _SLANTED:
        return "slanted"
    return "bar" if abs(below) <= min(_AT_TOP, _TOP_SHARE * stem.length) else "plain"


def _curve_at_top(stem: _Stem, stroke: Stroke) -> str:
    """A closed line is a drop; one that begins and ends on the stem is wound round it; else a wave."""
    if stroke.closed:
        return "drop"
    return "coil" if all(abs(stem.across(end)[1]) < stroke.width for end in (stroke.points[0], stroke.points[-1])) else "wave"


def _foot_part(stem: _Stem, stroke: Stroke, left_handed: bool) -> str:
    """A hook begins on the stem and goes to one side; an arc lies across it, or a line; a stitch's own chain is an oval."""
    if stroke.closed:
        return _OWN_CHAIN
    if not is_curved(stroke):
        return "third"
    sides = [stem.across(p)[1] for p in (stroke.points[0], stroke.points[-1])]
    if min(map(abs, sides)) < 0.25 * max(map(abs, sides)):
        right = (max(sides, key=abs) > 0) != left_handed
        return "front post" if right else "back post"
    ends = np.mean([stem.across(p)[0] for p in (stroke.points[0], stroke.points[-1])])
    middle = stem.across(stroke.points[len(stroke.points) // 2])[0]
    return "front" if middle > ends else "back"         # the middle lower: the arc opens up


def _off_square(up: Floats, stroke: Stroke) -> float:
    """Degrees between a stroke and the line square to `up`."""
    way = stroke.points[-1] - stroke.points[0]
    return degrees(np.arcsin(min(1.0, abs(float(way @ up)) / (hypot(*way) or 1.0))))


def _several(stitch: Stitch, stems: Sequence[_Stem], rest: Sequence[Stroke], left_handed: bool) -> Sign:
    ovals = [s for s in rest if s.closed]
    feet_signs = [s for s in rest if not s.closed and _at_foot(s, stems)]
    open_ = [s for s in rest if not s.closed and all(s is not f for f in feet_signs)]
    bar = None if ovals else _closing_bar(stitch, open_)
    strokes = [s for s in open_ if s is not bar]
    each, left = divmod(len(strokes), len(stems))
    base = "" if left or not (ovals or bar) else _LEG.get(each, "")
    top = np.mean([stem.top for stem in stems], axis=0)
    if base == "hdc" and bar is not None and hypot(*(_middle(bar) - top)) > _AT_TOP:
        base = "sc"                                     # its legs have no head of their own
    foot = ""
    if feet_signs:
        foot = _foot_of_several(stems, feet_signs, left_handed)
    return Sign("stems", base, len(stems), "oval" if ovals else "bar", _apart(stitch), foot)


def _foot_of_several(stems: Sequence[_Stem], feet_signs: Sequence[Stroke], left_handed: bool) -> str:
    """What the feet are: as told at the leg that leans least from the way the others go together."""
    way = np.sum([stem.up for stem in stems], axis=0)
    plainest = max(feet_signs, key=lambda sign: float(_nearest(stems, sign).up @ way))
    return _foot_part(_nearest(stems, plainest), plainest, left_handed)


def is_curved(stroke: Stroke) -> bool:
    """Whether a stroke is a curve: longer than the straight line between its ends."""
    return stroke.length > _CURVED * max(_chord(stroke), 1e-9)


def _nearest(stems: Sequence[_Stem], stroke: Stroke) -> _Stem:
    return min(stems, key=lambda stem: hypot(*(stem.low - _middle(stroke))))


def _at_foot(stroke: Stroke, stems: Sequence[_Stem]) -> bool:
    """An arc round the lower end of the stem it is nearest to, or a line beyond it."""
    stem = _nearest(stems, stroke)
    below = stem.across(_middle(stroke))[0]
    return below > stem.length * (_NEAR_FOOT if is_curved(stroke) else 1.0)


def _closing_bar(stitch: Stitch, strokes: Sequence[Stroke]) -> Stroke | None:
    """The line across the tops, square to the way from the feet to the head."""
    way = stitch.head - stitch.feet.mean(axis=0)
    up = way / (hypot(*way) or 1.0)
    square = [s for s in strokes if _off_square(up, s) < _SLANTED]
    return min(square, key=lambda s: hypot(*(_middle(s) - stitch.head)), default=None)


def _apart(stitch: Stitch) -> bool:
    spread = np.ptp(stitch.feet, axis=0) if len(stitch.feet) else np.zeros(2)
    return hypot(*spread) > _SPREAD


_SEEN = {"eye": "oval"}     # a ring over the legs is a closed line, as an oval is


@cache
def _kinds() -> dict[str, frozenset[tuple[str, int, str, str]]]:
    """For each code that the trade's families make: (base, legs, closed, post) it may be."""
    found: dict[str, set[tuple[str, int, str, str]]] = {}
    known = registry()
    for kind in known.simple.values():
        found.setdefault(kind.code, set()).add((kind.code, 1, "", ""))
    for name, rule in known.families.items():
        for base in rule["of"]:
            for legs in range(rule["legs"]["least"], rule["legs"]["most"] + 1):
                made = known.made(name, base, legs)
                post = _OWN_CHAIN if made.own_chain else f"{made.post} post" if made.post else ""
                closed = _SEEN.get(made.closed, made.closed)
                found.setdefault(made.code, set()).add((known.simple[base].code, legs, closed, post))
    return {code: frozenset(kinds) for code, kinds in found.items()}


def fits(sign: Sign, code: str) -> bool | None:
    """Whether `sign` can stand for stitches of `code`; None for a pattern's own word."""
    kinds = _kinds().get(code)
    if kinds is None:
        return None
    if sign.form in ("chain", "slip"):
        return sign.code == code
    post = sign.foot if sign.foot in (*_POST, _OWN_CHAIN) else ""
    return (sign.base, sign.legs, sign.closed, post) in kinds


def on_own_chain(code: str) -> bool:
    """Whether stitches of `code` stand on a chain of their own, in no place of a row before."""
    return any(foot == _OWN_CHAIN for *_, foot in _kinds().get(code, ()))


def usual(signs: Sequence[Sign]) -> Sign:
    """The sign most often drawn among several of one kind."""
    return Counter(signs).most_common(1)[0][0]
