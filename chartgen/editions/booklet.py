"""The booklet: a page set as PDF by typst, from data alone.

typst is an optional extra (`pip install chartgen[booklet]`). The pattern's words go to it
in a JSON file and are never pasted into markup, which crochet's stars and brackets are.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from datetime import datetime, timezone
from math import ceil
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from chartgen.wording.inline import size_mm
from chartgen.wording.page import Block, Page, Pairs, Paragraph, Picture, Rows, Subheading

PAPERS = {"a4": "a4", "letter": "us-letter"}
_SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}       # mm (ISO 216; ANSI/ASME Y14.1)
_MARGINS = (34.0, 54.0)     # mm beside, and above and below with a heading
_BETWEEN = 6.0              # mm between charts on one page
_LEAST = 0.65               # to which charts may be reduced to share a page
_TURNED = 1.15              # how much larger charts must be on a page on its side to be put there
_LOW, _WIDE = 135.0, 215.0  # mm: a chart lower and narrower stands over its words
_LINE, _LETTERS = 5.4, 90   # mm from line to line of rows; characters on one
_TEMPLATE = Path(__file__).with_name("booklet.typ")
_FONTS = {"font_paths": [str(Path(__file__).with_name("fonts"))], "ignore_system_fonts": True}
_VIEW = re.compile(r'viewBox="([^"]+)"')
_HALF_PT = 0.3528 / 2        # mm of a typographic point at half size
_APART = 5.0                # mm between the pages of a picture
# The day is fixed, so that two runs give the same bytes; the pattern's version says its age.
_STAMP = datetime(2000, 1, 1, tzinfo=timezone.utc)


Size = tuple[float, float]       # mm wide and high


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
    sections = [{"key": s.key, "heading": s.heading, "blocks": [_block(b, drawings) for b in s.blocks]} for s in page.sections]
    book = {
        "title": page.title, "paper": PAPERS[paper], "language": page.language.split("-")[0], "about": page.about, "look": page.look,
        "sections": sections, "openings": _openings(page, sections, _SIZES[paper]),
    }  # fmt: skip
    Path(folder, "book.json").write_text(json.dumps(book, ensure_ascii=False), "utf-8")
    Path(folder, _TEMPLATE.name).write_text(_TEMPLATE.read_text("utf-8"), "utf-8")


# ---- charts beside their words


def _openings(page: Page, sections: list[dict[str, Any]], paper: Size) -> list[dict[str, Any]]:
    """Charts with the instructions they are beside: piece by piece where each chart is of one, else all together."""
    blocks = {s.key: list(zip(s.blocks, made["blocks"], strict=True)) for s, made in zip(page.sections, sections, strict=True)}
    charts = [(block.piece, made) for block, made in blocks.get("charts", []) if isinstance(block, Picture)]
    words = list(_of_pieces(blocks.get("instructions", [])))
    if any(piece is None for piece, _ in charts) or {piece for piece, _ in charts} != {piece for piece, _ in words}:
        charts, words = [(0, made) for _, made in charts], [(0, made) for _, made in words]
    found = []
    for piece in dict.fromkeys(of for of, _ in words):
        ours = [made for of, made in words if of == piece]
        if leaves := _leaves([made for of, made in charts if of == piece], paper):
            found.append({"leaves": leaves, "low": _is_low(leaves, ours, paper), "words": ours})
    return found


def _of_pieces(blocks: Sequence[tuple[Block, dict[str, Any]]]) -> Iterator[tuple[int, dict[str, Any]]]:
    """Each block of the instructions with the piece it belongs to; a heading belongs to the rows after it."""
    piece = next((block.piece for block, _ in reversed(blocks) if isinstance(block, Rows)), 0)
    found = []
    for block, made in reversed(blocks):
        piece = block.piece if isinstance(block, Rows) else piece
        found.append((piece, made))
    return reversed(found)


def _leaves(charts: list[dict[str, Any]], paper: Size) -> list[dict[str, Any]]:
    """The pages of some charts: one that they share where they can be read on it, else one for each."""
    one = _leaf(charts, paper)
    if len(charts) < 2 or one["scale"] >= _LEAST:
        return [one] if charts else []
    return [_leaf([chart], paper) for chart in charts]


def _leaf(charts: list[dict[str, Any]], paper: Size) -> dict[str, Any]:
    """A page of charts one under the other, upright or on its side: how far they are reduced there."""
    sizes = [(made["drawing"]["width"], made["drawing"]["height"]) for made in charts]
    upright, lying = (_scale(sizes, (wide - _MARGINS[0], high - _MARGINS[1])) for wide, high in (paper, paper[::-1]))
    turned = lying > upright * _TURNED
    return {"charts": [made["drawing"] for made in charts], "lying": turned, "scale": lying if turned else upright}


def _scale(sizes: Sequence[Size], room: Size) -> float:
    wide, high = max((w for w, _ in sizes), default=1.0), sum(h for _, h in sizes)
    return min(1.0, room[0] / wide, (room[1] - _BETWEEN * (len(sizes) - 1)) / (high or 1.0))


def _is_low(leaves: Sequence[dict[str, Any]], words: Sequence[dict[str, Any]], paper: Size) -> bool:
    """Does a chart stand over its words: is it low, or is there room for all of them?"""
    charts = [chart for leaf in leaves for chart in leaf["charts"]]
    room = paper[1] - _MARGINS[1] - _LINE * sum(map(_lines, words))
    return len(charts) == 1 and charts[0]["height"] <= max(_LOW, room) and charts[0]["width"] <= _WIDE


def _lines(block: dict[str, Any]) -> int:
    """How many lines a block of words takes, about."""
    if block["kind"] != "rows":
        return 2
    return sum(ceil(len(f"{line['label']} {line['words']}{line['counts']}") / _LETTERS) for line in block["lines"])


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
