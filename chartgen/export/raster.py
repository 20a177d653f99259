"""PNG and PDF of an SVG drawing, where the cairo library is installed."""

from __future__ import annotations

import re
from types import ModuleType

from chartgen.problems import Problem

PRINT_DPI = 300
_LONGEST = 30_000           # pixels a side; cairo refuses images beyond 32767
_MM_PER_INCH = 25.4
_CREATED = re.compile(rb"(/CreationDate \(D:)(\d{14})([^)]*\))")
_FIXED_DATE = b"20000101000000"


class CannotRender(Exception):
    """PNG or PDF cannot be made; `problem` says in one line what is wanted."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def to_png(svg: str, dpi: int = PRINT_DPI) -> bytes:
    """The drawing as PNG at `dpi`, fewer where a side would pass 30,000 pixels. CannotRender."""
    cairosvg = _cairosvg()
    per_unit = dpi / _MM_PER_INCH
    scale = min(per_unit, _LONGEST / max(_size(svg)))
    width, height = (max(1, round(side * scale)) for side in _size(svg))
    return cairosvg.svg2png(bytestring=_flat(svg), output_width=width, output_height=height)


def to_pdf(svg: str) -> bytes:
    """The drawing as PDF in its true size; the same bytes every time. CannotRender."""
    made = _cairosvg().svg2pdf(bytestring=_flat(svg))
    return _CREATED.sub(lambda found: found[1] + _FIXED_DATE + _still(found[3]), made)


def _still(ending: bytes) -> bytes:
    """The time zone after a date, at zero, in as many bytes."""
    return re.sub(rb"\d", b"0", ending).replace(b"-", b"+")


def _flat(svg: str) -> bytes:
    from chartgen.export.flat import NotFlat, flat

    try:
        return flat(svg).encode()
    except NotFlat:
        return svg.encode()


def _size(svg: str) -> tuple[float, float]:
    """Width and height of the drawing in user units, from its viewBox."""
    found = re.search(r'viewBox="[\d.]+ [\d.]+ ([\d.]+) ([\d.]+)"', svg)
    if found is None:
        raise ValueError("the drawing has no viewBox")
    return float(found[1]), float(found[2])


def _cairosvg() -> ModuleType:
    """The renderer; imported here only, since it needs a library that pip does not bring."""
    try:
        import cairosvg
    except (ImportError, OSError):      # OSError: the Python part is there, the library is not
        raise _no_cairo() from None
    return cairosvg


def cairo_library() -> ModuleType:
    """The drawing library itself, with its fonts. CannotRender."""
    try:
        import cairocffi
    except (ImportError, OSError):
        raise _no_cairo() from None
    return cairocffi


def _no_cairo() -> CannotRender:
    return CannotRender(Problem(
        "E603", "error", "a PNG or PDF, or words as shapes, need the cairo library, which is not installed here",
        help="install libcairo2 (Debian, Ubuntu) or cairo (Fedora, Homebrew); SVG with its words as text needs nothing",
    ))
