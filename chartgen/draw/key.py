"""The key: each sign with its names, for one chart or for every stitch the program knows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import MultiPolygon, Polygon

from chartgen.draw.drawing import Drawing, Group, Item, Label, Path, UseSymbol, line
from chartgen.draw.glyphs import Glyphs, Pose
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import text_width
from chartgen.draw.sheet import TITLE, symbols_of
from chartgen.draw.symbols import MM, parse_path, path_data, sign
from chartgen.stitches import StitchKind, registry
from chartgen.wording.drawn import named, said

TYPE = 2.8                  # mm
LINE = 4.0                  # mm from baseline to baseline
_SIGN = 11.0                # mm for the sign, before its names
SIGN_ROOM = _SIGN + 2.0     # mm from the left of an entry to its words
_SHORT = 1.6                # mm between abbreviation and name
_GAP, _DENSE = 2.2, 0.85    # mm between entries; in the key of every stitch, which fits A4
_MARGIN = 10.0
_BETWEEN = 4.0              # mm from column to column
_MOST_COLUMNS = 4
_LEG_STEP = 1.05            # chain lengths between the feet of legs closed together
_CORNERS = ((-2.0, -2.6), (2.0, -2.6), (2.0, 0.0), (-2.0, 0.0))
PATCH = MultiPolygon([Polygon(_CORNERS)])   # mm, the patch of a yarn
_PATCHES = 2.4              # mm to each side that two patches stand
LOOPS = {"front": "in front loop only", "back": "in back loop only", "third": "in third loop only"}

Words = tuple[str, str]     # set in bold, set plain


@dataclass(frozen=True)
class Entry:
    """A sign and the lines of words beside it. `marks` have their foot at (0, 0), in mm."""

    marks: tuple[Item, ...]
    words: tuple[Words, ...]
    above: float = 0.0      # mm of ink above the foot
    below: float = 0.0

    @property
    def height(self) -> float:
        """Without the paper between it and the next."""
        return max(self.above + self.below, LINE * len(self.words))


def stitch_entry(
    kind: StitchKind, loop: str, terms: Sequence[str], glyphs: Glyphs, note: str = ""
) -> Entry:
    """The entry of one kind of stitch, named in each of `terms`; `note` is said after."""
    pose, above, below = _pose(kind, loop)
    words = [_names(kind, one, loop, several=len(terms) > 1) for one in terms]
    if note:
        words.append(("", note))
    return Entry(glyphs.marks(kind, pose, loop), tuple(words), above, below)


def _names(kind: StitchKind, terms: str, loop: str, several: bool) -> Words:
    short, name = named(kind, terms)
    if loop:
        name += f" {said(LOOPS[loop])}"
    return short, f"{name} ({terms})" if several else name


def _pose(kind: StitchKind, loop: str) -> tuple[Pose, float, float]:
    if "mark" in sign(kind.symbol).parts:
        return Pose((0.0, -0.6)), 1.2, 0.0
    below = 0.25 * MM if kind.foot or loop else 0.0
    feet = ((0.0, 0.0),)
    if kind.bases == "apart":
        feet = tuple(((i - (kind.legs - 1) / 2) * _LEG_STEP * MM, 0.0) for i in range(kind.legs))
    return Pose((0.0, -kind.height * MM), feet), kind.height * MM, below


def in_order(kind: StitchKind) -> tuple[object, ...]:
    """Chains first, then by height, a plain stitch before what is worked as it is; several legs last, family by family."""
    made = registry().families[kind.family]["in_key"] if kind.family else 0
    several = kind.legs > 1
    return not kind.is_chain, made * several, kind.height, made, kind.legs, len(kind.name("US")), kind.id


def mark_entry(name: str, words: str) -> Entry:
    """A mark that is no stitch: start, direction, an adjustable ring."""
    points = [x * MM for s in sign(name).parts["mark"] for x, _ in s.points()]
    middle = (min(points) + max(points)) / 2
    return Entry((UseSymbol(f"{name}.mark", -middle, -1.2),), (("", words),), 2.4)


def swatch_entry(
    colour: str, key: str, name: str, pattern: tuple[Path, ...] = (), bare: bool = False
) -> Entry:
    """A yarn: a patch of its colour, outlined so that a pale one prints; beside it one of its areas.

    `colour`: "" for none. `pattern`: an area drawn on `PATCH`. `bare`: in mono a yarn without one has an empty patch.
    """
    plain = (Path(line(_CORNERS, closed=True), 0.25, TEXT, colour or "none"),) if colour or bare and not pattern else ()
    apart = _PATCHES if plain and pattern else 0.0
    marks = (*(shifted(mark, -apart, 0.0) for mark in plain), *(shifted(mark, apart, 0.0) for mark in pattern))
    return Entry(marks, ((key, name),), 2.6)


def note_entry(words: str) -> Entry:
    """A line of words without a sign."""
    return Entry((), (("", words),))


def set_entries(
    entries: Sequence[Entry], left: float, top: float, columns: int, column: float, gap: float = _GAP
) -> tuple[list[Item], float]:
    """Entries in columns read downwards, `gap` mm apart; what is drawn, and the height used."""
    items: list[Item] = []
    lowest = top
    for number, part in enumerate(_columns(entries, columns, gap)):
        y = top
        for entry in part:
            items.append(_set(entry, left + number * column, y, entry.height + gap))
            y += entry.height + gap
        lowest = max(lowest, y)
    return items, lowest - top


def set_under(entries: Sequence[Entry], left: float, top: float, width: float) -> tuple[list[Item], float, float]:
    """Entries under a chart `width` mm wide: signs in columns, notes together beside or below them, whichever is
    lower; what is drawn, and the width and height used."""
    signs, notes = [e for e in entries if e.marks], [e for e in entries if not e.marks]
    sign, note = widest(signs) + _BETWEEN, widest(notes) + _BETWEEN
    beside = [n for n in range(1, _MOST_COLUMNS) if n * sign + note <= width]
    ways = [_notes_beside(signs, notes, left, top, n, sign, note) for n in beside if signs and notes]
    across = [max(1, min(_MOST_COLUMNS, int(width // column))) for column in (sign, note)]
    ways.append(_notes_below(signs, notes, left, top, across, (sign, note)))
    return min(ways, key=lambda way: way[2])


def _notes_beside(
    signs: Sequence[Entry], notes: Sequence[Entry], left: float, top: float, columns: int, sign: float, note: float
) -> tuple[list[Item], float, float]:
    drawn, deep = set_entries(signs, left, top, columns, sign)
    said_, as_deep = set_entries(notes, left + columns * sign, top, 1, note)
    return drawn + said_, columns * sign + note, max(deep, as_deep)


def _notes_below(
    signs: Sequence[Entry], notes: Sequence[Entry], left: float, top: float, across: Sequence[int], each: Sequence[float]
) -> tuple[list[Item], float, float]:
    drawn, deep = set_entries(signs, left, top, across[0], each[0])
    said_, more = set_entries(notes, left, top + deep, across[1], each[1])
    return drawn + said_, max(n * column for n, column in zip(across, each)), deep + more


def _columns(entries: Sequence[Entry], columns: int, gap: float) -> list[list[Entry]]:
    """Entries shared out in order, so that the columns are about equally high."""
    share = sum(entry.height + gap for entry in entries) / max(1, columns)
    parts: list[list[Entry]] = [[]]
    used = 0.0
    for entry in entries:
        if parts[-1] and used + (entry.height + gap) / 2 > share * len(parts) and len(parts) < columns:
            parts.append([])
        parts[-1].append(entry)
        used += entry.height + gap
    return parts


def _set(entry: Entry, x: float, y: float, height: float) -> Group:
    middle = y + height / 2
    foot = middle + (entry.above - entry.below) / 2
    marks = tuple(shifted(mark, x + _SIGN / 2, foot) for mark in entry.marks)
    left = x + SIGN_ROOM if entry.marks else x
    first = middle - LINE * (len(entry.words) - 1) / 2 + 0.36 * TYPE
    words = [
        label for i, pair in enumerate(entry.words) for label in _line(pair, left, first + i * LINE)
    ]
    return Group((*marks, *words), classes="key-entry", ink=TEXT)


def _line(words: Words, x: float, y: float) -> Iterator[Label]:
    bold, plain = words
    if bold:
        yield Label(bold, x, y, TYPE, ink=TEXT, weight="bold")
        x += text_width(bold, TYPE, True) + _SHORT
    if plain:
        yield Label(plain, x, y, TYPE, ink=TEXT)


def shifted(item: Item, dx: float, dy: float) -> Item:
    """A mark moved on the paper."""
    if isinstance(item, Path):
        steps = tuple((c, tuple((x + dx, y + dy) for x, y in pts)) for c, pts in parse_path(item.d))
        return replace(item, d=path_data(steps))
    assert isinstance(item, (UseSymbol, Label)), "a key entry holds marks only"
    return replace(item, x=item.x + dx, y=item.y + dy)


def widest(entries: Sequence[Entry]) -> float:
    """Width in mm that a column of these entries needs."""
    return max(
        (
            (SIGN_ROOM if entry.marks else 0.0)
            + text_width(bold, TYPE, True) + (_SHORT if bold else 0) + text_width(plain, TYPE)
            for entry in entries for bold, plain in entry.words
        ),
        default=0.0,
    )


def key_sheet(entries: Sequence[Entry], title: str, under: str = "") -> Drawing:
    """`entries` on a sheet of their own, `under` below the title."""
    columns = 1 if len(entries) < 14 else 2 if len(entries) < 36 else 3
    column = widest(entries) + 6
    top = _MARGIN + (14 if under else 10)
    items, height = set_entries(entries, _MARGIN, top, columns, column, _GAP if columns < 3 else _DENSE)
    heading = [Label(title, _MARGIN, _MARGIN + 4, TITLE, weight="bold", ink=TEXT, classes="title")]
    if under:
        heading.append(Label(under, _MARGIN, _MARGIN + 9.5, 3.2, ink=TEXT, classes="subtitle"))
    body = (Group(tuple(heading), id="layer.title"), Group(tuple(items), id="layer.key"))
    words = [text_width(h.text, h.size, bool(h.weight)) for h in heading]
    width = 2 * _MARGIN + max(columns * column, *words)
    names = "; ".join(" ".join(w for w in e.words[0] if w) for e in entries)
    return Drawing(
        width, top + height + _MARGIN, title, said("The signs drawn, with their names: {names}.", names=names),
        body, symbols_of(body), (("data-view", "key"),),
    )
