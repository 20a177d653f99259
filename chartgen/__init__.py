"""chartgen: a written crochet pattern becomes charts, a measured schematic and a verdict.

    spec (YAML)    read/       document      title, gauge, sizes, pieces, rows of text
    document       notation/   instructions  a tree per row, words resolved, repeats kept
    instructions   fabric/     fabric        every stitch and what it is worked into, per size
    instructions   wording/    the pattern in words, in any language there is a file for
    fabric         measure/    measures      dimensions from gauge, verdicts
    fabric         layout/     layout        a place in the plane for every stitch
    layout         draw/       drawing       signs, labels and lines on paper
    drawing        export/     SVG, PNG, PDF

The commands are functions too, each with the command's name: `chartgen.check(path)`.
They are loaded when first asked for.
"""

from typing import Any

__version__ = "0.1.0"

SIZES = ["grade", "plan", "sets", "sizes", "yarn"]
EDITIONS = ["booklet", "cards", "words"]
__all__ = ["build", "chart", "check", "compare", "compile_spec", "explain", "key", "schema", "schematic", "show", *SIZES, *EDITIONS]


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module 'chartgen' has no attribute {name!r}")
    from importlib import import_module

    module = "size_api" if name in SIZES else "edition_api" if name in EDITIONS else "pipeline"
    return getattr(import_module(f"chartgen.{module}"), name)
