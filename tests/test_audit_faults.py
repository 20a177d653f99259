"""Faults planted in a chart that was drawn in earnest: each is found, and by the number named here."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from functools import cache
from pathlib import Path

import pytest
from conftest import COASTER
from lxml import etree
from patterns import spec

from chartgen.audit import Audit, audit, read_chart
from chartgen.pipeline import compile_spec, drawings
from chartgen.sheets import Asked

SVG = "{http://www.w3.org/2000/svg}"
Root = etree._Element


@cache
def made(folder: Path) -> tuple[str, str]:
    """The coaster's chart and its check report."""
    spec = folder / "coaster.yaml"
    spec.write_text(COASTER, "utf-8")
    compiled = compile_spec(spec)
    return next(iter(drawings(compiled, ["chart"]).values())), json.dumps(compiled.as_json())


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("coaster")


def judged(folder: Path, fault: Callable[[Root], None] | None = None) -> Audit:
    """The audit of the chart after `fault` has been done to it."""
    svg, report = made(folder)
    root = etree.fromstring(svg.encode())
    if fault:
        fault(root)
    return audit(read_chart(etree.tostring(root)), json.loads(report))


def at(root: Root, row: int, n: int) -> Root:
    return root.xpath(f'//*[@class="stitch"][@data-row="{row}"][@data-n="{n}"]')[0]


def changed(before: Audit, after: Audit) -> set[str]:
    """Numbers that are worse than they were."""
    worse = set()
    for old, new in zip(before.measures, after.measures):
        a, b = old.value(), new.value()
        if b is not None and (a is None or (b < a - 1e-6 if old.sort == "least" else b > a + 1e-6)):
            worse.add(old.key)
    return worse


def shift(element: Root, dx: float, dy: float) -> None:
    """Moves the ink and what the element says of itself, its feet too."""
    wrapped = etree.SubElement(element, f"{SVG}g", transform=f"translate({dx} {dy})")
    for child in list(element)[:-1]:
        wrapped.append(child)
    element.set("data-x", f"{float(element.get('data-x')) + dx:.3f}")
    element.set("data-y", f"{float(element.get('data-y')) + dy:.3f}")
    feet = [[float(v) for v in pair.split(",")] for pair in element.get("data-foot", "").split()]
    if feet:
        element.set("data-foot", " ".join(f"{x + dx:.3f},{y + dy:.3f}" for x, y in feet))


def test_the_chart_itself_counts_right(folder: Path) -> None:
    """12 dc in round 1 and 24 in round 2 (12 + 12, one added in each): the chart agrees."""
    found = judged(folder)
    for key in ("misdrawn", "recount", "lost", "adrift", "off"):
        assert found[key].value() == 0, found[key].entries


def test_a_stitch_left_out(folder: Path) -> None:
    def fault(root: Root) -> None:
        gone = at(root, 2, 10)
        gone.getparent().remove(gone)

    found = judged(folder, fault)
    assert {"misdrawn", "recount"} <= changed(judged(folder), found)
    lines = [who for _, who in found["recount"].entries]
    assert "coaster/disc 2: 22 dc drawn, 23 in the report" in lines
    assert "coaster/disc 2: 23 stitches drawn, 24 in the report" in lines
    assert "numbers missing [10]" in found["misdrawn"].entries[0][1]


def test_a_stitch_drawn_twice(folder: Path) -> None:
    """The copy lies on its own original, with the number of one more than the row has."""
    def fault(root: Root) -> None:
        twin = deepcopy(at(root, 2, 10))
        twin.set("data-n", "99")
        at(root, 2, 10).getparent().append(twin)

    found = judged(folder, fault)
    assert {"misdrawn", "recount", "fans"} <= changed(judged(folder), found)
    assert any("2:10 dc" in who and "2:99 dc" in who for _, who in found["fans"].entries)


def test_another_sign_than_the_one_it_says(folder: Path) -> None:
    """A dc whose cross-stroke is gone is an hdc to every reader."""
    def fault(root: Root) -> None:
        element = at(root, 2, 10)
        for use in element.findall(f"{SVG}use"):
            element.remove(use)
        (x, y), (fx, fy) = ((float(v) for v in text.split(",")) for text in (
            f"{element.get('data-x')},{element.get('data-y')}", element.get("data-foot")))
        ux, uy = (x - fx) / 5, (y - fy) / 5
        stem = element.find(f"{SVG}path").get("d").split("L")[1].split()
        top = float(stem[0]), float(stem[1])
        etree.SubElement(element, f"{SVG}path", d=f"M{top[0] - 0.6 * uy} {top[1] + 0.6 * ux} L{top[0] + 0.6 * uy} {top[1] - 0.6 * ux}")

    found = judged(folder, fault)
    assert found["misdrawn"].entries == ((1.0, "coaster/disc 2:10 dc: drawn as hdc"),)
    assert "coaster/disc 2: 22 dc drawn, 23 in the report" in [who for _, who in found["recount"].entries]


def test_another_kind_than_the_one_drawn(folder: Path) -> None:
    found = judged(folder, lambda root: at(root, 2, 10).set("data-kind", "tr"))
    assert found["misdrawn"].entries == ((1.0, "coaster/disc 2:10 tr: drawn as dc"),)


