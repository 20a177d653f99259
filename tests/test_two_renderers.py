"""Sample charts drawn by renderers that share no code: cairosvg, typst (resvg), librsvg's rsvg-convert.

cairosvg draws the exports and typst sets the booklet, so those two are always compared; rsvg-convert
where it is installed.

Pictures are compared by the largest difference of 16 x 16 block means (0-255), which a lost
stitch raises to 35 and more, a dot on other ink to 19, while two renderers of the same
chart stay under 9 at 300 dpi.
Words are compared in blocks of 5 mm, since renderers hint letters differently. A failing
pair is written beside the test's other files, with its difference.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from math import ceil
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from chartgen.export.raster import to_png
from chartgen.pipeline import chart

ROOT = Path(__file__).parent.parent
RSVG = shutil.which("rsvg-convert")
DPI = 300
MOST_INK, MOST_WORDS = 12.0, 12.0       # grey levels; without words 1.8-8.6 was measured, of words 3.7-5.7
needs_rsvg = pytest.mark.skipif(
    RSVG is None, reason="the third renderer is not installed: apt-get install librsvg2-bin",
)
RENDERERS = ["typst", pytest.param("rsvg", marks=needs_rsvg)]
Grey = NDArray[np.float64]

CHARTS = [
    ("specs/fennel-panel.yaml", {}),
    ("specs/borage-square.yaml", {"view": "wedge"}),
    ("specs/sorrel-coaster.yaml", {"mono": True}),
    ("specs/thyme-hat.yaml", {"view": "strip", "left_handed": True}),
    ("tests/corpus/13-ribbed-slipper.yaml", {"view": "row:3"}),
    ("tests/corpus/11-star-in-two-colours.yaml", {"yarn_colours": True}),
    ("tests/pieces/bay-mat.yaml", {"mono": True}),
]


def grey(png: bytes) -> Grey:
    from PIL import Image

    return np.asarray(Image.open(io.BytesIO(png)).convert("L"), float)


def with_cairo(svg: str) -> Grey:
    pytest.importorskip("cairosvg", exc_type=ImportError)
    return grey(to_png(svg, DPI))


def with_typst(svg: str, like: Grey) -> Grey:
    """The chart on a page of its own size, at the same dots an inch."""
    typst = pytest.importorskip("typst")
    height, width = (side * 72 / DPI for side in like.shape)
    sized = re.sub(r' (width|height)="[\d.]+mm"', lambda m: f' {m[1]}="{like.shape[m[1] == "width"]}"', svg, count=2)
    page = (
        f"#set page(width: {width}pt, height: {height}pt, margin: 0pt)\n"
        '#image(bytes(sys.inputs.svg), format: "svg", width: 100%, height: 100%)'
    )
    png = typst.compile(page.encode(), format="png", ppi=float(DPI), sys_inputs={"svg": sized})
    return grey(png)


def with_rsvg(svg: str, like: Grey) -> Grey:
    height, width = (str(side) for side in like.shape)
    done = subprocess.run(
        [str(RSVG), "-w", width, "-h", height], input=svg.encode(), capture_output=True, check=True,
    )
    return grey(done.stdout)


def blocks(picture: Grey, side: int) -> Grey:
    height, width = (length // side * side for length in picture.shape)
    return picture[:height, :width].reshape(height // side, side, width // side, side).mean(axis=(1, 3))


def block_max(a: Grey, b: Grey, side: int = 16) -> float:
    return float(np.abs(blocks(a, side) - blocks(b, side)).max())


def without_words(svg: str) -> str:
    return re.sub(r"<text.*?</text>", "", svg)


def words_alone(svg: str) -> str:
    return re.sub(r'<g class="stitch".*?</g>', "", svg, flags=re.DOTALL)


def in_whole_dots(svg: str) -> str:
    """The sheet a little larger, a whole number of dots each way: renderers round parts of a dot differently."""
    width, height = (
        ceil(float(side) * DPI / 25.4) * 25.4 / DPI
        for side in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups()      # type: ignore[union-attr]
    )
    svg = re.sub(r'viewBox="0 0 [\d.]+ [\d.]+"', f'viewBox="0 0 {width:.6f} {height:.6f}"', svg, count=1)
    svg = re.sub(r' width="[\d.]+mm"', f' width="{width:.6f}mm"', svg, count=1)
    return re.sub(r' height="[\d.]+mm"', f' height="{height:.6f}mm"', svg, count=1)


OTHERS = {"typst": with_typst, "rsvg": with_rsvg}


def agree(svg: str, other: str, side: int, most: float, folder: Path) -> None:
    from PIL import Image

    svg = in_whole_dots(svg)
    ours = with_cairo(svg)
    theirs = OTHERS[other](svg, ours)
    found = block_max(ours, theirs, side)
    if found > most:
        path = folder / f"cairosvg-{other}-difference.png"
        Image.fromarray(np.hstack([ours, theirs, 255 - np.abs(ours - theirs)]).astype(np.uint8)).save(path)
        pytest.fail(f"the renderers differ by {found:.1f} grey levels, {most:g} allowed: see {path}")


@pytest.mark.parametrize("other", RENDERERS)
@pytest.mark.parametrize(("spec", "options"), CHARTS, ids=[f"{Path(s).stem} {o}" for s, o in CHARTS])
def test_two_renderers_agree(spec: str, options: dict[str, object], other: str, tmp_path: Path) -> None:
    svg = chart(ROOT / spec, **options)     # type: ignore[arg-type]
    agree(without_words(svg), other, 16, MOST_INK, tmp_path)
    agree(words_alone(svg), other, 64, MOST_WORDS, tmp_path)


@pytest.mark.parametrize(("kind", "least"), [("dc", 2 * MOST_INK), ("slst", 1.5 * MOST_INK)])
def test_a_lost_stitch_would_be_noticed(kind: str, least: float) -> None:
    """The measure itself: less its last double crochet, or the dot of its last join, a chart differs by more."""
    svg = without_words(chart(ROOT / "specs/borage-square.yaml"))
    stitches = re.findall(rf'<g class="stitch"[^>]*data-kind="{kind}".*?</g>', svg, flags=re.DOTALL)
    assert block_max(with_cairo(svg), with_cairo(svg.replace(stitches[-1], ""))) > least


def test_a_lost_number_would_be_noticed() -> None:
    svg = words_alone(chart(ROOT / "specs/borage-square.yaml"))
    less = re.sub(r'(class="row-label".*?)<text.*?</text>', r"\1", svg, count=1, flags=re.DOTALL)
    assert less != svg
    assert block_max(with_cairo(svg), with_cairo(less), 16) > MOST_WORDS
