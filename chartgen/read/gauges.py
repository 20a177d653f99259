"""Gauges as makers give them: by stitch, by repeats, by a motif's size; in one unit or in two."""

from __future__ import annotations

import re
from fractions import Fraction

from chartgen.problems import Span
from chartgen.read.document import Gauge, Text
from chartgen.read.nodes import Node, Scalar
from chartgen.read.reading import Reading, quoted
from chartgen.read.values import NUMBER, length
from chartgen.units import number

GAUGE_FORM = "14 sts and 8 rows = 10 cm"
_MOTIF_FORM = "Rnds 1-4 = 10 cm across"
_STITCHES, _REPEATS = "stitches|stitch|sts|st", "repeats|repeat|reps|rep|motifs|motif"
_ROWS = r"(?:rows|row|rounds|round|rnds|rnd)\b\.?"
_IS = r"(?:=|\bover\b|\bto\b|\bper\b|\bmeasures?\b|\bmakes?\b)"
_REST = r"\s*(?P<remarks>(?:,.*)?)"
_UNIT = r"(?:mm|cm|in\.?|inch(?:es)?|\"|″)"
_TWO_UNITS = re.compile(rf"(?P<one>[^/(]*?{_UNIT})\s*[/(]\s*(?P<other>[^/()]*?{_UNIT})\s*\)?", re.IGNORECASE)
_BY = re.compile(r"\s+(?:by|x|×)\s+", re.IGNORECASE)
_FLAGS = re.VERBOSE | re.IGNORECASE | re.DOTALL
_MOTIF = re.compile(
    rf"""(?:rnds?|rounds?)\s*1\s*(?:-|–|to)\s*(?P<rows>[0-9]{{1,3}})\s*
         {_IS}\s*(?P<width>[^,=]*?)\s*(?:across|in\ diameter|wide|square)\s*{_REST}""", _FLAGS,
)
_ONE_MOTIF = re.compile(r"(?:1|one|each)\s+(?:\w+\s+)?(?:motif|square|block|hexagon|disc)\b.*", re.IGNORECASE | re.DOTALL)
_REMARKS: dict[str, tuple[str, bool] | None] = {
    "in rounds": ("in_rounds", True), "in the round": ("in_rounds", True),
    "in rows": ("in_rounds", False), "flat": ("in_rounds", False),
    "blocked": ("blocked", True), "unblocked": ("blocked", False),
    "not blocked": ("blocked", False), "after blocking": ("blocked", True), "before blocking": ("blocked", False),
    "washed and blocked": ("blocked", True), "in pattern": None, "in patt": None, "in stitch pattern": None,
}

_USUAL = ("in rounds", "in rows", "in pattern", "blocked", "unblocked")


def is_remark(words: str) -> bool:
    """Whether `words` may follow a gauge: `in rounds`, `blocked`."""
    return words.strip().lower() in _REMARKS


def gauge(reading: Reading, stitch: Scalar, node: Node) -> Gauge | None:
    """`dc: 14 sts and 8 rows = 10 cm, in rounds, blocked`, and the other forms that are used."""
    name = Text(stitch.value, stitch.span)
    text = reading.text(node, stitch.value)
    if text is None or not isinstance(node, Scalar):
        return None
    counted = _counted(name)
    written = node.value.strip()
    if found := (_apart(counted).fullmatch(written) or _MOTIF.fullmatch(written)):
        return _by_repeats(reading, name, node, found)
    found = _together(counted).fullmatch(written)
    motif = bool(_ONE_MOTIF.match(written))
    if not found or not (found["sts"] or found["rows"]) or (motif and not found["rows"]):
        reading.say("R215", f"the gauge of {name} is not understood", text.span,
                    f"write which rounds make the motif: `{name}: {_MOTIF_FORM}`" if motif else f"write it as `{name}: {GAUGE_FORM}`")
        return None
    return _counted_over(reading, name, node, found)


def _counted(name: Text) -> str:
    """What may be counted across: stitches, repeats, or the gauge's own word, in the plural too."""
    own = re.sub(r"\s+(?:pattern|patt|repeat|rep)$", "", name.value.strip(), flags=re.IGNORECASE)
    return rf"(?:{_STITCHES}|{_REPEATS}|{re.escape(own)}(?:e?s)?)\b\.?".replace(r"\ ", r"\s+")


def _together(counted: str) -> re.Pattern[str]:
    """`14 sts and 8 rows = 10 cm`."""
    return re.compile(
        rf"""(?:(?P<sts>{NUMBER})\s*(?P<noun>{counted}))?
             \s*(?:(?:and|by|x|×|,|&|/)\s*)?
             (?:(?P<rows>{NUMBER})\s*{_ROWS})?
             \s*{_IS}\s*(?P<size>[^,]*?){_REST}""", _FLAGS,
    )


