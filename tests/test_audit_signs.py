"""What a sign is by its strokes: every kind the program knows, drawn upright, leaning and for left hands.

The forms by strokes are those of JIS L 0201:1995 and the Craft Yarn Council's chart symbols.
"""

from __future__ import annotations

import pytest
from audit_charts import chart, line, sc, stitch, upright

from chartgen.audit.signs import fits, sign_of
from chartgen.draw.drawing import Drawing, Group, Label
from chartgen.draw.drawing import Stitch as Drawn
from chartgen.draw.glyphs import Glyphs, Pose
from chartgen.draw.sheet import symbols_of
from chartgen.export.svg import to_svg
from chartgen.stitches import StitchKind, registry

MM = 2.8


def every_kind() -> list[StitchKind]:
    """The simple kinds, and of each family the fewest legs and the usual or five."""
    known = registry()
    made = list(known.simple.values())
    for name, rule in known.families.items():
        legs = {rule["legs"]["least"], min(rule["legs"]["most"], rule["legs"].get("usual", 5))}
        made += [known.made(name, base, n) for base in rule["of"] for n in sorted(legs)]
    return made


def drawn(kind: StitchKind, lean: float = 0.0, loop: str = "", **how: bool):  # noqa: ANN201
    """The stitch as the audit reads it from a sheet with this one sign on it."""
    height = kind.height * MM
    head = (50 + lean * height, 50 - height)
    feet: tuple[tuple[float, float], ...] = ((50.0, 50.0),)
    if kind.bases == "apart":
        feet = tuple((50 + 2.9 * (i - (kind.legs - 1) / 2), 50.0) for i in range(kind.legs))
    if kind.is_chain:
        feet = ()
    marks = Glyphs(**how).marks(kind, Pose(head, feet), loop)
    says = {
        "data-piece": "p", "data-part": "q", "data-row": "1", "data-n": "1", "data-kind": kind.code,
        "data-x": str(head[0]), "data-y": str(head[1]),
        "data-foot": " ".join(f"{x},{y}" for x, y in feet), "data-into": " ".join("0:1" for _ in feet),
    }
    items = (Group((Drawn(tuple(says.items()), marks),)),)
    if how.get("flip"):
        items += (Group((Label("left-handed", 1, 5, classes="subtitle"),)),)
    from chartgen.audit import read_chart

    found = read_chart(to_svg(Drawing(100, 100, "t", "d", items, symbols_of(items))))
    return sign_of(found.stitches[0], found.left_handed)


@pytest.mark.parametrize("kind", every_kind(), ids=lambda k: k.id)
@pytest.mark.parametrize(("lean", "flip"), [(0.0, False), (0.5, False), (-0.3, True)])
def test_every_kind_is_known_by_its_strokes(kind: StitchKind, lean: float, flip: bool) -> None:
    assert fits(drawn(kind, lean, flip=flip), kind.code)


def test_no_two_simple_kinds_look_alike() -> None:
    """As many signs as simple kinds, and none fits another's name."""
    kinds = list(registry().simple.values())
    signs = {kind.code: drawn(kind) for kind in kinds}
    assert len({sign.code for sign in signs.values()}) == len(kinds)
    for code, sign in signs.items():
        assert [other for other in signs if fits(sign, other)] == [code]


@pytest.mark.parametrize("flip", [False, True])
def test_front_and_back_posts_differ(flip: bool) -> None:
    known = registry()
    front, back = (known.made(f"{way}_post", "double_crochet", 1) for way in ("front", "back"))
    assert drawn(front, flip=flip).code == "fpdc"
    assert drawn(back, flip=flip).code == "bpdc"


@pytest.mark.parametrize("loop", ["front", "back", "third"])
@pytest.mark.parametrize("code", ["single_crochet", "double_crochet"])
def test_loops_are_read(code: str, loop: str) -> None:
    assert drawn(registry().simple[code], loop=loop).loop == loop


def test_both_signs_of_a_single_crochet() -> None:
    assert drawn(registry().simple["single_crochet"], cross=True).code == "sc"


@pytest.mark.parametrize(("legs", "code"), [(2, "dc2tog"), (3, "dc3tog")])
def test_legs_are_counted(legs: int, code: str) -> None:
    sign = drawn(registry().made("together", "double_crochet", legs))
    assert sign.code == code
    assert not fits(sign, f"dc{legs + 1}tog") and not fits(sign, f"tr{legs}tog")


def test_a_hand_drawn_sign_is_read() -> None:
    """Nothing of the house's drawing: a stem and level bars, from `audit_charts`."""
    found = chart(
        sc(1, (10, 50), "0:1"),
        upright(2, "hdc", (20, 50), 3.7, "0:2", [1.0]),
        upright(3, "esc", (30, 50), 3.0, "0:3", [0.6, 0.25]),
        stitch(4, "sc", (40, 48), [(40, 50)], "0:4", marks=line((40, 48), (40, 50))),
    )
    assert [sign_of(s).code for s in found.stitches] == ["sc", "hdc", "esc", "?"]


def test_an_oval_that_the_pen_fills_is_a_dot() -> None:
    """0.1 mm across on the line of a 0.3 mm pen leaves no paper: that is a slip stitch."""
    open_, solid = ('<ellipse cx="9" cy="9" rx="0.9" ry="0.4"/>', '<ellipse cx="9" cy="9" rx="0.4" ry="0.05"/>')
    found = chart(stitch(1, "ch", (9, 9), marks=open_), stitch(2, "slst", (9, 9), marks=solid))
    assert [sign_of(s).code for s in found.stitches] == ["ch", "slst"]
