"""Promised measurements and named counts."""

from __future__ import annotations

import re
from collections.abc import Iterator

from chartgen.read import keys, values
from chartgen.read.document import CountRule, NamedCount, Piece, Promise, Text
from chartgen.read.nodes import Mapping, Node, Scalar
from chartgen.read.reading import Reading, listed
from chartgen.read.rules import is_rule, rule

_WIDTH_AT = re.compile(r"width at (?:row|round|rnd) [0-9]{1,5}", re.IGNORECASE)
_CAPITAL_WORD = re.compile(r"[A-Z][A-Z]+")
_EXAMPLE = "circumference: 56 cm"

Target = tuple[str, str | None]


def promises(
    reading: Reading, node: Node | None, pieces: tuple[Piece, ...],
    names: tuple[str, ...] | None,
) -> tuple[Promise, ...]:
    """All promises. `names` of pieces and parts as written, whether their rows could be
    read or not; None when they are not all known, so that no name can be called wrong."""
    mapping = reading.mapping(node, "measurements", "Hat:")
    made: list[Promise] = []
    for key, value in mapping.entries if mapping else ():
        target = _target(reading, key, pieces, names)
        inside = reading.mapping(value, key.value, _EXAMPLE)
        if inside:
            made += _of_target(reading, target, inside)
    return tuple(_said_once(reading, made))


def _target(
    reading: Reading, key: Scalar, pieces: tuple[Piece, ...], names: tuple[str, ...] | None
) -> Target | None:
    """The piece, and the part, that a key under `measurements` means."""
    by_name = _by_name(pieces)
    words = re.sub(r"\s*/\s*", " / ", key.value.strip()).casefold()
    found = by_name.get(words) or by_name.get(key.value.strip().casefold(), [])
    if len(found) > 1:
        meant = listed(f"`{piece} / {part}`" for piece, part in found)
        reading.say("R216", f"{len(found)} pieces have a part named `{key.value}`", key.span,
                    f"write {meant}")
        return None
    if not found and names is not None:
        _unknown(reading, key, words, names)
    return found[0] if found else None


def _by_name(pieces: tuple[Piece, ...]) -> dict[str, list[Target]]:
    """What each name means, in lower case; a bare name that is both means the piece."""
    by_name: dict[str, list[Target]] = {}
    for piece in pieces:
        by_name.setdefault(piece.name.value.casefold(), []).append((piece.name.value, None))
    for piece in pieces:
        for part in piece.parts:
            target = (piece.name.value, part.name.value)
            by_name.setdefault(f"{target[0]} / {target[1]}".casefold(), [target])
            known = by_name.setdefault(target[1].casefold(), [])
            if not any(piece.name.value == other or of is None for other, of in known):
                known.append(target)
    return by_name


def _unknown(reading: Reading, key: Scalar, words: str, names: tuple[str, ...]) -> None:
    """A name that stands nowhere under `pieces`; near ones of the same form are offered."""
    if words in {name.casefold() for name in names}:
        return
    same_form = tuple(name for name in names if (" / " in name) == (" / " in words)) or names
    reading.say("R216", f"there is no piece or part named `{key.value}`", key.span,
                reading.nearest(words, same_form) if names else "")


def _of_target(reading: Reading, target: Target | None, inside: Mapping) -> Iterator[Promise]:
    for key, node in inside.entries:
        name = _dimension(reading, key)
        text = reading.text(node, key.value)
        if text is None or not isinstance(node, Scalar):
            continue
        read = values.length_and_tolerance(reading, node, key.value)
        if target and name and read:
            cm, tolerance, unit = read
            other = values.in_other_unit(reading, node, key.value)
            yield Promise(*target, name, cm, tolerance, unit, key.span.to(text.span), *(other or ()))


def _dimension(reading: Reading, key: Scalar) -> str | None:
    word = " ".join(key.value.lower().split())
    if word in keys.DIMENSIONS or _WIDTH_AT.fullmatch(word):
        return word
    known = (*keys.DIMENSIONS, "width at Row 12")
    close = reading.nearest(word, known)
    reading.say("R217", f"`{key.value}` is not a measurement", key.span, close,
                notes=(f"measurements are {listed((*keys.PLAIN, 'width at Row 12'), 'and')}",
                       "shaped pieces, garments, hats, hands and feet have more: `chartgen explain R217` lists them"))
    return None


def _said_once(reading: Reading, made: list[Promise]) -> Iterator[Promise]:
    seen: dict[tuple[str, str | None, str], Promise] = {}
    for promise in made:
        key = (promise.piece, promise.part, promise.name)
        first = seen.setdefault(key, promise)
        if first is promise:
            yield promise
            continue
        line, _ = reading.source.line_column(first.span.start)
        reading.say("R212", f"the {promise.name} of {promise.part or promise.piece} is promised "
                    f"twice; the first time in line {line}", promise.span, "keep one of the two")


def named_counts(
    reading: Reading, node: Node | None
) -> tuple[tuple[NamedCount, ...], tuple[CountRule, ...]]:
    """Counts given as numbers, and the rules of those to be worked out."""
    mapping = reading.mapping(node, "counts", "BODY: 72 (78, 84)")
    given: list[NamedCount] = []
    worked_out: list[CountRule | None] = []
    for key, value in mapping.entries if mapping else ():
        name = Text(key.value, key.span)
        named = bool(_CAPITAL_WORD.fullmatch(key.value))
        if isinstance(value, Scalar) and is_rule(value) and named:
            worked_out.append(rule(reading, name, value))
            continue
        numbers = values.counts_per_size(reading, value, key.value)
        if not named:
            reading.say("R218", f"`{key.value}` cannot name a count", key.span,
                        "write a word of two capitals or more, as in `BODY`")
        elif numbers:
            given.append(NamedCount(name, numbers))
    return tuple(given), tuple(made for made in worked_out if made)
