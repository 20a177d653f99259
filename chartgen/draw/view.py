"""The views of a chart by name, and which of them can be read on a page."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from chartgen.draw.figures import figures
from chartgen.draw.portion import (
    VIEW_OF_FORM,
    Portion,
    chosen_rows,
    one_row_strong,
    whole,
)
from chartgen.draw.repeats import repeat_view, strip_view
from chartgen.draw.sector import wedge_view
from chartgen.fabric.fabric import Fabric
from chartgen.layout.placed import Layout
from chartgen.wording.drawn import said

_PARTS: dict[str, Callable[[Fabric, Layout], Portion | None]] = {
    "repeat": repeat_view,
    "wedge": wedge_view,
    "strip": strip_view,
}
_LACKING = {
    "repeat": "the whole is drawn: no panel here repeats often enough to leave some out",
    "wedge": "the whole is drawn: no round piece here repeats around its middle",
    "strip": "the whole is drawn: no tube here is long enough to leave some out",
}


def portion(fabric: Fabric, layout: Layout, view: str) -> Portion:
    """What `view` shows; the whole where the piece has no such part. NoSuchRows."""
    if view.startswith("rows:"):
        return chosen_rows(fabric, layout, view)
    if view.startswith("row:"):
        return one_row_strong(fabric, layout, view)
    return view in _PARTS and _PARTS[view](fabric, layout) or whole(fabric, layout)


def lacking(view: str) -> str:
    """Why a view shows the whole."""
    return said(_LACKING[view])


_PAGE = (190.0, 250.0)      # mm of A4 within its margins, less a heading


def readable_views(fabric: Fabric, layout: Layout) -> Iterator[Portion]:
    """Views that show less of the figures too large for a page, and of the largest in any case."""
    by_size = sorted(figures(fabric, layout), key=lambda figure: -figure.width * figure.height)
    seen: set[str] = set()
    for number, figure in enumerate(by_size):
        short, long = sorted((figure.width, figure.height))
        view = VIEW_OF_FORM.get(layout.runs[figure.runs[0]].form, "")
        fits = short <= _PAGE[0] and long <= _PAGE[1]
        if view in seen or (number and fits):
            continue
        seen.add(view)
        shown = _PARTS[view](fabric, layout) if view in _PARTS else None
        if shown is not None:
            yield shown