def test_a_sign_and_its_kind_changed_together(folder: Path) -> None:
    """Sign and kind agree, the pattern does not: only the report tells."""
    def fault(root: Root) -> None:
        ours, other = at(root, 2, 10), at(root, 1, 1)
        for child in list(ours):
            ours.remove(child)
        for child in other:
            ours.append(deepcopy(child))
        ours.set("data-kind", "ch")
        for name in ("data-foot", "data-into"):
            del ours.attrib[name]

    found = judged(folder, fault)
    assert not [who for _, who in found["misdrawn"].entries if "drawn as" in who]
    assert "coaster/disc 2: 22 dc drawn, 23 in the report" in [who for _, who in found["recount"].entries]


@pytest.mark.parametrize(("dx", "dy"), [(1.3, 0.0), (-1.3, 0.0), (0.0, 1.3), (0.0, -1.3)])
def test_a_stitch_moved_half_a_stitch(folder: Path, dx: float, dy: float) -> None:
    """Ink and attributes together: its foot leaves its place, or the round its circle."""
    before, after = judged(folder), judged(folder, lambda root: shift(at(root, 2, 10), dx, dy))
    worse = changed(before, after)
    assert {"round", "even"} & worse and {"round", "even", "feet", "foot"} <= worse | {"feet"}
    assert not {"misdrawn", "recount", "adrift"} & worse


@pytest.mark.parametrize(("dx", "dy"), [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)])
def test_ink_moved_away_from_its_attributes(folder: Path, dx: float, dy: float) -> None:
    def fault(root: Root) -> None:
        at(root, 2, 10).set("transform", f"translate({dx} {dy})")

    found = judged(folder, fault)
    assert [who for _, who in found["adrift"].entries] == ["coaster/disc 2:10 dc"]


def test_a_foot_put_on_the_neighbour(folder: Path) -> None:
    """The foot goes where the stitch two further on stands; the place it names stays."""
    def fault(root: Root) -> None:
        at(root, 2, 10).set("data-foot", at(root, 2, 12).get("data-foot"))

    found = judged(folder, fault)
    assert {"feet", "foot", "adrift"} <= changed(judged(folder), found)
    assert any(who.startswith("coaster/disc 2:10 dc") for _, who in found["feet"].entries)


def test_a_place_named_wrongly(folder: Path) -> None:
    """The stitch names the place of the one two further on; its foot stays."""
    def fault(root: Root) -> None:
        at(root, 2, 10).set("data-into", at(root, 2, 12).get("data-into"))

    assert {"feet", "foot"} <= changed(judged(folder), judged(folder, fault))


def test_a_place_that_is_not_on_the_chart(folder: Path) -> None:
    found = judged(folder, lambda root: at(root, 2, 10).set("data-into", "1:77"))
    assert [who for _, who in found["lost"].entries] == ["coaster/disc 2:10 dc: into 1:77, which is not on the chart"]


def test_a_stitch_laid_on_one_it_is_not_joined_to(folder: Path) -> None:
    """Stitch 10 moved on to stitch 16, three places on."""
    def fault(root: Root) -> None:
        ours, other = at(root, 2, 10), at(root, 2, 16)
        dx, dy = (float(other.get(k)) - float(ours.get(k)) for k in ("data-x", "data-y"))
        shift(ours, dx, dy)

    before, found = judged(folder), judged(folder, fault)
    assert {"overlap", "mm2"} <= changed(before, found)
    assert any("2:10 dc" in who and "2:16 dc" in who for _, who in found["overlap"].entries)


def test_a_bent_row_number_and_a_label_on_a_stitch(folder: Path) -> None:
    def fault(root: Root) -> None:
        label = root.xpath('//*[@class="row-label"][@data-row="2"]//*[local-name()="text"]')[0]
        stitch = at(root, 2, 10)
        for name, key in (("x", "data-x"), ("y", "data-y")):
            label.set(name, stitch.get(key))

    assert changed(judged(folder), judged(folder, fault)) == {"labels"}


def test_a_thin_pen_and_a_pale_one(folder: Path) -> None:
    def fault(root: Root) -> None:
        row = at(root, 2, 10).getparent()
        row.set("stroke-width", "0.2")
        row.set("stroke", "#cccccc")

    assert {"stroke", "paper:1"} <= changed(judged(folder), judged(folder, fault))


def test_in_large_print_signs_are_what_they_are_in_usual_print(tmp_path: Path) -> None:
    """3.1 times as large, half doubles and slip stitches among them; one named otherwise is still found."""
    file = tmp_path / "large.yaml"
    file.write_text(spec("Ch 9.\nRow 1: Hdc in 2nd ch from hook and in each ch across. (8 hdc)\nRow 2: Ch 1, turn, sl st in each of first 4 sts, sc in each of last 4 sts.", "rows"))
    large = next(iter(drawings(compile_spec(file), ["chart"], Asked(large=True)).values()))
    assert audit(read_chart(large))["misdrawn"].value() == 0
    root = etree.fromstring(large.encode())
    at(root, 1, 4).set("data-kind", "dc")
    assert audit(read_chart(etree.tostring(root)))["misdrawn"].value() == 1
