"""The views of a chart by name, and which of them can be read on a page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from chartgen.draw.figures import Figure, figures
from chartgen.draw.portion import (
    FIGURE,
    VIEW_OF_FORM,
    Portion,
    chosen_rows,
    in_rows,
    one_row_strong,
    only,
    whole,
)
from chartgen.draw.repeats import repeat_view
from chartgen.draw.sector import wedge_view
from chartgen.draw.strip_view import strip_view
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
        view = VIEW_OF_FORM.get(layout.runs[figure.runs[0]].form, "")
        if view in seen or (number and _fits(figure)):
            continue
        seen.add(view)
        shown = _PARTS[view](fabric, layout) if view in _PARTS else None
        if shown is not None:
            yield shown


def figures_apart(fabric: Fabric, layout: Layout, enlarged: float = 1.0) -> Iterator[Portion]:
    """Each figure by itself; less of one that is larger than a page, where it repeats.

    Args:
        enlarged: how many times as large it will be drawn.
    """
    everything = replace(whole(fabric, layout), view=FIGURE)
    for figure in figures(fabric, layout):
        view = VIEW_OF_FORM.get(layout.runs[figure.runs[0]].form, "")
        less = None if _fits(figure, enlarged) or view not in _PARTS else _PARTS[view](fabric, layout)
        yield _of_figure(less or everything, figure)


def _fits(figure: Figure, enlarged: float = 1.0) -> bool:
    short, long = sorted((figure.width * enlarged, figure.height * enlarged))
    return short <= _PAGE[0] and long <= _PAGE[1]


def _of_figure(shown: Portion, figure: Figure) -> Portion:
    """Of what is shown, one figure."""
    rows = [row for run in figure.runs for row in shown.layout.runs[run].rows]
    return replace(
        shown, fabric=only(shown.fabric, in_rows(shown.fabric, rows)),
        edges=tuple(e for e in shown.edges if e.run in figure.runs),
        brackets=tuple(b for b in shown.brackets if b.run in figure.runs),
        notes=tuple(n for n in shown.notes if n[0] in figure.runs),
    )  # fmt: skip
