"""Languages are data: no word of the trade is in the program, and each term has its source."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from written import Worked, lines, worked

from chartgen.pipeline import compile_spec
from chartgen.stitches import registry
from chartgen.wording.language import (
    FOLDER,
    Language,
    from_raw,
    language,
    languages,
    load,
)
from chartgen.wording.page import Page, Rows
from chartgen.wording.pattern import write_pattern
from chartgen.wording.plain import to_text
from chartgen.wording.style import style, styles

ROOT = Path(__file__).resolve().parent.parent
SPECS = sorted((ROOT / "specs").glob("*.yaml"))
PATTERNS = [*SPECS, *(spec for folder in ("corpus", "pieces") for spec in sorted((ROOT / "tests" / folder).glob("*.yaml")))]
TABLES = ("stitches", "nouns", "terms_used", "groups")
WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")


@cache
def page(path: Path, said_in: str = "en-US", house: str = "leaflet") -> Page:
    return written(path, language(said_in), house)


compiled = cache(compile_spec)


@cache
def read_and_worked(path: Path) -> Worked:
    return worked(path.read_text("utf-8"))


def written(path: Path, said_in: Language, house: str = "leaflet") -> Page:
    c = compiled(path)
    assert c.document is not None and c.instructions is not None and c.drawable
    return write_pattern(c.document, c.instructions, c.fabrics, c.measures, c.cautions, said_in, style(house))


# ---- a language made up here


def made_up() -> Language:
    """English with every term in brackets under its key, and every other word as a tilde."""
    raw = load(FOLDER / "en-US.yaml")
    for table in TABLES:
        for key, entry in raw[table].items():
            entry.update(short=f"‹{key}›", plural=f"‹{key}›")
            entry.update({"name": f"‹{key}›"} if "name" in entry else {})
    for key, rule in raw["families"].items():
        rule.update(short=f"‹{key}›", plural=f"‹{key}›", name=f"‹{key}›")
    for key in ("frames", "page", "times", "more_times", "ordinal", "number_words", "how", "closings"):
        raw[key] = _blank(raw[key])
    raw.update(code="zz", terms="", weights={}, hook_letters={}, own={"plural": "{word}"}, weights_source="")
    return from_raw(raw)


def _blank(value: Any) -> Any:
    """The frames with their own words as tildes; {fields} and <terms> stay."""
    if isinstance(value, dict):
        return {k: _blank(v) for k, v in value.items()}
    if not isinstance(value, str):
        return value
    parts = re.split(r"(\{[\w ]+\}|<[\w ]+>)", value)
    return "".join(p if i % 2 else WORD.sub("~", p) for i, p in enumerate(parts))


@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_no_word_of_the_trade_is_in_the_program(path: Path) -> None:
    """In a language of bracketed terms, all that is left are the designer's own words."""
    c = compiled(path)
    assert c.document is not None
    own = {str(s.name) for s in c.document.stitches} | {y.key for y in c.document.yarn}
    own |= {str(p.name) for piece in c.document.pieces for p in (piece, *piece.parts)} | {*c.document.sizes}
    allowed = {w for words in own for w in WORD.findall(words)} | {"sp", "bl"}   # "(sp made)": a name of the pattern's
    for section in written(path, made_up()).sections:
        if section.key != "instructions":
            continue
        text = re.sub(r"‹[^›]*›", "", to_text(Page("zz", "", (), (section,))))
        assert {w for w in WORD.findall(text) if w != "~"} - {"~"} - allowed <= {section.heading.upper()}


def test_the_made_up_language_brackets_every_term() -> None:
    """What it looks like, in full, for one round."""
    text = to_text(written(ROOT / "specs" / "sorrel-coaster.yaml", made_up()))
    assert "‹round› 2: ‹Chain› 3, ‹double_crochet› ~ ~ ‹stitch›, 2 ‹double_crochet› ~ ~ ‹stitch› ~; ~. (24 ‹double_crochet›)" in text


# ---- the files


@pytest.mark.parametrize("code", languages())
def test_a_language_has_every_word(code: str) -> None:
    """Each has what US English has: all terms, all frames; a term names its source and how sure it is."""
    found, english = language(code), language("en-US")
    assert set(found.frames) == set(english.frames)
    assert set(found.raw["page"]) == set(english.raw["page"])
    for table in ("stitches", "nouns", "terms_used"):
        assert set(found.tables[table]) == set(english.tables[table])
    assert {k.id for k in registry().simple.values()} == set(found.tables["stitches"])
    assert {*registry().simple, *registry().families, "single_crochet x", "group", "said"} == set(found.raw["signs"])
    assert all(set(re.findall(r"\{(\w+)\}", found.raw["signs"][k])) == set(re.findall(r"\{(\w+)\}", english.raw["signs"][k])) for k in found.raw["signs"])
    for term in (t for table in TABLES for t in found.tables[table].values()):
        assert term.source and term.source not in found.raw["sources"], f"{term.key}: source is no title"
        assert term.confidence in ("read", "secondary", "memory")