def _apart(counted: str) -> re.Pattern[str]:
    """`2 repeats = 5 cm and 4 rows = 4 cm`."""
    return re.compile(
        rf"""(?P<count>{NUMBER})\s*(?P<noun>{counted})\s*{_IS}\s*(?P<width>[^,=]*?)\s*(?:and|,|;)\s*
             (?P<rows>{NUMBER})\s*{_ROWS}\s*{_IS}\s*(?P<height>[^,=]*?){_REST}""", _FLAGS,
    )


def _counted_over(reading: Reading, name: Text, node: Scalar, found: re.Match[str]) -> Gauge | None:
    stitches, rows = (number(found[g]) if found[g] else None for g in ("sts", "rows"))
    if stitches == 0 or rows == 0:
        reading.say("R210", f"the gauge of {name} counts 0", _whole(reading, node),
                    "count the stitches and rows of a swatch")
        return None
    size = _size(reading, node, found)
    remarks = _remarks(reading, node, found["remarks"])
    if size is None or remarks is None:
        return None
    repeats = _is_repeat(found["noun"])
    inches = re.search(r"\bin\b|inch|\"|″", found["size"], re.IGNORECASE)
    said = node.value.strip() if repeats or inches else ""
    return Gauge(name, stitches, rows, *size, **remarks, said=said, repeats=repeats)


def _is_repeat(noun: str | None) -> bool:
    return bool(re.fullmatch(_REPEATS, (noun or "").rstrip("."), re.IGNORECASE))


def _by_repeats(reading: Reading, name: Text, node: Scalar, found: re.Match[str]) -> Gauge | None:
    """Lengths of their own across and up, or a motif.

    A motif's rounds lie between its middle and its edge: half of what it measures across.
    """
    two = "height" in found.re.groupindex
    read = [_length(reading, node, found, side) for side in ("width", "height") if two or side == "width"]
    remarks = _remarks(reading, node, found["remarks"])
    rows = number(found["rows"])
    sides = [cm for cm in read if cm is not None]
    if len(sides) < len(read) or remarks is None or not rows:
        return None
    if two:
        return Gauge(name, number(found["count"]), rows, sides[0], sides[1], **remarks, said=node.value.strip(),
                     repeats=_is_repeat(found["noun"]))
    return Gauge(name, None, rows, sides[0] / 2, sides[0] / 2, **remarks, said=node.value.strip())


def _at(node: Scalar, found: re.Match[str], group: str) -> int:
    """Where a group of the match begins in the text of the node."""
    return len(node.value) - len(node.value.lstrip()) + found.start(group)


def _length(reading: Reading, node: Scalar, found: re.Match[str], group: str) -> Fraction | None:
    said = _metric(found[group])
    read = length(reading, node, said, _at(node, found, group) + found[group].index(said), "the swatch")
    return read[0][0] if read else None


def _metric(said: str) -> str:
    """Of a length in two units, the one in centimetres: `4 in (10 cm)`."""
    two = _TWO_UNITS.fullmatch(said.strip())
    if two is None:
        return said
    return two["other"] if re.search("cm|mm", two["other"], re.IGNORECASE) else two["one"]


def _size(reading: Reading, node: Scalar, found: re.Match[str]) -> tuple[Fraction, Fraction] | None:
    """Width and height in cm; one length serves both."""
    said = _metric(found["size"])
    at = _at(node, found, "size") + found["size"].index(said)
    sides = _BY.split(said, maxsplit=1)
    if len(sides) == 2 and not re.search(r"[^\d./\s-]", sides[0]):
        unit = re.search(r"[^\d./\s½⅓⅔¼¾⅛⅜⅝⅞-]+$", sides[1])
        sides[0] += f" {unit[0]}" if unit else ""       # `4 by 4 in`: one unit for both
    read = [length(reading, node, side, at, "the swatch") for side in sides]
    if None in read:
        return None
    lengths = [cm for cm, _ in read if len(cm) == 1]
    if len(lengths) != len(read):
        reading.say("R215", "a gauge is one for all sizes", _whole(reading, node),
                    f"write it as `{GAUGE_FORM}`")
        return None
    return lengths[0][0], lengths[-1][0]


def _whole(reading: Reading, node: Scalar) -> Span:
    return reading.stretch(node, 0, len(node.value))


def _remarks(reading: Reading, node: Scalar, remarks: str) -> dict[str, bool] | None:
    said: dict[str, bool] = {}
    for remark in filter(None, (word.strip().lower() for word in remarks.split(","))):
        if remark not in _REMARKS:
            start = node.value.lower().rfind(remark)
            reading.say("R215", f"`{remark}` is not a remark of a gauge",
                        reading.stretch(node, start, start + len(remark)),
                        f"write {quoted(_USUAL)}, or leave it out")
            return None
        if meant := _REMARKS[remark]:
            said[meant[0]] = meant[1]
    return said
