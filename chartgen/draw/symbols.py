"""The files of `symbols/`, read into parts that can be set on a stitch of any length.

A file draws one sign in stitch units (1 = one chain length), y down, with named parts:
`head` and `strokes` keep their distance from the head, `low` and `foot` from the foot,
`middle` stays halfway, `stem` is redrawn between them; a sign that never stretches is
one part, `mark`. Only plain shapes are read; anything that could run, load or restyle
is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path as FilePath

from chartgen.data import folder
from chartgen.draw.drawing import Path, Point, Symbol, number
from chartgen.problems import Problem, near

MM = 2.8            # one chain length on paper: ovals of 2 mm and more, upright at the start of rows too
PARTS = ("mark", "head", "strokes", "middle", "low", "foot", "stem")
_SVG = "{http://www.w3.org/2000/svg}"
_LARGEST = 64_000   # bytes in a symbol file
_ROOM = 0.3         # mm round a symbol's lines, for the widest pen
_ROUND = 0.5523     # control length of a quarter circle drawn as a Bézier curve
_ALLOWED: dict[str, frozenset[str]] = {
    "svg": frozenset({
        "viewBox", "width", "height", "data-head", "data-foot", "data-neck", "data-ankle",
        "fill", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin",
    }),
    "title": frozenset(),
    "g": frozenset({"id"}),
    "path": frozenset({"d", "stroke-width", "fill"}),
    "ellipse": frozenset({"cx", "cy", "rx", "ry", "stroke-width", "fill"}),
    "circle": frozenset({"cx", "cy", "r", "stroke-width", "fill"}),
}
Command = tuple[str, tuple[Point, ...]]


class SymbolFault(Exception):
    """A sign cannot be drawn; `problem` says why, for the person who keeps the files."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line of a sign, in stitch units. `width` is None where the row's pen is used."""

    commands: tuple[Command, ...]
    width: float | None = None
    filled: bool = False

    def points(self) -> list[Point]:
        return [point for _, points in self.commands for point in points]


@dataclass(frozen=True)
class Sign:
    """A sign and its named points, in stitch units, the head at the origin where it has one.

    Attributes:
        neck: y of the stem's upper end below the head.
        ankle: y of the stem's lower end, measured from the foot (negative is up).
    """

    name: str
    title: str
    parts: dict[str, tuple[Stroke, ...]]
    height: float = 0.0
    neck: float = 0.0
    ankle: float = 0.0


def _refuse(name: str, what: str) -> SymbolFault:
    return SymbolFault(Problem(
        "E601", "error", f"the symbol file {name} {what}",
        help="draw it with path, ellipse and circle in named groups, and nothing else",
    ))


def _numbers(text: str, name: str) -> list[float]:
    try:
        return [float(word) for word in text.replace(",", " ").split()]
    except ValueError:
        raise _refuse(name, f"has {text!r} where numbers are wanted") from None


_WANTED = {"M": 1, "L": 1, "Q": 2, "C": 3, "Z": 0}


def parse_path(data: str, name: str = "drawing") -> tuple[Command, ...]:
    """Path data in absolute M, L, Q, C, Z, one letter for each step. SymbolFault otherwise."""
    spaced = "".join(f" {c} " if c.isalpha() else c for c in data.replace(",", " "))
    words = spaced.split()
    commands: list[Command] = []
    while words:
        letter = words.pop(0)
        if letter not in _WANTED:
            raise _refuse(name, f"has the path step {letter!r}; only M, L, Q, C and Z are read")
        take = 2 * _WANTED[letter]
        flat = _numbers(" ".join(words[:take]), name)
        if len(flat) != take:
            raise _refuse(name, f"has a path step {letter} with too few numbers")
        del words[:take]
        commands.append((letter, tuple(zip(flat[::2], flat[1::2]))))
    return tuple(commands)


def ellipse(cx: float, cy: float, rx: float, ry: float) -> tuple[Command, ...]:
    """An ellipse as four Bézier curves."""
    ax, ay = rx * _ROUND, ry * _ROUND
    return (
        ("M", ((cx + rx, cy),)),
        ("C", ((cx + rx, cy + ay), (cx + ax, cy + ry), (cx, cy + ry))),
        ("C", ((cx - ax, cy + ry), (cx - rx, cy + ay), (cx - rx, cy))),
        ("C", ((cx - rx, cy - ay), (cx - ax, cy - ry), (cx, cy - ry))),
        ("C", ((cx + ax, cy - ry), (cx + rx, cy - ay), (cx + rx, cy))),
        ("Z", ()),
    )


def _stroke(element, name: str) -> Stroke:  # noqa: ANN001 - an lxml element
    get = element.attrib.get
    tag = element.tag.removeprefix(_SVG)
    if tag == "path":
        commands = parse_path(get("d", ""), name)
    elif tag == "circle":
        cx, cy, r = (float(get(key, "0")) for key in ("cx", "cy", "r"))
        commands = ellipse(cx, cy, r, r)
    else:
        commands = ellipse(*(float(get(key, "0")) for key in ("cx", "cy", "rx", "ry")))
    width = get("stroke-width")
    return Stroke(commands, float(width) if width else None, get("fill", "none") != "none")


