"""Draw the gallery anew from the samples in `specs/`: `python gallery/rebuild.py`.

For each sample the chart of its first size and its schematic, and the key of every stitch
the program knows. `tests/test_gallery.py` draws them again and compares, so that nothing
here grows stale.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from chartgen.pipeline import chart, compile_spec, key, schematic

HERE = Path(__file__).resolve().parent
SPECS = HERE.parent / "specs"


def drawings() -> Iterator[tuple[str, str]]:
    """(file name, SVG) of every picture in the gallery."""
    for spec in sorted(SPECS.glob("*.yaml")):
        sizes = compile_spec(spec).document.sizes
        yield f"{spec.stem}.chart.svg", chart(spec, size=sizes[0] if sizes else None)
        yield f"{spec.stem}.schematic.svg", schematic(spec)
    yield "key.svg", key()


def main() -> int:
    kept = set()
    for name, svg in drawings():
        (HERE / name).write_text(svg, encoding="utf-8")
        kept.add(name)
    for old in HERE.glob("*.svg"):
        if old.name not in kept:
            old.unlink()
    print(f"{len(kept)} drawings in {HERE}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