# Two names of one thing: "cl" is short for cluster, and a popcorn may be defined by the pattern; a row
# is the same where it is counted and where its number names it.
SAME = [{"groups.cluster", "groups.cl"}, {"groups.popcorn", "families.popcorn:double_crochet:5"},
        {"nouns.row", "terms_used.row"}, {"nouns.round", "terms_used.round"}]


@pytest.mark.parametrize("code", languages())
def test_no_word_has_two_meanings(code: str) -> None:
    """Short forms, plurals and names of a language are each of one thing: stitches, their families, words."""
    said_in, meant = language(code), {}
    terms = [t for table in TABLES for t in said_in.tables[table].values()]
    for family, rule in registry().families.items():
        legs = rule["legs"]
        numbers = (legs["least"],) if legs.get("most") == legs["least"] or legs["least"] == 1 else (legs["least"], 5)
        terms += [t for base in rule["of"] for n in numbers if (t := said_in.family(family, base, n))]
    for term in terms:
        for word in {term.short, term.plural, term.name} - {""}:
            meant.setdefault(word, set()).add(term.key)
    assert {w: keys for w, keys in meant.items() if len(keys) > 1 and keys not in SAME} == {}


@pytest.mark.parametrize("code", ["es-ES", "es-LA"])
def test_spain_and_latin_america_are_kept_apart(code: str) -> None:
    """"medio punto" is a single crochet on the River Plate and no stitch's name in Spain; "punto alto" and
    "punto medio alto" are Spain's (legend of elrincondemaryjoe.blogspot.com, 2015; symbol guide of
    dailygamebonus.com). Each edition names the other region's words beside its own."""
    names = {t.name for t in language(code).tables["stitches"].values()}
    ours, theirs = {"es-ES": ({"punto alto", "punto medio alto"}, {"medio punto", "vareta"}),
                    "es-LA": ({"medio punto", "vareta"}, {"punto alto", "punto medio alto"})}[code]
    assert ours <= names and not theirs & names
    told = " ".join(other for _, other in language(code).raw["equivalents"])
    assert all(word in told for word in theirs)


@pytest.mark.parametrize("code", languages())
def test_frames_have_the_fields_they_are_filled_with(code: str) -> None:
    """A frame asks for no field that the English one does not know."""
    english = language("en-US").frames
    for key, frame in language(code).frames.items():
        assert _fields(frame) <= _fields(english[key]) | {"n"}, key


@pytest.mark.parametrize(("code", "one", "two"), [
    ("de", "1 Lm (zählt nicht", "2 Lm (zählen nicht"), ("es-ES", "1 cad (no cuenta", "2 cad (no cuentan"), ("fr", "1 ml (ne compte", "2 ml (ne comptent"),
])  # fmt: skip
def test_one_chain_counts_and_two_count(code: str, one: str, two: str) -> None:
    """Verbs agree with the number of chains (grammar of each language, no source)."""
    assert one in to_text(page(ROOT / "specs" / "chamomile-bootee.yaml", code))
    assert two in to_text(page(ROOT / "specs" / "thyme-hat.yaml", code))


def test_german_has_no_comma_after_the_yarn() -> None:
    """"Mit A einen Fadenring bilden": an adverbial before the verb is not set off (grammar, no source)."""
    assert "Mit A einen Fadenring bilden." in to_text(page(ROOT / "specs" / "thyme-hat.yaml", "de"))


def _fields(frame: Any) -> set[str]:
    if isinstance(frame, dict):
        return set().union(*map(_fields, frame.values()))
    return set(re.findall(r"\{(\w+)\}", frame))


@pytest.mark.parametrize(("code", "terms"), [("en-US", "US"), ("en-UK", "UK")])
def test_english_stitches_are_those_the_notation_reads(code: str, terms: str) -> None:
    """The words written are the words read: each short form means its stitch in those terms."""
    for kind in registry().simple.values():
        term = language(code).term("stitches", kind.id)
        assert term is not None and registry().find(term.short, terms) is kind
        assert registry().find(term.name, terms) is kind
    for family, rule in registry().families.items():
        for base in rule["of"]:
            made = registry().made(family, base, max(rule["legs"]["least"], 2 if family == "together" else rule["legs"]["least"]))
            term = language(code).family(family, base, made.legs)
            assert term is not None and registry().find(term.short, terms) is made


@pytest.mark.parametrize(
    ("us", "uk"),
    [("sc", "dc"), ("hdc", "htr"), ("dc", "tr"), ("tr", "dtr"), ("dtr", "trtr"), ("ch", "ch"), ("sl st", "ss")],
)
def test_us_and_uk_pairs(us: str, uk: str) -> None:
    """Crochet stitch, hook and yarn conversions (PDF table of a yarn shop): US beside UK."""
    kind = registry().find(us, "US")
    assert kind is not None
    assert language("en-US").term("stitches", kind.id).short == us
    assert language("en-UK").term("stitches", kind.id).short == uk


