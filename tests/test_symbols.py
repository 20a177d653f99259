"""The sign files: complete, in one pen, safe, and in the shapes the trade knows.

Shapes and cross-strokes: The Crafting Place, "You Must Learn How to Read Crochet Charts!",
2017 (a dc has one stroke, a tr two, a dtr three; strokes are yarn overs before insertion).
"""

from __future__ import annotations

import re
from itertools import combinations
from math import cos, radians, sin, tan

import numpy as np
import pytest
from shapely import MultiLineString, segmentize

from chartgen.data import folder
from chartgen.draw.drawing import Path, UseSymbol
from chartgen.draw.glyphs import Glyphs, Pose
from chartgen.draw.key import stitch_entry
from chartgen.draw.symbols import MM, SymbolFault, parse_path, parse_sign, part_strokes, sign, symbol
from chartgen.draw.wholekey import all_kinds
from chartgen.stitches import registry

FILES = sorted(folder("symbols").glob("*.svg"))
SIMPLE = registry().simple
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 1 1">'


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_file_is_read_and_titled(path) -> None:
    read = sign(path.stem)
    assert read.title and any(read.parts.values())


def test_every_kind_has_its_sign() -> None:
    """No stitch the program can name is without a sign, nor a post stitch without its hook."""
    for kind in all_kinds():
        assert sign(kind.symbol).parts
        if kind.foot:
            assert "foot" in sign(kind.foot).parts


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_one_pen(path) -> None:
    """0.3 mm at print scale in every file: 0.3 / 2.8 = 0.107 chain lengths."""
    root = re.search(r"<svg[^>]*>", path.read_text("utf-8"))
    width = re.search(r'stroke-width="([\d.]+)"', root[0])
    assert float(width[1]) * MM == pytest.approx(0.3, abs=0.001)


@pytest.mark.parametrize(("stitch", "strokes"), [
    ("half_double", 0), ("double_crochet", 1), ("treble", 2), ("double_treble", 3), ("triple_treble", 4),
])
def test_strokes_are_yarn_overs(stitch: str, strokes: int) -> None:
    assert len(sign(stitch).parts.get("strokes", ())) == strokes == SIMPLE[stitch].strokes


def ink(name: str, part: str) -> tuple[float, float]:
    """Width and height in mm of a part's ink, the pen included."""
    numbers = [float(v) for path in symbol(f"{name}.{part}").paths for v in re.findall(r"-?[\d.]+", path.d)]
    xs, ys = numbers[::2], numbers[1::2]
    return max(xs) - min(xs) + 0.3, max(ys) - min(ys) + 0.3


def test_print_sizes() -> None:
    """A chain oval and a single crochet of at least 2 mm, a double crochet of at least 4.6 mm.

    Ovals keep their 2 mm in the column of three beside a double crochet, where each is drawn
    at three quarters of its length; so the double crochet is 2.3 x 2.8 mm high, less the gaps
    at its head and foot.
    """
    assert ink("chain", "mark")[0] >= 2.0
    assert drawn_height("single_crochet") >= 2.0
    assert ink("chain", "mark@75")[0] >= 2.0
    assert 4.6 <= drawn_height("double_crochet") <= 2.3 * 2.8


def drawn_height(stitch: str) -> float:
    """Ink from foot to head, in mm, of a stitch of its own height."""
    marks = Glyphs().marks(SIMPLE[stitch], Pose((0.0, -SIMPLE[stitch].height * MM), ((0.0, 0.0),)))
    ys = [float(y) for m in marks if isinstance(m, Path) for y in re.findall(r"[ML]\S+ (\S+)", m.d)]
    return max(ys) - min(ys) + 0.3


def test_heights_keep_their_order() -> None:
    order = ["single_crochet", "half_double", "double_crochet", "treble", "double_treble", "triple_treble"]
    heights = [drawn_height(name) for name in order]
    assert heights == sorted(heights)


def test_a_tall_stitch_is_a_longer_stem() -> None:
    """Half as long again: the head is the same symbol, moved and not stretched."""
    short, tall = (
        Glyphs().marks(SIMPLE["double_crochet"], Pose((0.0, -h), ((0.0, 0.0),))) for h in (5.0, 7.5)
    )
    heads = [next(m for m in marks if isinstance(m, UseSymbol)) for marks in (short, tall)]
    assert heads[0].name == heads[1].name
    assert heads[0].y - heads[1].y == pytest.approx(2.5)


def test_front_and_back_post_mirror_each_other() -> None:
    front, back = (
        [(x, y) for s in part_strokes(name, "foot") for x, y in s.points()]
        for name in ("front_post", "back_post")
    )
    assert front == [(-x, y) for x, y in back]


def test_a_short_chain_keeps_its_pen() -> None:
    """75% of the length, the same height, and no width of its own."""
    full, short = symbol("chain.mark"), symbol("chain.mark@75")
    assert short.box[3] == full.box[3] and short.box[2] < full.box[2]
    assert short.paths[0].width is None


