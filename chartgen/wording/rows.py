"""A row of instructions in words: its label, what is done, its counts."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import cached_property

from chartgen.notation.tree import Count, Made, Note, Number, PartText, RowText, Target
from chartgen.wording.phrases import Phrases
from chartgen.wording.speaker import Speaker

_SIDES = ("RS", "WS")
_COUNTED = {"sts": "any", "ch": "chain", "stitch": "stitch", "space": "space", "group": "group"}


@dataclass(frozen=True, slots=True)
class Line:
    """One row as written: `label` "Row 1 (RS):", `words`, `counts` without brackets.

    Attributes:
        first, last: number of its first and last row in each size; None for words without header.
    """

    label: str
    words: str
    counts: str
    first: Number | None = None
    last: Number | None = None


@dataclass(frozen=True)
class Lines:
    """Writes the rows of a part."""

    speaker: Speaker
    sizes: tuple[str, ...] = ()
    note: Callable[[Note | Made], str] = lambda note: f"({note.text})"

    def part(self, part: PartText) -> list[Line]:
        return [
            self.row(part, text) for text in part.rows
            if not (text.only_sizes and self.speaker.size is not None and self.speaker.size not in text.only_sizes)
        ]

    def row(self, part: PartText, text: RowText) -> Line:
        phrases = Phrases(self.speaker, text.form or part.worked, self.note)
        language = self.speaker.language
        words = sentences(phrases.items(text.items), language.frames["stop"], self._small)
        return Line(self._label(phrases, text), words, self._counts(phrases, text), text.first, text.last)

    @cached_property
    def _small(self) -> frozenset[str]:
        """Short forms that stay as they are at the beginning of a sentence, where the language says so."""
        if self.speaker.language.raw.get("capitals", True):
            return frozenset()
        terms = (term for table in self.speaker.language.tables.values() for term in table.values())
        return frozenset(form.split()[0] for term in terms for form in (term.short, term.plural))

    # ---- the label

    def _label(self, phrases: Phrases, text: RowText) -> str:
        asides = self._asides(text)
        key = "round" if phrases.worked == "rounds" else "row"
        if text.next_rows is not None:
            row = self.speaker.word("terms_used", key, not self.speaker.is_one(text.next_rows))
            return self.speaker.say("header.next", text.next_rows, row=row, asides=asides)
        if text.first is None or text.last is None:
            return ""
        return self.speaker.say("header", rows=self._numbers(phrases, text, key), asides=asides)

    def _numbers(self, phrases: Phrases, text: RowText, key: str) -> str:
        if text.listed:
            row = self.speaker.word("terms_used", key, plural=True)
            said = [self.speaker.number(n) for n in text.listed]
            return self.speaker.say("header.list", row=row, list=self.speaker.language.frames["list"].join(said[:-1]), last=said[-1])
        first, last = self.speaker.number(text.first), self.speaker.number(text.last)
        if first == last:
            return self.speaker.say("header.one", text.first, row=self.speaker.word("terms_used", key))
        return self.speaker.say("header.range", row=self.speaker.word("terms_used", key, plural=True), first=first, last=last)

    def _asides(self, text: RowText) -> str:
        said = ""
        if text.side in _SIDES:
            said += self.speaker.say("aside", what=self.speaker.word("terms_used", text.side))
        if text.only_sizes and self.speaker.size is None:
            names = [self.sizes[i] for i in text.only_sizes]
            sizes = self.speaker.listed(names, "aside.sizes.and")
            said += self.speaker.say("aside", what=self.speaker.say("aside.sizes", len(names), list=sizes))
        return said

    # ---- the counts

    def _counts(self, phrases: Phrases, text: RowText) -> str:
        said = self.speaker.language.frames["list"].join(filter(None, (self._count(phrases, c) for c in text.counts)))
        if not said or text.counts_at is None:
            return said
        return self.speaker.say("counts.at" if text.counts_at else "counts.last", text.counts_at, form=phrases.worked, counts=said)

    def _count(self, phrases: Phrases, count: Count) -> str:
        many = not self.speaker.is_one(count.n)
        if count.what not in _COUNTED:
            what = self.speaker.own(count.name) if count.name else self.speaker.word("nouns", "stitch", many)
        else:
            target = Target(_COUNTED[count.what], count.stitch, count.size, count.name)
            what = phrases.places.target(target, plural=many)
        return f"{self.speaker.number(count.n)} {what}"


def sentences(words: str, stop: str, small: Collection[str] = ()) -> str:
    """Sentences with their first letters large, but for words of `small`, and a full stop."""
    said = ". ".join(s if s.split(" ")[0].lstrip("*([") in small else _capital(s) for s in words.split(". "))
    return said + stop if said and not said.endswith((stop, ":")) else said


def _capital(words: str) -> str:
    """The first letter large, past stars and brackets; a sentence that begins with a number stays."""
    at = next((i for i, c in enumerate(words) if c.isalnum()), 0)
    return words[:at] + words[at : at + 1].upper() + words[at + 1 :]


def one_size(texts: Sequence[RowText], size: int) -> list[RowText]:
    """The rows that one size works."""
    return [t for t in texts if not t.only_sizes or size in t.only_sizes]


__all__ = ["Line", "Lines", "one_size", "sentences"]
