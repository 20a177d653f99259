"""Typed values out of words: per-size lists, lengths, colours, counts."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from chartgen.problems import Span
from chartgen.read import keys
from chartgen.read.colours import is_colour, near_colours
from chartgen.read.document import Text
from chartgen.read.nodes import Node, Scalar, Sequence
from chartgen.read.reading import Reading, quoted
from chartgen.units import NUMBER_PATTERN, UNIT_NAMES, number, to_cm

NUMBER = rf"(?:{NUMBER_PATTERN})(?![\d./])"
_NUMBERS = re.compile(
    rf"\s*(?P<first>{NUMBER})\s*(?:[(\[](?P<others>[^()\[\]]*)(?P<close>[)\]])?)?"
)
_PLUS_MINUS = re.compile(r"±|\+\s?/\s?[-−]|\+[-−]")
_PER_SIZE_WORDS = re.compile(r"(?P<first>[^()]+)\((?P<others>[^()]*)\)\s*")
_UNITS = "mm, cm or in"


def words_per_size(reading: Reading, node: Node, key: str) -> list[Text]:
    """`baby`, `baby (child, adult)` or a YAML list: one text each. Empty after a problem."""
    if isinstance(node, Sequence):
        texts = [reading.text(item, key) for item in node.items]
        return [] if None in texts else [text for text in texts if text]
    text = reading.text(node, key)
    if text is None or not isinstance(node, Scalar):
        return []
    if not _PER_SIZE_WORDS.fullmatch(text.value):
        return [text]
    words = list(re.finditer(r"[^(),]*[^(),\s]", node.value))
    if len(words) == node.value.count(",") + 2:
        return [_word(reading, node, word) for word in words]
    reading.say("R208", f"`{key}` has an empty place between its commas", text.span,
                "write one value per size: `first (second, third)`")
    return []


def _word(reading: Reading, node: Scalar, word: re.Match[str]) -> Text:
    value = word[0].strip()
    return Text(value, reading.stretch(node, word.end() - len(value), word.end()))


def _called(key: str) -> str:
    """How a message names a value: a key in its quotes, anything else as it is."""
    return key if key.startswith("the ") else f"`{key}`"


def _read_numbers(
    reading: Reading, scalar: Scalar, text: str, at: int, key: str
) -> tuple[list[Fraction], str, int] | None:
    """Numbers at the start of `text`, what follows them, and where that begins."""
    found = _NUMBERS.match(text)
    whole = reading.stretch(scalar, at, at + len(text.rstrip()))
    if not found:
        reading.say("R208", f"{_called(key)} needs a number, not `{text.strip()}`", whole,
                    "write a number first, as in `26 cm` or `10 (11.5, 14) cm`")
        return None
    if found["others"] is not None and not found["close"]:
        reading.say("R208", f"the bracket of {_called(key)} is opened but not closed", whole,
                    f"close it after the last size: `{_closed(found)}`")
        return None
    parts = [found["first"]] + (found["others"].split(",") if found["others"] is not None else [])
    numbers = [number(part) for part in parts]
    if None in numbers:
        wrong = parts[numbers.index(None)].strip()
        what = f"`{wrong}` is not a number" if wrong else "a number is missing between the commas"
        reading.say("R208", f"{what} in {_called(key)}", whole,
                    "write plain numbers, one per size, and the unit once at the end: "
                    "`10 (11.5, 14) cm`")
        return None
    return [n for n in numbers if n is not None], text[found.end():], at + found.end()


def _closed(found: re.Match[str]) -> str:
    """The list as it would be with its bracket closed, without what follows the numbers."""
    numbers = re.match(rf"(?:{NUMBER}|[\s,])*", found["others"])
    return f"{found['first']} ({numbers[0].strip() if numbers else ''})"


def numbers_with_unit(
    reading: Reading, scalar: Scalar, text: str, at: int, key: str, usual: str = "cm"
) -> tuple[tuple[Fraction, ...], str] | None:
    """`10 (11.5, 14) cm` as numbers per size and the unit (mm, cm, in).

    `text` is the part of `scalar` that begins at character `at` of its value; `usual`
    is the unit that help suggests.
    """
    read = _read_numbers(reading, scalar, text, at, key)
    if read is None:
        return None
    numbers, rest, rest_at = read
    word = rest.strip()
    where = reading.stretch(scalar, at + len(text) - len(text.lstrip()), at + len(text.rstrip()))
    if not word:
        reading.say("R209", f"{_called(key)} has no unit", where,
                    f"write the unit after the number{'s' if numbers[1:] else ''}: "
                    f"`{text.strip()} {usual}`, if that is meant")
        return None
    unit = UNIT_NAMES.get(word.lower())
    if unit is None:
        start = rest_at + len(rest) - len(rest.lstrip())
        reading.say("R209", f"`{word}` is not a unit of length",
                    reading.stretch(scalar, start, start + len(word)), f"write {_UNITS}")
        return None
    if not reading.fits_sizes(len(numbers), key, where):
        return None
    return tuple(numbers), unit


def length(
    reading: Reading, scalar: Scalar, text: str, at: int, key: str, zero: bool = False
) -> tuple[tuple[Fraction, ...], str] | None:
    """Lengths in cm per size, and the unit they are written in. Nothing below zero."""
    read = numbers_with_unit(reading, scalar, text, at, key)
    if read is None:
        return None
    numbers, unit = read
    if not zero and not all(numbers):
        reading.say("R210", f"{_called(key)} cannot be 0 {unit}",
                    reading.stretch(scalar, at, at + len(text.rstrip())),
                    "write the length the finished piece has")
        return None
    return tuple(to_cm(n, unit) for n in numbers), unit


def amount(reading: Reading, node: Node) -> tuple[tuple[Fraction, ...], str]:
    """`120 (140, 160) g` of yarn per size, and its unit; nothing after a problem."""
    if not isinstance(node, Scalar):
        reading.wrong_shape(node, "amount", "a weight, a length or balls", "amount: 120 g")
        return (), ""
    read = _read_numbers(reading, node, node.value, 0, "amount") if reading.text(node, "amount") else None
    if read is None:
        return (), ""
    numbers, rest, _ = read
    unit = {"ball": "balls", "yds": "yd", "yards": "yd"}.get(rest.strip().lower(), rest.strip().lower())
    if unit not in keys.AMOUNTS:
        reading.say("R209", f"`{rest.strip()}` is not what yarn is counted in" if unit else "`amount` has no unit",
                    node.span, f"write {quoted(keys.AMOUNTS)} after the number")
        return (), ""
    return (tuple(numbers), unit) if reading.fits_sizes(len(numbers), "amount", node.span) else ((), "")


_TWO_UNITS = re.compile(r"(?:(?<=cm)|(?<=mm)|(?<=in)|(?<=\"))\s*[/=(\[]\s*(?=\d|[½⅓⅔¼¾⅛⅜⅝⅞])")
Lengths = tuple[Fraction, ...]


def in_other_unit(reading: Reading, scalar: Scalar, key: str) -> tuple[Lengths, str] | None:
    """The second lengths of `10 (11.5, 14) cm / 4 (4 1/2, 5 1/2) in` or `10 cm [4 in]`, in cm, and their unit; None without."""
    sides = _TWO_UNITS.split(_PLUS_MINUS.split(scalar.value, maxsplit=1)[0], maxsplit=1)
    if len(sides) < 2:
        return None
    other = sides[1].rstrip()
    closed = other[-1:] in (")", "]") and other.count("(") + other.count("[") < other.count(")") + other.count("]")
    return length(reading, scalar, other[:-1] if closed else other, scalar.value.index(sides[1]), key)


def length_and_tolerance(
    reading: Reading, scalar: Scalar, key: str
) -> tuple[tuple[Fraction, ...], tuple[Fraction, ...] | None, str] | None:
    """`10 (11.5, 14) cm ± 1 cm`: lengths, tolerances (cm; None where not said), unit."""
    sides = _PLUS_MINUS.split(scalar.value, maxsplit=1)
    at = len(scalar.value) - len(sides[-1])
    value = length(reading, scalar, _TWO_UNITS.split(sides[0], maxsplit=1)[0], 0, key)
    if len(sides) == 1:
        return (value[0], None, value[1]) if value else None
    slack = length(reading, scalar, sides[1], at, f"the tolerance of `{key}`", zero=True)
    return (value[0], slack[0], value[1]) if value and slack else None


def colour(reading: Reading, node: Node) -> str:
    """A CSS hex colour or an SVG colour name, as written; "" after a problem."""
    text = reading.text(node, "colour")
    if text is None:
        return ""
    if is_colour(text.value):
        return text.value
    meant = near_colours(text.value)
    if re.fullmatch(r"[0-9A-Fa-f]{6}", text.value):
        meant = [f'"#{text.value}"']
    reading.say("R211", f"`{text}` is not a colour", text.span,
                f"write {quoted(meant)}" if meant else
                'write a hex colour in quotes, as in "#7a8f5a", or an SVG colour name')
    return ""


def whole_number(
    reading: Reading, node: Node, key: str, allowed: range, meaning: str
) -> int | None:
    text = reading.text(node, key)
    if text is None:
        return None
    if re.fullmatch(r"[0-9]{1,6}", text.value) and int(text.value) in allowed:
        return int(text.value)
    reading.say("R210", f"`{key}` cannot be `{text}`", text.span,
                f"write a whole number from {allowed[0]} to {allowed[-1]} ({meaning})")
    return None


def counts_per_size(reading: Reading, node: Node, key: str) -> tuple[int, ...] | None:
    """`72 (78, 84)`: whole numbers, one for all sizes or one each."""
    if isinstance(node, Sequence):
        return _whole(reading, words_per_size(reading, node, key), key, node.span)
    text = reading.text(node, key)
    if text is None or not isinstance(node, Scalar):
        return None
    read = _read_numbers(reading, node, node.value, 0, key)
    if read is None:
        return None
    numbers, rest, _ = read
    return _checked(reading, numbers, bool(rest.strip()), key, text.span)


def _whole(reading: Reading, texts: list[Text], key: str, span: Span) -> tuple[int, ...] | None:
    numbers = [number(text.value) for text in texts]
    return _checked(reading, [n for n in numbers if n is not None],
                    not numbers or None in numbers, key, span) if texts else None


def _checked(
    reading: Reading, numbers: list[Fraction], spare_words: bool, key: str, span: Span
) -> tuple[int, ...] | None:
    if spare_words or any(n.denominator != 1 for n in numbers):
        reading.say("R210", f"`{key}` takes whole numbers and nothing else", span,
                    "write `72`, or one per size as in `72 (78, 84)`")
        return None
    if not reading.fits_sizes(len(numbers), key, span):
        return None
    return tuple(int(n) for n in numbers)


PerSize = Callable[[Text], str | None]


def each_size(
    reading: Reading, node: Node, key: str, read_one: PerSize
) -> tuple[str, ...]:
    """Words per size, each through `read_one`; empty after a problem."""
    texts = words_per_size(reading, node, key)
    values = [read_one(text) for text in texts]
    if not texts or None in values or not reading.fits_sizes(len(texts), key, texts[0].span):
        return ()
    return tuple(value for value in values if value is not None)
