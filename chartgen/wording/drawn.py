"""The words of drawings, in the language a drawing is made for.

What draws says its words in English through `said`, `named`, `told` and `dimension`; while a
drawing is made `speaking` another language, each comes out as the language file has it:

    said("rep: {n} sts", n=6)          the phrase under `drawing`, its fields filled in
    named(kind, "US")                  short form and name of a stitch
    dimension("neck depth")            the language's word under `dimensions`
    told("Back")                       the pattern's own words, as the spec has them translated

English is as it is written there, with the stitches in the pattern's own terms.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field

from chartgen.problems import Problem
from chartgen.read.prose import told_in
from chartgen.stitches import StitchKind
from chartgen.units import in_sizes
from chartgen.wording.cautions import cautioned
from chartgen.wording.language import Language, language, languages
from chartgen.wording.speaker import Speaker


@dataclass(frozen=True)
class Captions:
    """A language other than English, and the pattern's own words in it."""

    language: Language
    own: Mapping[str, str] = field(default_factory=dict)

    @property
    def speaker(self) -> Speaker:
        return Speaker(self.language, told=self.own)

    def phrase(self, phrase: str) -> str:
        return str(self.language.raw["drawing"].get(phrase, phrase))


_NOW: ContextVar[Captions | None] = ContextVar("captions", default=None)


@contextmanager
def speaking(code: str, translations: Mapping[str, Mapping[str, str]]) -> Iterator[None]:
    """Drawings made meanwhile are in this language; "": in English, as they are written."""
    with speaking_in(language(code) if code else None, told_in(translations, code)):
        yield


@contextmanager
def speaking_in(spoken: Language | None, own: Mapping[str, str]) -> Iterator[None]:
    """`speaking`, for a language that is no file."""
    token = _NOW.set(Captions(spoken, own) if spoken is not None and not spoken.terms else None)
    try:
        yield
    finally:
        _NOW.reset(token)


def said(phrase: str, **fields: object) -> str:
    """A phrase with its fields filled in."""
    now = _NOW.get()
    text = phrase if now is None else now.phrase(phrase)
    text = text.format(**fields) if fields else text
    return text if now is None else now.speaker.terms_in(text)


def named(kind: StitchKind, terms: str) -> tuple[str, str]:
    """Short form and full name of a stitch."""
    now = _NOW.get()
    if now is None:
        short, name = kind.names[terms]
        return kind.own or _as_written(kind, terms) or short, name
    speaker = now.speaker
    short = speaker.stitch(kind).text
    full = next((term.name for term in speaker.used.values() if term.name), "")
    return short, full or (speaker.own(kind.own).text if kind.own else "")


def spoken(kind: StitchKind, terms: str, many: bool = False) -> str:
    """The full name of a stitch, as it is read aloud: "double crochet", "chains"."""
    now = _NOW.get()
    speaker = now.speaker if now is not None else Speaker(language(_english(terms)))
    if kind.own:
        return speaker.own(kind.own, many).text
    name = kind.names[terms][1] if now is None else named(kind, terms)[1] or speaker.stitch(kind, many).text
    return str(speaker.language.raw["editions"]["plurals"].get(name, name)) if many else name


def _english(terms: str) -> str:
    code = f"en-{terms}"
    return code if code in languages() else "en-US"


def _as_written(kind: StitchKind, terms: str) -> str:
    """The short form of a stitch that a family makes, as the written pattern has it: "5-dc bobble"."""
    code = f"en-{terms}"
    term = language(code).family(kind.family, kind.base, kind.legs) if kind.family and code in languages() else None
    return term.short if term else ""


def terms_said(terms: str) -> str:
    """Whose names of stitches these are: "US terms"."""
    now = _NOW.get()
    if now is None:
        return f"{terms} terms"
    return str(now.language.name)


def told(words: str) -> str:
    """Words of the pattern's own: a title, the name of a piece, of a yarn, of a size."""
    now = _NOW.get()
    return words if now is None else now.speaker.prose(words)


def dimension(name: str) -> str:
    """A dimension or an edge by its name in the program."""
    now = _NOW.get()
    return name if now is None else now.speaker.dimension(name)


def side(name: str) -> str:
    """RS or WS."""
    now = _NOW.get()
    return name if now is None or not name else now.speaker.word("terms_used", name).text


def side_spoken(name: str) -> str:
    """RS or WS in full: "right side"."""
    now = _NOW.get()
    term = (language("en-US") if now is None else now.language).tables["terms_used"][name]
    return term.name or term.short


def length(cm: Sequence[str], inches: Sequence[str]) -> tuple[str, ...]:
    """A length in every size, as lines of words: cm, and inches where the language has them."""
    now = _NOW.get()
    if now is None:
        return f"{in_sizes(cm)} cm", f"{in_sizes(inches)} in"
    metric = now.speaker.decimal(now.speaker.in_sizes(cm))
    return tuple(f"{lengths} {unit}" for lengths, unit in zip((metric, in_sizes(inches)), units(), strict=False))


def decimal(text: str) -> str:
    """Numbers with the language's decimal sign."""
    now = _NOW.get()
    return text if now is None else now.speaker.decimal(text)


def units() -> tuple[str, ...]:
    """The units lengths are given in."""
    now = _NOW.get()
    return ("cm", "in") if now is None or now.language.raw["inches"] else ("cm",)


def sizes_said(texts: Sequence[str]) -> str:
    """One entry per size, as the trade lists them."""
    now = _NOW.get()
    return in_sizes(texts) if now is None else now.speaker.in_sizes(texts)


def warned(problem: Problem) -> tuple[str, str]:
    """The message and the help of a caution."""
    now = _NOW.get()
    return (problem.message, problem.help) if now is None else cautioned(problem, now.language.raw["cautions"])


__all__ = ["Captions", "decimal", "dimension", "length", "named", "said", "side", "side_spoken", "spoken", "speaking", "speaking_in", "sizes_said", "terms_said", "told", "units", "warned"]
