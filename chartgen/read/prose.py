"""Free words of a spec: notes, notions, finishing, and their translations.

`translations` gives words in another language beside the words they stand for:

    translations:
      es:
        Sorrel coaster: Posavasos de acedera

A language is named by its code (`es`, `es-LA`, `en-UK`); the region is looked up first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from collections.abc import Mapping as Table

from chartgen.problems import Span
from chartgen.read.document import Text
from chartgen.read.nodes import Mapping, Node, Scalar, Sequence
from chartgen.read.reading import Reading

Translations = dict[str, dict[str, str]]

_CODE = re.compile(r"[a-z]{2}(-[A-Z]{2})?")
_EXAMPLE = "es: {Thyme hat: Gorro de tomillo}"
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?|[½⅓⅔¼¾⅛⅜⅝⅞]")


def texts(reading: Reading, node: Node | None, key: str) -> Iterator[Text]:
    """One text, a list of texts, or keys with texts."""
    inside = (node.items if isinstance(node, Sequence)
              else [value for _, value in node.entries] if isinstance(node, Mapping)
              else [node] if node else [])
    for item in inside:
        if text := reading.text(item, key):
            yield text


def translations(reading: Reading, node: Node | None) -> Translations:
    """Words by language code and by the words of the pattern they stand for."""
    mapping = reading.mapping(node, "translations", _EXAMPLE)
    pattern = _words_outside(reading.source.text, node.span) if node is not None else ""
    found: Translations = {}
    for code, words in mapping.entries if mapping else ():
        if not _CODE.fullmatch(code.value):
            reading.say("R232", f"`{code.value}` is not the code of a language", code.span,
                        f"write the code of a language, as in `{_EXAMPLE}`")
        elif inner := reading.mapping(words, code.value, _EXAMPLE):
            found[code.value] = dict(_translated(reading, inner, pattern))
    return found


def _translated(reading: Reading, mapping: Mapping, pattern: str) -> Iterator[tuple[str, str]]:
    for key, node in mapping.entries:
        text = reading.text(node, key.value)
        if text is None:
            continue
        words = plainly(key.value)
        if words.casefold() not in pattern:
            reading.say("R233", f"the pattern does not say `{key.value}`", key.span,
                        "write the words of the pattern just as they stand there", severity="warning")
        _same_numbers(reading, key, text)
        yield words, text.value


def _same_numbers(reading: Reading, key: Scalar, text: Text) -> None:
    """A translation has the numbers of what it translates; a decimal comma is a point."""
    ours, theirs = numbers(key.value), numbers(text.value)
    if ours != theirs:
        reading.say("R234", f"the translation has the numbers {_listed(theirs)}, the words it stands for {_listed(ours)}",
                    text.span, "write the same numbers in both", severity="warning")


def numbers(words: str) -> list[str]:
    """The numbers in words, in order of size, with a decimal point."""
    return sorted(n.replace(",", ".") for n in _NUMBER.findall(words))


def _listed(found: list[str]) -> str:
    return ", ".join(found) or "none"


def plainly(words: str) -> str:
    """Words with single spaces, without the brackets around all of them and without a full stop."""
    said = " ".join(words.split()).rstrip(".")
    return said[1:-1] if said.startswith("(") and said.endswith(")") else said


def told_in(given: Table[str, Table[str, str]], code: str) -> dict[str, str]:
    """The words of one language: those of its region over those of the language."""
    return {**given.get(code.split("-")[0], {}), **given.get(code, {})}


def _words_outside(text: str, span: Span) -> str:
    """All the spec says outside `span`, in small letters and single spaces."""
    outside = text[: span.start] + " " + text[span.end :]
    return " ".join(outside.split()).casefold()
