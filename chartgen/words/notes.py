"""Notes of the pattern: free words, kept as the designer wrote them."""

from __future__ import annotations

from collections.abc import Callable

from chartgen.notation.tree import Note
from chartgen.read import Document


def source_notes(document: Document) -> Callable[[Note], str]:
    """Says a note just as it stands in the spec, brackets and capitals included."""
    text = document.source.text

    def say(note: Note) -> str:
        return " ".join(text[note.span.start : note.span.end].split()).rstrip(".") or f"({note.text})"

    return say
