"""Drawings inside a document: ids made unique, no fixed size, no heading of a file."""

from __future__ import annotations

import re

_HEAD = re.compile(r"^\s*<\?xml[^>]*\?>\s*")
_IDS = re.compile(r'(\sid="|href="#|url\(#)')
_LABELS = re.compile(r'aria-labelledby="([^"]*)"')
_SIZE = re.compile(r'<svg\b[^>]*?>', re.S)
_MM = re.compile(r'\s(width|height)="([\d.]+)mm"')


def inline(svg: str, prefix: str) -> str:
    """`svg` (as `to_svg` writes it) to stand in HTML among others: every id begins with `prefix`."""
    text = _HEAD.sub("", svg, count=1)
    text = _IDS.sub(lambda m: m[1] + prefix, text)
    text = _LABELS.sub(lambda m: f'aria-labelledby="{" ".join(prefix + name for name in m[1].split())}"', text)
    return _SIZE.sub(lambda m: _MM.sub("", m[0]).replace("<svg", f'<svg style="width:{size_mm(svg)[0]:g}mm"', 1), text, count=1)


def size_mm(svg: str) -> tuple[float, float]:
    """Width and height of a drawing in mm."""
    head = _SIZE.search(svg)
    found = dict(_MM.findall(head[0])) if head else {}
    return float(found.get("width", 0)), float(found.get("height", 0))
