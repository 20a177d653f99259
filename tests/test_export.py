"""Export: the same bytes twice, safe and valid SVG, true sizes in print, files whole or not at all."""

from __future__ import annotations

import builtins
import io
import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from draw_samples import disc, document, panel
from lxml import etree

from chartgen.draw.chart import ChartOptions, draw_chart
from chartgen.draw.drawing import Drawing, Group, Label, number
from chartgen.draw.drawing import Path as Line
from chartgen.export.flat import flat
from chartgen.export.raster import CannotRender, to_pdf, to_png
from chartgen.export.svg import to_svg
from chartgen.export.write import write_all

SVG = "{http://www.w3.org/2000/svg}"
TEXT = to_svg(draw_chart(document("Fennel & <dill>"), *disc(3), ChartOptions()))


def test_numbers() -> None:
    assert [number(v) for v in (1.0, -0.0001, 2.50049, 1 / 3, 100.0)] == ["1", "0", "2.5", "0.333", "100"]


def test_words_are_escaped() -> None:
    root = etree.fromstring(TEXT.encode())
    assert "Fennel & <dill>" in root.xpath("//*[local-name()='text']/text()")


def test_one_element_a_line() -> None:
    """So that a change in one stitch shows as one changed line."""
    for line in TEXT.splitlines()[1:]:
        assert line.count("<") == 1 or re.fullmatch(r"<(\w+)[^<]*>[^<]*</\1>", line), line


def test_only_the_safe_subset() -> None:
    """No script, style, event, mask or filter; nothing from outside; every reference has its target."""
    root = etree.fromstring(TEXT.encode())
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert tags <= {"svg", "title", "desc", "defs", "symbol", "g", "path", "use", "text", "rect"}
    ids = set(root.xpath("//@id"))
    for element in root.iter():
        for key, value in element.attrib.items():
            name = key.rpartition("}")[2]
            assert not name.startswith("on") and name not in ("style", "filter", "mask")
            assert "://" not in value and "url(" not in value
            if name == "href":
                assert value.removeprefix("#") in ids


def test_true_size() -> None:
    """mm on the root and one user unit to the mm."""
    root = etree.fromstring(TEXT.encode())
    width, height = (float(root.get(k).removesuffix("mm")) for k in ("width", "height"))
    assert [float(v) for v in root.get("viewBox").split()] == [0, 0, width, height]


def test_two_runs_give_the_same_bytes(tmp_path: Path) -> None:
    """In fresh processes with different hash seeds."""
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from draw_samples import disc, document\n"
        "from chartgen.draw.chart import draw_chart\n"
        "from chartgen.export.svg import to_svg\n"
        "sys.stdout.write(to_svg(draw_chart(document(), *disc(3))))\n"
    )
    here = Path(__file__).parent
    runs = [
        subprocess.run(
            [sys.executable, "-c", code, str(here)], capture_output=True, check=True, cwd=here.parent,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(here.parent)},
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1] and runs[0]


def pixels(png: bytes) -> np.ndarray:
    import cairocffi

    surface = cairocffi.ImageSurface.create_from_png(io.BytesIO(png))
    data = np.frombuffer(bytes(surface.get_data()), np.uint8)
    return data.reshape(surface.get_height(), -1, 4)[:, :, :3].astype(int)


@pytest.mark.parametrize("sample", [disc(3), panel(3)], ids=["disc", "panel"])
@pytest.mark.parametrize("options", [ChartOptions(), ChartOptions(mono=True, left_handed=True)], ids=["plain", "mono"])
def test_the_flattened_twin_looks_the_same(sample, options: ChartOptions) -> None:
    """Rendered by cairo with and without symbols: fewer than 1 pixel in 300 differs visibly."""
    import cairosvg

    svg = to_svg(draw_chart(document(), *sample, options))
    one, two = (pixels(cairosvg.svg2png(bytestring=s.encode(), scale=1.5)) for s in (svg, flat(svg)))
    assert one.shape == two.shape
    assert (np.abs(one - two).max(axis=2) > 64).mean() < 1 / 300
    assert (one < 128).any(axis=2).mean() > 0.01


def test_png_at_print_resolution() -> None:
    """300 dots to the inch of 25.4 mm; the drawing's ink is there."""
    drawing = Drawing(50.8, 25.4, "t", "d", (Line("M5 5 L45 5", 1.0),))
    image = pixels(to_png(to_svg(drawing)))
    assert image.shape[:2] == (300, 600)
    assert (image[round(5 / 25.4 * 300), 100:500] < 40).all()


def test_pdf_is_true_size_and_the_same_every_time() -> None:
    """A page of 210 x 148 mm is 595.276 x 419.528 pt (72 pt to 25.4 mm); no date of the day."""
    drawing = Drawing(210, 148, "t", "d", (Group((Label("thyme", 10, 10),)),))
    pdf = to_pdf(to_svg(drawing))
    box = re.search(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+)", pdf)
    assert float(box[1]) == pytest.approx(595.276, abs=0.01) and float(box[2]) == pytest.approx(419.528, abs=0.01)
    assert b"(D:20000101000000" in pdf and pdf == to_pdf(to_svg(drawing))


@pytest.mark.parametrize("fault", [OSError("no library called cairo-2"), ImportError("cairosvg")])
def test_without_cairo_one_line_says_what_to_install(monkeypatch: pytest.MonkeyPatch, fault: Exception) -> None:
    """The Python part raises OSError when only the system library is missing."""
    real = builtins.__import__

    def missing(name, *rest):
        if name == "cairosvg":
            raise fault
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(CannotRender) as refusal:
        to_png(TEXT)
    problem = refusal.value.problem
    assert problem.code == "E603" and "libcairo2" in problem.help
    assert "\n" not in problem.message + problem.help


def test_files_are_written_whole_or_not_at_all(tmp_path: Path) -> None:
    """The second cannot be written: the first keeps its old content, and nothing is left behind."""
    first, blocked = tmp_path / "a.svg", tmp_path / "b.svg"
    first.write_bytes(b"earlier")
    blocked.mkdir()
    with pytest.raises(OSError):
        write_all({first: b"new", blocked: b"new"})
    assert first.read_bytes() == b"earlier"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.svg", "b.svg"]


def test_files_are_written_in_place(tmp_path: Path) -> None:
    paths = [tmp_path / "out" / name for name in ("a.svg", "b.svg")]
    assert write_all({path: path.name.encode() for path in paths}) == tuple(paths)
    assert [p.read_bytes() for p in paths] == [b"a.svg", b"b.svg"]
    assert {p.stat().st_mode & 0o777 for p in paths} == {0o666 & ~umask()}


def umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
