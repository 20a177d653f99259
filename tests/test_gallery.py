"""The gallery shows what the program draws today."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

GALLERY = Path(__file__).resolve().parent.parent / "gallery"
sys.path.insert(0, str(GALLERY))
from rebuild import drawings  # noqa: E402

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
DRAWN = dict(drawings())


def alike(one: str, other: str) -> bool:
    """The same text token by token, numbers within 0.005 mm: floating point differs between
    processors in the last digits."""
    if _NUMBER.sub("#", one) != _NUMBER.sub("#", other):
        return False
    pairs = zip(_NUMBER.findall(one), _NUMBER.findall(other), strict=True)
    return all(abs(float(a) - float(b)) <= 0.005 for a, b in pairs)


def test_gallery_holds_just_these_drawings() -> None:
    held = (*GALLERY.glob("*.svg"), *(p for p in GALLERY.glob("editions/*") if p.suffix not in (".pdf", ".png")))
    assert {p.relative_to(GALLERY).as_posix() for p in held} == set(DRAWN)


@pytest.mark.parametrize("name", sorted(DRAWN))
def test_drawing_is_not_stale(name: str) -> None:
    """If this fails: run `python gallery/rebuild.py`, look at what changed, commit it."""
    assert alike((GALLERY / name).read_text("utf-8"), DRAWN[name])


def test_a_moved_stitch_is_noticed() -> None:
    svg = DRAWN["borage-square.chart.svg"]
    at = svg.index('data-x="') + 8
    end = svg.index('"', at)
    moved = f"{svg[:at]}{float(svg[at:end]) + 0.02:.3f}{svg[end:]}"
    assert not alike(moved, svg)
