"""Draw the gallery anew from the samples in `specs/`: `python gallery/rebuild.py`.

For each sample the chart of its first size, its schematic where its size is established; charts in every view
and edition; and the key of every stitch the program knows. `tests/test_gallery.py` draws them again and compares, so that nothing
here grows stale.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

from chartgen.edition_api import booklet_of, row_cards, written
from chartgen.pipeline import chart, compile_spec, key, schematic
from chartgen.wording.editions import SETTERS
from chartgen.wording.kinds import EDITIONS

HERE = Path(__file__).resolve().parent
SPECS = HERE.parent / "specs"
SAMPLE = "sorrel-coaster"
LANGUAGES = ("en-UK", "es-ES")
SHAPES = ("video", "print")
VIEWS: tuple[tuple[str, str, dict[str, object]], ...] = (
    ("fennel-panel", "repeat", {"view": "repeat"}),
    ("fennel-panel", "row-5", {"view": "row:5"}),
    ("mint-mandala", "wedge", {"view": "wedge"}),
    ("thyme-hat", "strip", {"view": "strip", "size": "child"}),
    ("sage-pullover", "rows", {"view": "rows:rib/1-4", "size": "2"}),
    ("borage-square", "left-handed", {"left_handed": True}),
    ("borage-square", "yarn-colours", {"yarn_colours": True}),
    ("chervil-ripple", "mono", {"mono": True}),
    ("hyssop-sampler", "as-worked", {"as_worked": True}),
    ("sorrel-coaster", "large", {"large": True}),
)
"""Views and editions: sample, ending of the file name, options of `chart`."""


def drawings() -> Iterator[tuple[str, str]]:
    """(file name, SVG) of every picture in the gallery."""
    for spec in sorted(SPECS.glob("*.yaml")):
        compiled = compile_spec(spec)
        sizes = compiled.document.sizes
        yield f"{spec.stem}.chart.svg", chart(spec, size=sizes[0] if sizes else None)
        if any(figure.established or figure.form == "flat" for piece in compiled.measures[0].pieces for figure in piece.figures):
            yield f"{spec.stem}.schematic.svg", schematic(spec)
    yield "key.svg", key()
    for stem, ending, options in VIEWS:
        yield f"{stem}.chart.{ending}.svg", chart(SPECS / f"{stem}.yaml", **options)     # type: ignore[arg-type]
    yield from editions()


def editions() -> Iterator[tuple[str, str]]:
    """(file name, text) of every edition of one sample, in two languages."""
    compiled = compile_spec(SPECS / f"{SAMPLE}.yaml")
    for language in LANGUAGES:
        for edition in EDITIONS:
            form = "txt" if edition == "aloud" else "html"
            page = written(compiled, language=language, edition=edition, art=form == "html")
            yield f"editions/{SAMPLE}.{edition or 'words'}.{language}.{form}", SETTERS[form](page)
        for shape in SHAPES:
            name, card = list(row_cards(compiled, language=language, shape=shape))[3]
            yield f"editions/{SAMPLE}.card.{language}.{shape}.{name}.svg", card


def booklets() -> Iterator[tuple[str, bytes]]:
    """(file name, PDF) of the sample's booklet in each language; none without typst."""
    if find_spec("typst") is None:
        return
    compiled = compile_spec(SPECS / f"{SAMPLE}.yaml")
    for language in LANGUAGES:
        yield f"editions/{SAMPLE}.booklet.{language}.pdf", booklet_of(compiled, language=language)


def opening(pdf_language: str = "en-UK") -> tuple[str, bytes]:
    """The booklet's pages side by side as a PNG, for the README."""
    import cairosvg

    from chartgen.editions.booklet import pictures

    compiled = compile_spec(SPECS / f"{SAMPLE}.yaml")
    return f"editions/{SAMPLE}.booklet.png", cairosvg.svg2png(pictures(written(compiled, language=pdf_language, art=True)).encode(), dpi=150, output_width=2000)


def main() -> int:
    kept = set()
    for name, svg in drawings():
        (HERE / name).parent.mkdir(exist_ok=True)
        (HERE / name).write_text(svg, encoding="utf-8")
        kept.add(name)
    for old in (*HERE.glob("*.svg"), *HERE.glob("editions/*.svg")):
        if old.relative_to(HERE).as_posix() not in kept:
            old.unlink()
    for name, pdf in (*booklets(), *([opening()] if find_spec("typst") else ())):
        (HERE / name).write_bytes(pdf)
        kept.add(name)
    print(f"{len(kept)} files in {HERE}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