def _check(root, name: str) -> None:  # noqa: ANN001
    for element in root.iter():
        if not isinstance(element.tag, str):
            if element.__class__.__name__ == "_Comment":
                continue
            raise _refuse(name, "holds a processing instruction or an entity")
        tag = element.tag.removeprefix(_SVG)
        if not element.tag.startswith(_SVG) or tag not in _ALLOWED:
            raise _refuse(name, f"holds the element {element.tag.rpartition('}')[2]!r}")
        for key, value in element.attrib.items():
            if key not in _ALLOWED[tag]:
                raise _refuse(name, f"holds the attribute {key.rpartition('}')[2]!r} on {tag}")
            if "url(" in value or ":" in value:
                raise _refuse(name, f"points outside itself in {key}")


def parse_sign(text: bytes, name: str) -> Sign:
    """The sign drawn in an SVG file. SymbolFault (E601) for anything but plain shapes."""
    from lxml import etree

    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False)
    if len(text) > _LARGEST:
        raise _refuse(name, f"is larger than {_LARGEST} bytes")
    try:
        root = etree.fromstring(text, parser)
    except etree.XMLSyntaxError as fault:
        raise _refuse(name, f"is not well-formed XML ({fault.msg})") from None
    if root.getroottree().docinfo.doctype:
        raise _refuse(name, "has a document type, which could pull in other files")
    _check(root, name)
    return _sign(root, name)


def _sign(root, name: str) -> Sign:  # noqa: ANN001
    def named(key: str) -> float:
        return _numbers(root.get(key, "0 0"), name)[1]

    height = named("data-foot") - named("data-head")
    shift = {"low": height, "foot": height, "middle": height / 2}
    parts = {
        group.get("id", ""): tuple(
            _moved(_stroke(element, name), -shift.get(group.get("id", ""), 0.0))
            for element in group.iterchildren(tag=(_SVG + "path", _SVG + "circle", _SVG + "ellipse"))
        )
        for group in root.iterchildren(tag=_SVG + "g")
    }
    if unknown := sorted(set(parts) - set(PARTS)):
        raise _refuse(name, f"has a group {unknown[0]!r}; known groups are {', '.join(PARTS)}")
    title = root.findtext(_SVG + "title") or name.replace("_", " ")
    return Sign(name, title, parts, height, named("data-neck"), named("data-ankle"))


def _moved(stroke: Stroke, dy: float) -> Stroke:
    commands = tuple((c, tuple((x, y + dy) for x, y in points)) for c, points in stroke.commands)
    return Stroke(commands, stroke.width, stroke.filled)


@cache
def sign(name: str) -> Sign:
    """The sign in `symbols/<name>.svg`. SymbolFault E602 where there is no such file."""
    place = folder("symbols")
    path = place / f"{name}.svg"
    if not path.is_file():
        known = [p.stem for p in sorted(place.glob("*.svg"))]
        hint = ", ".join(near(name, known))
        raise SymbolFault(Problem(
            "E602", "error", f"there is no symbol called {name!r} in {place.name}/",
            help=f"did you mean {hint}" if hint else "",
        ))
    return parse_sign(FilePath(path).read_bytes(), path.name)


def path_data(commands: tuple[Command, ...], scale: float = 1.0) -> str:
    """`commands` as path data, scaled."""
    return " ".join(
        letter + " ".join(f"{number(x * scale)} {number(y * scale)}" for x, y in points)
        for letter, points in commands
    )


_WITH_HEAD = ("head", "strokes")     # keep one distance from the head: one symbol


def part_strokes(name: str, part: str) -> tuple[Stroke, ...]:
    """The lines of one part of a sign; `head` brings its cross-strokes with it."""
    parts = sign(name).parts
    if part == "head":
        return tuple(s for key in _WITH_HEAD for s in parts.get(key, ()))
    return parts.get(part, ())


def _shortened(stroke: Stroke, share: float) -> Stroke:
    commands = tuple((c, tuple((x * share, y) for x, y in points)) for c, points in stroke.commands)
    return Stroke(commands, stroke.width, stroke.filled)


@cache
def symbol(key: str) -> Symbol:
    """The `Symbol` for `name.part`, in mm, as it is defined once in a drawing.

    `chain.mark@75` is the same sign at 75% of its length, drawn with the same pen.
    """
    name, _, rest = key.partition(".")
    part, _, percent = rest.partition("@")
    strokes = tuple(_shortened(s, float(percent or 100) / 100) for s in part_strokes(name, part))
    points = [(x * MM, y * MM) for stroke in strokes for x, y in stroke.points()]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    widest = max((s.width * MM / 2 for s in strokes if s.width), default=0.0)
    room = round(max(_ROOM, widest + 0.05), 3)
    left, top = round(min(xs) - room, 3), round(min(ys) - room, 3)
    box = (left, top, round(max(xs) + room - left, 3), round(max(ys) + room - top, 3))
    paths = tuple(
        Path(
            path_data(s.commands, MM),
            width=round(s.width * MM, 3) if s.width else None,
            fill="currentColor" if s.filled else "",
        )
        for s in strokes
    )
    return Symbol(key, box, paths)
