"""Headings over rows: "To Shape Armholes:", and those that stand on the line of the first of them: "Front Edging - 1st rnd:"."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.notation.words import Token, vocabulary

_LONGEST = 5
_SIGNS = (":", "-", ".")
_AIMS = ("to", "for")


def heads_rows(words: Sequence[Token]) -> bool:
    """Is it a heading and nothing else: "Left Front:", "Neck Edging -"?"""
    return 1 < len(words) <= _LONGEST + 1 and words[-1].word in (":", "-") and _named(words[:-1])


def after_heading(words: Sequence[Token]) -> int:
    """Where "Row 1:", "1st rnd:" or "next row:" begins behind a heading on the same line ("To shape armholes, next row:");
    0 where there is none."""
    signs = (*_SIGNS, ",") if words and words[0].text in _AIMS else _SIGNS
    at = next((k for k, t in enumerate(words[: _LONGEST + 1]) if t.word in signs), 0)
    numbered = words[at + 1 : at + 3]
    kinds = {t.kind for t in numbered} in ({"word", "number"}, {"ordinal", "word"}) or [t.text for t in numbered[:1]] == ["next"]
    row = kinds and any(t.word in ("row", "round") for t in numbered)
    ends = any(t.word == ":" for t in words[at + 3 : at + 7])
    return at + 1 if at and row and ends and _named(words[:at]) else 0


def tells_of_strands(words: Sequence[Token]) -> bool:
    """ "Fringe: Cut 4 strands 12 inches long, knot in every 3rd st": said of yarn that is cut and knotted in, and no row;
    a fringe that is crocheted ("Fringe: Ch 20, …") is one. Nor is a cord of a length, and of no number of chains."""
    said, known = [t.text for t in words], vocabulary()["strands"]
    return bool(said) and said[0] in known["things"] and bool(set(said) & set(known["told"])) and not set(said) & set(known["not"])


def _named(words: Sequence[Token]) -> bool:
    """Words that name a place of the piece, not a row, "Row:", "Rwo:", nor "Repeat" or "With A"."""
    rows = any(t.word in ("row", "round", "repeat") for t in words)
    return not rows and all(t.kind == "word" for t in words) and len(words[0].text) > 1
