"""Notes of the pattern: free words, kept as the designer wrote them or left out."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from chartgen.notation.tree import Made, Note
from chartgen.read import Document
from chartgen.read.prose import plainly
from chartgen.stitches import registry


def source_notes(
    document: Document, terms: str, left_out: dict[str, None] | None = None, translated: Mapping[str, str] = MappingProxyType({}),
) -> Callable[[Note | Made], str]:  # fmt: skip
    """Says a note just as it stands in the spec, brackets and capitals included.

    Args:
        terms: of the language written in; "" for one that is not English. A note that would
            mean another stitch there, or in another language, is left out ("") and listed
            in `left_out`: nothing is translated by machine. Which side faces and where a marker is placed, the language says itself.
        translated: the notes as the spec has them in the language written in.
    """
    text = document.source.text
    told = {} if left_out is None else left_out

    def say(note: Note | Made) -> str:
        words = " ".join(text[note.span.start : note.span.end].split()).rstrip(".")
        if plainly(words) in translated:
            return _like(words, translated[plainly(words)].rstrip("."))
        if not terms or terms != document.terms and _names_a_stitch(words, document.terms, terms):
            if not (isinstance(note, Note) and (note.facing or note.marks)):
                told[words] = None
            return ""
        return words

    return say


def _like(words: str, translated: str) -> str:
    """A translation in brackets where the words are."""
    return f"({translated})" if words.startswith("(") and words.endswith(")") else translated


def _names_a_stitch(words: str, terms: str, other: str) -> bool:
    """Does a word name a stitch that is called otherwise in `other` terms?"""
    known, there = registry().words(terms), registry().words(other)
    return any(w in known and there.get(w) != known[w] for w in re.findall(r"[a-z]+(?:\d+[a-z]+)?", words.lower()))
