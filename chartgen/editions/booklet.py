"""The booklet: a page set as PDF by typst, from data alone.

typst is an optional extra (`pip install chartgen[booklet]`). The pattern's words go to it
in a JSON file and are never pasted into markup, which crochet's stars and brackets are.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import datetime, timezone
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from chartgen.wording.inline import size_mm
from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading

PAPERS = {"a4": "a4", "letter": "us-letter"}
_TEMPLATE = Path(__file__).with_name("booklet.typ")
_FONTS = {"font_paths": [str(Path(__file__).with_name("fonts"))], "ignore_system_fonts": True}
_VIEW = re.compile(r'viewBox="([^"]+)"')
_HALF_PT = 0.3528 / 2        # mm of a typographic point at half size
_APART = 5.0                # mm between the pages of a picture
# The day is fixed, so that two runs give the same bytes; the pattern's version says its age.
_STAMP = datetime(2000, 1, 1, tzinfo=timezone.utc)


class NoTypesetter(RuntimeError):
    """typst is not installed."""


def to_booklet(page: Page, paper: str = "a4") -> bytes:
    """The page as a PDF of this paper ("a4", "letter"). Raises NoTypesetter."""
    typst = _typst()
    with TemporaryDirectory() as folder:
        return _set(typst, page, paper, folder, format="pdf", timestamp=_STAMP)


def pictures(page: Page, paper: str = "a4") -> str:
    """The booklet's pages side by side, half size, as SVG. Raises NoTypesetter."""
    typst = _typst()
    with TemporaryDirectory() as folder:
        made = _set(typst, page, paper, folder, format="svg")
    leaves = [leaf.decode() for leaf in (made if isinstance(made, list) else [made])]
    placed, x, height = [], _APART, 0.0
    for at, leaf in enumerate(leaves):
        left, top, wide, high = map(float, _VIEW.search(leaf)[1].split())     # type: ignore[index]
        body = re.sub(r'(\sid="|href="#|url\(#)', rf"\g<1>p{at}-", leaf.partition(">")[2])
        size = (wide * _HALF_PT, high * _HALF_PT)
        placed.append(f'<rect x="{x:g}" y="{_APART:g}" width="{size[0]:.2f}" height="{size[1]:.2f}" fill="#ffffff"/>')
        placed.append(f'<g transform="translate({x:g} {_APART:g}) scale({_HALF_PT:.5f}) translate({-left:g} {-top:g})">{body.rpartition("</svg>")[0]}</g>')
        x, height = x + size[0] + _APART, max(height, size[1])
    width, height = x, height + 2 * _APART
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="{width:.2f}mm" height="{height:.2f}mm" '
        f'viewBox="0 0 {width:.2f} {height:.2f}">\n<rect width="100%" height="100%" fill="#cdcdcd"/>\n{"".join(placed)}\n</svg>\n'
    )


def _typst() -> Any:
    try:
        import typst
    except ImportError:
        raise NoTypesetter("a booklet needs typst; install it with: pip install 'chartgen[booklet]'") from None
    return typst


def _set(typst: Any, page: Page, paper: str, folder: str, **asked: Any) -> Any:
    set_out(page, paper, Path(folder))
    template = str(Path(folder, _TEMPLATE.name))
    return typst.compile(template, root=folder, sys_inputs={"data": "book.json"}, **_FONTS, **asked)


def set_out(page: Page, paper: str, folder: Path) -> None:
    """Puts template, data and drawings where typst finds them."""
    drawings = _Drawings(folder)
    book = {
        "title": page.title, "paper": PAPERS[paper], "language": page.language.split("-")[0], "about": page.about, "look": page.look,
        "sections": [
            {"key": s.key, "heading": s.heading, "blocks": [_block(b, drawings) for b in s.blocks]} for s in page.sections
        ],
    }  # fmt: skip
    Path(folder, "book.json").write_text(json.dumps(book, ensure_ascii=False), "utf-8")
    Path(folder, _TEMPLATE.name).write_text(_TEMPLATE.read_text("utf-8"), "utf-8")


class _Drawings:
    """Writes drawings as files, numbered in order."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.count = folder, 0

    def put(self, svg: str, caption: str = "", said: str = "") -> dict[str, Any]:
        self.count += 1
        name = f"drawing{self.count}.svg"
        Path(self.folder, name).write_text(svg, "utf-8")
        width, height = size_mm(svg)
        return {"file": name, "width": width, "height": height, "caption": caption, "said": said}


def _block(block: Block, drawings: _Drawings) -> dict[str, Any]:
    if isinstance(block, Paragraph):
        return {"kind": "text", "text": block.text}
    if isinstance(block, Subheading):
        return {"kind": "heading", "text": block.text, "level": block.level}
    if isinstance(block, Pairs):
        return {"kind": "pairs", "pairs": list(_pairs(block, drawings))}
    if isinstance(block, Rows):
        return {"kind": "rows", "lines": [_line(line, block) for line in block.lines]}
    if isinstance(block, Picture):
        return {"kind": "picture", "sheet": block.sheet, "drawing": drawings.put(block.svg, block.caption, block.said)}
    return {"kind": "table", "heads": block.heads, "rows": block.rows}


def _pairs(block: Pairs, drawings: _Drawings) -> Iterator[dict[str, Any]]:
    for name, words, sign, shown in block.each():
        yield {
            "name": name, "words": f"{words} {shown}" if shown and not sign else words,
            "sign": drawings.put(sign, said=shown or name) if sign else None,
        }  # fmt: skip


def _line(line: Any, rows: Rows) -> dict[str, Any]:
    counts = f"{rows.before}{line.counts}{rows.after}" if line.counts else ""
    return {"label": line.label, "words": line.words, "counts": counts, "strong": rows.strong}