def lines_of(path: str) -> list[list[tuple[float, float]]]:
    """Path data as lines, each curve in twelve steps."""
    lines: list[list[tuple[float, float]]] = []
    for letter, points in parse_path(path):
        if letter == "M":
            lines.append([*points])
        elif letter == "Z":
            lines[-1].append(lines[-1][0])
        else:
            ends, order = np.array([lines[-1][-1], *points]), len(points)
            for t in np.linspace(0, 1, 13)[1:]:
                between = ends
                for _ in range(order):
                    between = (1 - t) * between[:-1] + t * between[1:]
                lines[-1].append(tuple(between[0]))
    return lines


def drawn(kind, loop: str = "") -> MultiLineString:
    """The lines of a sign as the key prints it, in mm."""
    lines = []
    for mark in stitch_entry(kind, loop, ("US",), Glyphs()).marks:
        turn = radians(getattr(mark, "angle", 0.0))
        at = (mark.x, mark.y) if isinstance(mark, UseSymbol) else (0.0, 0.0)
        for path in symbol(mark.name).paths if isinstance(mark, UseSymbol) else (mark,):
            lines += [
                [(at[0] + x * cos(turn) - y * sin(turn), at[1] + x * sin(turn) + y * cos(turn)) for x, y in line]
                for line in lines_of(path.d)
            ]
    return segmentize(MultiLineString(lines), 0.1)


def test_no_two_signs_are_taken_for_each_other() -> None:
    """At print size some line of one is farther from the other than a reader with poor sight can overlook.

    Usual sight parts one minute of arc (Snellen); a quarter of it four, at 40 cm 400 mm x tan 4' = 0.47 mm.
    Loops only were 0.31 mm apart, a cluster of 3 and a bobble of 3 0.43 mm.
    """
    made = registry().made
    same_legs = [
        made(family, "double_crochet", legs) for family in ("cluster", "bobble", "popcorn") for legs in (3, 4, 5)
    ] + [made(family, "half_double", legs) for family in ("cluster", "puff", "popcorn") for legs in (3, 4, 5)]
    signs = {kind.id: drawn(kind) for kind in (*all_kinds(), *same_legs)}
    for base in ("single_crochet", "half_double", "double_crochet"):
        signs |= {f"{base} {loop}": drawn(SIMPLE[base], loop) for loop in ("front", "back", "third")}
    least = 400 * tan(radians(4 / 60))
    alike = [
        f"{one} and {other}: {apart:.2f} mm" for (one, a), (other, b) in combinations(signs.items(), 2)
        if one.split(":")[:1] != other.split(":")[:1] and (apart := a.hausdorff_distance(b)) < least
    ]
    assert not alike


@pytest.mark.parametrize("loop", ["front", "back", "third"])
def test_the_sign_of_a_loop_stands_clear_below_legs_closed_together(loop: str) -> None:
    """The legs of 2 dc together end where the arc begins: they ran through it to the stitch below."""
    marks = Glyphs().marks(registry().made("together", "double_crochet", 2), Pose((0.0, -6.0), ((-1.5, 0.0), (1.5, 0.0))), loop)
    legs = next(m.d for m in marks if isinstance(m, Path))
    lowest = max(y for line in lines_of(legs) for _, y in line)
    assert lowest == pytest.approx(sign(f"{loop}_loop").ankle * MM, abs=0.1)


@pytest.mark.parametrize(("inside", "names"), [
    ("<script>1</script>", "script"),
    ('<path d="M0 0 L1 1" onclick="x()"/>', "onclick"),
    ('<g id="mark"><path d="M0 0 L1 1" style="fill:red"/></g>', "style"),
    ('<use xlink:href="other.svg#a"/>', "use"),
    ('<image href="http://example.org/a.png"/>', "image"),
    ('<g id="mark"><path d="M0 0 L1 1" fill="url(#a)"/></g>', "outside"),
    ('<a xmlns="urn:else">x</a>', "'a'"),
    ("<foreignObject/>", "foreignObject"),
    ('<g id="mark"><path d="M0 0 h 3"/></g>', "'h'"),
    ('<g id="mark"><path d="M0 0 L1"/></g>', "too few"),
    ('<g id="nose"/>', "nose"),
    ("<?xml-stylesheet href='a.css'?>", "processing"),
    ("<g>", "not well-formed"),
])
def test_a_file_that_could_do_harm_is_refused(inside: str, names: str) -> None:
    """The message names the file and what it holds."""
    with pytest.raises(SymbolFault) as refusal:
        parse_sign(f"{HEAD}{inside}</svg>".encode(), "odd.svg")
    problem = refusal.value.problem
    assert problem.code == "E601" and "odd.svg" in problem.message and names in problem.message


def test_a_document_type_is_refused() -> None:
    """Entities are where a file pulls in others or grows without end."""
    text = f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>{HEAD}<title>&a;</title></svg>'
    with pytest.raises(SymbolFault, match="odd.svg"):
        parse_sign(text.encode(), "odd.svg")


def test_an_unknown_symbol_is_named() -> None:
    with pytest.raises(SymbolFault) as refusal:
        sign("doubel_crochet")
    assert refusal.value.problem.code == "E602" and "double_crochet" in refusal.value.problem.help