@pytest.mark.parametrize(("us", "uk"), [("skip", "miss"), ("yo", "yrh"), ("gauge", "tension")])
def test_other_words_of_the_two(us: str, uk: str) -> None:
    """"Reading English crochet patterns", ruleofthejewel.blog, 2023 (skip and miss, gauge and
    tension); Shawls book, Interweave, 2015 (yrh)."""
    key = {"skip": "skip", "yo": "yarn_over", "gauge": "tension"}[us]
    assert [language(c).term("terms_used", key).short for c in ("en-US", "en-UK")] == [us, uk]


# ---- the same pattern in each


@pytest.mark.parametrize("code", [c for c in languages() if c != "en-US"])
@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_numbers_are_equal_in_every_language(path: Path, code: str) -> None:
    """Row for row the same numbers: labels and counts exactly; in instructions those above two,
    since "once", "twice" and "first" are words in one language and numbers in another."""
    first = read_and_worked(path)
    for one, other in zip(_rows(first, "en-US"), _rows(first, code), strict=True):
        assert _numbers(one.label) == _numbers(other.label) and _numbers(one.counts) == _numbers(other.counts)
        assert sorted(n for n in _numbers(one.words) if n > 2) == sorted(n for n in _numbers(other.words) if n > 2)


@pytest.mark.parametrize("code", [c for c in languages() if c != "en-US"])
@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_measures_are_equal_in_every_language(path: Path, code: str) -> None:
    """Sizes, materials and gauge: the same centimetres, counts and grams, with a decimal comma or a point."""
    def figures(said_in: str) -> list[list[str]]:
        sections = [s for s in page(path, said_in).sections if s.key in ("finished", "materials", "gauge")]
        texts = [to_text(Page(said_in, "", (), (s,))) for s in sections]
        metric = [re.sub(r" / [^\n/]*? (?:in|yd)\b|\([A-Z]-?\d+½?\)|\(7\)", "", t) for t in texts]
        return [re.findall(r"\d+(?:\.\d+)?", re.sub(r"(?<=\d),(?=\d)", ".", t)) for t in metric]

    assert figures(code) == figures("en-US")


@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_two_houses_say_the_same_counts(path: Path) -> None:
    """Row for row the same numbers at the end, and the same sections: order, brackets and wording differ."""
    houses = [written(path, language("en-US"), house) for house in styles()]
    assert len({frozenset(s.key for s in one.sections) for one in houses}) == 1
    counts = [[_numbers(line.counts) for s in one.sections for b in s.blocks if isinstance(b, Rows) for line in b.lines] for one in houses]
    assert len(houses) > 1 and all(c == counts[0] for c in counts)


def _rows(pattern: Any, code: str) -> list[Any]:
    """Rows without the designer's notes, which another language leaves out."""
    return [line for part in lines(pattern, language(code), notes=False) for line in part]


def _numbers(text: str) -> list[int]:
    """The numbers in a text, "three times" among them."""
    for value, word in language("en-US").raw["number_words"].items():
        text = text.replace(f"{word} times", f"{value} times")
    return [int(n) for n in re.findall(r"\d+", text)]


@pytest.mark.parametrize("house", styles())
@pytest.mark.parametrize("code", languages())
@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_abbreviations_listed_are_those_used(path: Path, code: str, house: str) -> None:
    """Each listed short form stands in the text, and each short form in the text is listed."""
    found = page(path, code, house)
    listed = {short for s in found.sections if s.key == "abbreviations" for pair in s.blocks[0].pairs for short in pair[0].split(", ")}
    text = to_text(Page(code, "", (), tuple(s for s in found.sections if s.key not in ("abbreviations", "equivalents"))))
    known = {
        form: term.key for table in TABLES for term in language(code).tables[table].values() if term.name
        for form in {term.short, term.plural}
    }  # fmt: skip
    text = re.sub(r"= \d+ m\b", "", text)                                     # metres of a ball of yarn
    for form in sorted((f for f in known if any(_says(f, g) for g in known if g != f)), key=len, reverse=True):
        # "st" is not said in "sl st"
        text = re.sub(rf"(?<![\w-])(?i:{re.escape(form)})(?![\w])", f"\0{known[form]}\0", text)
    groups = {key: {f for f, k in known.items() if k == key} for key in known.values()}
    used = {key for key, forms in groups.items() if f"\0{key}\0" in text or any(_says(text, f) for f in forms)}
    assert {known[short] for short in listed if short in known} == used


def _says(text: str, form: str) -> bool:
    return re.search(rf"(?<![\w-])(?i:{re.escape(form)})(?![\w]|-(?=[^\W\d]))", text) is not None
