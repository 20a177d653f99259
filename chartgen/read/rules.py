"""Counts worked out from measures: `BODY: around head less 2.5 cm, multiple of 8`.

    rule      = amount ["in" ("sts" | "rows") ["of" stitch]] {"," condition}
    amount    = term {("plus" | "less") term}
    term      = [share] base ["times" n | "divided by" n]
    share     = "half of" | "a third of" | "a quarter of" | n "%" "of" | n "/" n "of"
    base      = ("around" | "across" | "along") measure | NAME | lengths | whole numbers | n "%"
    condition = "multiple of" n ["plus" n | "less" n] | "even" | "odd" | "at least" n
              | "at most" n | "rounded" ("up" | "down") | "nearest" | "ease" n "to" n unit
              | "uneven since" words                (why its steps from size to size are not even)

Numbers may be one per size. No word here is code: a rule is arithmetic said aloud.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from chartgen.problems import Span
from chartgen.read import values
from chartgen.read.document import CountRule, Term, Text
from chartgen.read.nodes import Scalar
from chartgen.read.reading import Reading
from chartgen.units import NUMBER_PATTERN, UNIT_NAMES, number, to_cm

_TELLS_A_RULE = re.compile(
    r"\b(?:around|across|along|less|plus|multiple|times|divided|half|third|quarter|of|even|odd|"
    r"rounded|rows|ease|cm|mm|in|uneven)\b|%|\b[A-Z]{2,}\b")
_SIGN = re.compile(r"\s+(plus|less|minus)\s+", re.IGNORECASE)
_UNIT_OF_COUNT = re.compile(
    r"\s+in\s+(?P<unit>sts|stitches|rows|rounds|rnds)(?:\s+of\s+(?P<stitch>\S[^,]*))?\s*$", re.IGNORECASE)
_NUMBER = rf"(?:{NUMBER_PATTERN})"
_SHARE = re.compile(
    rf"(?:(?P<word>half|a half|one half|a third|one third|two thirds|a quarter|one quarter|three quarters|"
    rf"an eighth)(?:\s+of)?|(?P<percent>{_NUMBER})\s*%\s*of|(?P<top>\d+)/(?P<bottom>\d+)\s+of)\s+",
    re.IGNORECASE)
_SHARES = {"half": "1/2", "a half": "1/2", "one half": "1/2", "a third": "1/3", "one third": "1/3",
           "two thirds": "2/3", "a quarter": "1/4", "one quarter": "1/4", "three quarters": "3/4",
           "an eighth": "1/8"}
_SCALE = re.compile(rf"\s+(?P<how>times|divided by)\s+(?P<n>{_NUMBER})\s*$", re.IGNORECASE)
_MEASURE = re.compile(r"(?P<way>around|across|along)\s+(?:the\s+)?(?P<what>[A-Za-z][A-Za-z ]*)", re.IGNORECASE)
_NAME = re.compile(r"[A-Z][A-Z]+")
_PERCENT = re.compile(rf"({_NUMBER})\s*%")
_MULTIPLE = re.compile(r"(?:a )?multiple of (\d{1,4})(?: (plus|less|minus) (\d{1,4}))?", re.IGNORECASE)
_BOUND = re.compile(r"at (least|most) (\d{1,6})(?:\s*(?:sts|stitches|rows|rounds))?", re.IGNORECASE)
_ROUNDED = re.compile(r"(?:rounded )?(up|down)|(?:to the |rounded to the )?(nearest)", re.IGNORECASE)
_EASE = re.compile(
    rf"ease (?P<low>[-−]?\s?{_NUMBER})\s*(?:to|and)\s*(?P<high>[-−]?\s?{_NUMBER})\s*(?P<unit>\S+)", re.IGNORECASE)
_UNEVEN = re.compile(r",\s*uneven\s+(?P<why>(?:since|because)\s+\S.*?)\s*$", re.IGNORECASE | re.DOTALL)
FORM = "around head less 2.5 cm, multiple of 8"


def is_rule(node: object) -> bool:
    """Whether the value of a count is worked out rather than given."""
    return isinstance(node, Scalar) and not node.spoiled and bool(_TELLS_A_RULE.search(node.value))


def rule(reading: Reading, name: Text, node: Scalar) -> CountRule | None:
    """A rule as a value; None, with a problem at the words, where it is not understood."""
    uneven = _UNEVEN.search(node.value)
    (at, amount), *conditions = _at_commas(node.value[: uneven.start()] if uneven else node.value)
    unit, stitch = "sts", ""
    if found := _UNIT_OF_COUNT.search(amount):
        unit = "rows" if found["unit"].lower() in ("rows", "rounds", "rnds") else "sts"
        stitch, amount = (found["stitch"] or "").strip(), amount[: found.start()]
    terms = _terms(reading, node, amount, at, str(name))
    if terms is None:
        return None
    made: CountRule | None = CountRule(name, Text(node.value.strip(), node.span), terms, unit, stitch,
                                       uneven=" ".join(uneven["why"].split()) if uneven else "")
    for at, words in conditions:
        made = made and _with_condition(reading, node, made, words, at)
    return made


def _at_commas(text: str) -> list[tuple[int, str]]:
    """`text` cut at the commas that stand outside brackets, each piece with its place."""
    pieces, depth, start = [], 0, 0
    for i, c in enumerate(text):
        depth += (c in "([") - (c in ")]")
        if c == "," and depth <= 0:
            pieces.append((start, text[start:i]))
            start = i + 1
    return [*pieces, (start, text[start:])]


def _where(reading: Reading, node: Scalar, words: str, at: int) -> Span:
    start = at + len(words) - len(words.lstrip())
    return reading.stretch(node, start, start + len(words.strip()))


def _say(reading: Reading, node: Scalar, words: str, at: int, what: str, help: str) -> None:
    reading.say("R221", what, _where(reading, node, words, at), help)


def _terms(reading: Reading, node: Scalar, text: str, at: int, key: str) -> tuple[Term, ...] | None:
    made: list[Term | None] = []
    for sign, start, words in _signed(text):
        made.append(_term(reading, node, words, at + start, key, sign))
    terms = tuple(term for term in made if term)
    if len(terms) < len(made):
        return None
    lengths = [t for t in terms if t.kind in ("measure", "length")]
    counts = [t for t in terms if t.kind in ("count", "name")]
    if lengths and counts:
        _say(reading, node, text, at, f"`{key}` adds a length and a count",
             "work out a count first, then add to it by name: `EDGE: BODY plus 4`")
        return None
    if terms[0].kind == "percent":
        _say(reading, node, text, at, f"`{key}` begins with a percentage of nothing", f"write `{FORM}`")
        return None
    return terms


def _signed(text: str) -> Iterator[tuple[int, int, str]]:
    """(sign, place, words) of each term."""
    sign, start = 1, 0
    for joint in _SIGN.finditer(text):
        yield sign, start, text[start : joint.start()]
        sign, start = (1 if joint[1].lower() == "plus" else -1), joint.end()
    yield sign, start, text[start:]


def _term(reading: Reading, node: Scalar, words: str, at: int, key: str, sign: int) -> Term | None:
    share, text, shift = Fraction(sign), words.strip(), len(words) - len(words.lstrip())
    if found := _SHARE.match(text):
        share *= _share(found)
        text, shift = text[found.end():], shift + found.end()
    if found := _SCALE.search(text):
        n = number(found["n"])
        if not n:
            _say(reading, node, words, at, f"`{found[0].strip()}` makes nothing", "write a number above 0")
            return None
        share *= n if found["how"].lower() == "times" else 1 / n
        text = text[: found.start()]
    return _base(reading, node, text, at + shift, key, share)


def _share(found: re.Match[str]) -> Fraction:
    if found["word"]:
        return Fraction(_SHARES[" ".join(found["word"].lower().split())])
    if found["percent"]:
        return (number(found["percent"]) or Fraction(0)) / 100
    return Fraction(int(found["top"]), int(found["bottom"]) or 1)


def _base(reading: Reading, node: Scalar, text: str, at: int, key: str, share: Fraction) -> Term | None:
    where = _where(reading, node, text, at)
    if found := _MEASURE.fullmatch(text.strip()):
        return Term("measure", share, " ".join(found["what"].lower().split()), (), found["way"].lower(), where)
    if _NAME.fullmatch(text.strip()):
        return Term("name", share, text.strip(), (), "", where)
    if found := _PERCENT.fullmatch(text.strip()):
        return Term("percent", share * (number(found[1]) or 0) / 100, text.strip(), (), "", where)
    if re.fullmatch(r"[\d\s,()\[\]]+", text) and text.strip():
        return _whole(reading, node, text, at, key, share, where)
    if not re.match(rf"\s*{_NUMBER}", text):
        _say(reading, node, text, at, f"`{text.strip() or key}` is no measure, count or length",
             "write `around`, `across` or `along` and a body measure, a name in capitals, or a length")
        return None
    read = values.length(reading, node, text, at, key)
    return Term("length", share, text.strip(), read[0], "", where) if read else None


def _whole(
    reading: Reading, node: Scalar, text: str, at: int, key: str, share: Fraction, where: Span
) -> Term | None:
    numbers = tuple(Fraction(n) for n in re.findall(r"\d+", text))
    if not reading.fits_sizes(len(numbers), key, where):
        return None
    return Term("count", share, text.strip(), numbers, "", where)


def _with_condition(
    reading: Reading, node: Scalar, rule: CountRule, words: str, at: int
) -> CountRule | None:
    text = " ".join(words.split())
    if found := _MULTIPLE.fullmatch(text):
        return _multiple(reading, node, rule, found, words, at)
    if text.lower() in ("even", "odd"):
        return replace(rule, parity=text.lower())
    if found := _BOUND.fullmatch(text):
        return replace(rule, **{found[1].lower(): int(found[2])})
    if found := _ROUNDED.fullmatch(text):
        return replace(rule, rounding=(found[1] or found[2]).lower())
    if found := _EASE.fullmatch(text):
        band = ease_band(found)
        if band:
            return replace(rule, ease_cm=band)
    _say(reading, node, words, at, f"`{text}` is no condition of a count",
         "write `multiple of 6 plus 1`, `even`, `odd`, `at least 60`, `at most 90`, `rounded up`, "
         "`rounded down`, `nearest`, `ease -5 to 0 cm` or `uneven since the largest size is for adults`")
    return None


def _multiple(
    reading: Reading, node: Scalar, rule: CountRule, found: re.Match[str], words: str, at: int
) -> CountRule | None:
    multiple, rest = int(found[1]), int(found[3] or 0)
    if not multiple:
        _say(reading, node, words, at, "nothing is a multiple of 0", "write `multiple of 6`")
        return None
    sign = -1 if (found[2] or "").lower() in ("less", "minus") else 1
    return replace(rule, multiple=multiple, rest=sign * rest)


def ease_band(found: re.Match[str]) -> tuple[Fraction, Fraction] | None:
    """`ease -5 to 0 cm` in cm, the smaller first; None for a unit there is none of."""
    unit = UNIT_NAMES.get(found["unit"].lower())
    ends = [_signed_number(found[side]) for side in ("low", "high")]
    if unit is None or None in ends:
        return None
    low, high = sorted(to_cm(end, unit) for end in ends if end is not None)
    return low, high


def _signed_number(text: str) -> Fraction | None:
    plain = text.strip().lstrip("-−").strip()
    value = number(plain)
    return None if value is None else -value if text.strip()[0] in "-−" else value
