"""Speaker: fills the frames of a language, and remembers which terms it used."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from chartgen.notation.tree import Number
from chartgen.read.prose import plainly
from chartgen.stitches import StitchKind
from chartgen.units import cm_text, inch_text
from chartgen.wording.language import Language, Term
from chartgen.wording.style import Style, style

_TERM = re.compile(r"<([\w ]+)>")
_FIRST = re.compile(r"^begin ")                            # "begin shell", the first of its round
_DEPTH_OF = re.compile(r"(.+) depth")
_WIDTH_AT = re.compile(r"width at (row|round|rnd) (\d+)")
# <chain> and <stitches> in a frame, for the terms that frames name most.
_NAMED = {"chain": ("stitches", "chain"), "chains": ("stitches", "chain"), "stitch": ("nouns", "stitch"), "stitches": ("nouns", "stitch"),
          "groups": ("nouns", "group"), "rows": ("terms_used", "row"), "rounds": ("terms_used", "round"),
          "space": ("nouns", "space"), "ring": ("nouns", "ring")}


@dataclass(frozen=True, slots=True)
class Noun:
    """A word with its gender, ready for a frame."""

    text: str
    gender: str = ""

    def __str__(self) -> str:
        return self.text


@dataclass
class Speaker:
    """Says things in one language for all sizes, or for one.

    Attributes:
        size: index of the one size written for; None for every size in the trade's list.
        style: the brackets of lists and repeats.
        parts: names of parts by their plain form, as places name them.  forms: "rows" or "rounds" of each.
        used: the terms said so far, by key.
        case: "of" while a place is said that another lies in, else "".
        missing: words that the language has no term for, left as the pattern has them.
        told: the pattern's own words in this language, by the words they stand for.
    """

    language: Language
    size: int | None = None
    style: Style = field(default_factory=style)
    parts: Mapping[str, str] = field(default_factory=dict)
    forms: Mapping[str, str] = field(default_factory=dict)
    used: dict[str, Term] = field(default_factory=dict)
    missing: dict[str, None] = field(default_factory=dict)
    case: str = ""
    told: Mapping[str, str] = field(default_factory=dict)

    @contextmanager
    def cased(self, case: str) -> Iterator[None]:
        """Places said meanwhile stand in a case, where the language has cases ("of": after "of")."""
        before, self.case = self.case, case
        try:
            yield
        finally:
            self.case = before

    def say(self, frame: str, n: Number | int = 1, form: str = "", **fields: object) -> str:
        """The frame `frame` with its fields and terms filled in. `n` decides between "one" and
        "other", `form` between other forms; a Noun in `what` gives the gender."""
        what = fields.get("what")
        gender = what.gender if isinstance(what, Noun) else ""
        text = _chosen(self.language.frames[frame], self.is_one(n), form, gender, self.case)
        filled = text.format(n=self.number(n), **fields)
        return self._contracted(self.terms_in(filled))

    def _contracted(self, text: str) -> str:
        """"de el" as "del", where the language draws such words together."""
        for apart, together in self.language.raw.get("contractions", {}).items():
            text = re.sub(rf"(?<!\w){apart}(?!\w)", together, text)
        return text

    def terms_in(self, text: str) -> str:
        """`text` with the terms it names in <angle brackets>."""
        return _TERM.sub(self._named, text)

    def _named(self, match: re.Match[str]) -> str:
        key = match[1]
        table = "stitches" if key in self.language.tables["stitches"] else "terms_used"
        table, name = _NAMED.get(key, (table, key))
        plural = key in ("stitches", "groups", "chains", "rows", "rounds")
        return self.word(table, name, plural).text

    def word(self, table: str, key: str, plural: bool = False) -> Noun:
        """A term of a table. KeyError where the language has none."""
        term = self.language.tables[table][key]
        self.used[term.key] = term
        return Noun(term.plural if plural else term.short, term.gender)

    def stitch(self, kind: StitchKind, plural: bool = False) -> Noun:
        """A kind of stitch; a stitch of the pattern's own under its own word."""
        if kind.own:
            return self.own(kind.own, plural)
        found = self.language.family(kind.family, kind.base, kind.legs) if kind.family else self.language.term("stitches", kind.id)
        if found is None:
            self.missing[kind.id] = None
            return Noun(kind.code)
        self.used[found.key] = found
        return Noun(found.plural if plural else found.short, found.gender)

    def own(self, word: str, plural: bool = False) -> Noun:
        """A word of the pattern's own: the language's, where it knows it, else as it is."""
        if plainly(word) in self.told:
            return Noun(self.told[plainly(word)])
        key = " ".join(word.lower().replace("-", " ").split())
        if key in self.language.tables["groups"]:
            return self.word("groups", key, plural)
        if not self.language.terms:
            self.missing[word] = None
        form = self.language.raw["own"]["plural"] if plural else "{word}"
        return Noun(form.format(word=_FIRST.sub("beginning ", word)))

    def part(self, plain: str) -> str:
        """The name of a part, as the pattern spells it or has it translated."""
        return self.prose(self.parts.get(plain, plain))

    def page(self, frame: str, n: int = 1, /, **fields: object) -> str:
        """A frame of the page outside the rows."""
        text = _chosen(self.language.raw["page"][frame], n == 1, "", "")
        return self.terms_in(text.format(**{"n": n, **fields}))

    def prose(self, words: str) -> str:
        """The designer's own words: as the spec has them in this language, else as they are,
        and in another language noted as missing."""
        if plainly(words) in self.told:
            return self.told[plainly(words)]
        if not self.language.terms and words:
            self.missing[words] = None
        return words

    def sizes(self, names: Sequence[str]) -> tuple[str, ...]:
        """Names of sizes; figures and letters (6, XL) are the same in every language."""
        return tuple(self.prose(name) if re.search(r"[^\W\d_]{4,}|[a-z]{2,}", name) else name for name in names)

    def dimension(self, name: str) -> str:
        """A dimension or an edge by the language's word: "armhole depth", "width at row 12"."""
        named = self.language.raw["dimensions"]
        if name in named:
            return str(named[name])
        if at := _WIDTH_AT.fullmatch(name):
            form = "rows" if at[1] == "row" else "rounds"
            frame = self.language.raw["page"]["dimension.at"]
            return self.terms_in(_chosen(frame, False, form, "").format(n=at[2]))
        if (of := _DEPTH_OF.fullmatch(name)) and (phrase := self.language.raw["drawing"].get("{part} depth")):
            return str(phrase).format(part=self._own_in_small(of[1]))
        return self.prose(name)

    def _own_in_small(self, words: str) -> str:
        """Words of the pattern's own that a dimension has in small letters: "border" of "Border"."""
        return next((told for own, told in self.told.items() if own.lower() == words), None) or self.prose(words)

    def sentence(self, words: str) -> str:
        """With a capital and a full stop."""
        stop = self.language.frames["stop"]
        return words[:1].upper() + words[1:] + ("" if words.endswith(stop) else stop)

    # ---- numbers

    def number(self, n: Number | int) -> str:
        if isinstance(n, int):
            return str(n)
        if self.size is not None:
            return str(n.of(self.size))
        return self.in_sizes([str(v) for v in n.values])

    def in_sizes(self, texts: Sequence[str]) -> str:
        """One entry per size as the style lists them: "12 (14, 16)"; once where all agree."""
        if self.size is not None and len(texts) > 1:
            return texts[self.size]
        if len(set(texts)) <= 1:
            return texts[0] if texts else ""
        before, after = self.style.sizes
        return f"{texts[0]} {before}{self._between(texts).join(texts[1:])}{after}"

    def _between(self, texts: Sequence[str]) -> str:
        """What parts the further sizes: a comma that is no decimal comma."""
        between = self.style.between
        comma = self.language.raw["numerals"]["decimal"] == "," and any("." in text for text in texts)
        return between.replace(",", ";") if comma else between

    def is_one(self, n: Number | int) -> bool:
        if isinstance(n, int):
            return n == 1
        return n.of(self.size) == 1 if self.size is not None else set(n.values) == {1}

    def ordinal(self, value: int, gender: str = "") -> str:
        forms = self.language.raw["ordinal"]
        form = forms.get("except", {}).get(value) or forms.get("ends", {}).get(value % 10) or forms["other"]
        return (_chosen(form, False, "", gender)).format(n=value)

    def times(self, n: Number, more: bool = False) -> str:
        """"twice", "3 times", "2 more times"; per size where the number is."""
        forms = self.language.raw["more_times" if more else "times"]
        alone = len(set(n.values)) == 1 or self.size is not None
        form = forms.get(n.of(self.size or 0)) if alone else None
        return (form or forms["other"]).format(n=self.number(n))

    def length(self, cm: Sequence[Fraction]) -> str:
        """A length, one value or one per size, rounded once, in the units of the language."""
        metric = self.decimal(self.in_sizes([cm_text(v) for v in cm]))
        return self.page("length", cm=metric, **{"in": self.in_sizes([inch_text(v) for v in cm])})

    def decimal(self, text: str) -> str:
        """A number printed with a point, with the language's decimal sign."""
        return re.sub(r"(?<=\d)\.(?=\d)", self.language.raw["numerals"]["decimal"], text)

    def listed(self, words: Sequence[str], last: str) -> str:
        """"a, b and c", by the frames `list` and `last`."""
        if len(words) < 2:
            return "".join(words)
        return self.say(last, list=self.language.frames["list"].join(words[:-1]), last=words[-1])


def _chosen(frame: str | Mapping[str, Any], one: bool, form: str, gender: str, case: str = "") -> str:
    """The form of a frame for a way of working, a number, a gender and a case, nearest first."""
    if isinstance(frame, str):
        return frame
    number = "one" if one else "other"
    cased = (f"{case}.{gender}", case) if case else ()
    for key in (form, *cased, f"{number}.{gender}", gender, number, "other"):
        if key and key in frame:
            return _chosen(frame[key], one, form, gender, case)
    return next(iter(frame.values()))
