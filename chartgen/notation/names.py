"""Names of stitches, looked up only once the words around them are understood."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from chartgen.notation.cursor import Cursor
from chartgen.notation.tree import Own
from chartgen.notation.words import vocabulary
from chartgen.stitches import TERMS, StitchKind, registry

_LONGEST = 6


@dataclass(frozen=True)
class Names:
    """The stitch words of a pattern: its terms' and its own."""

    terms: str
    own: dict[str, Own]
    parts: Mapping[str, str] = field(default_factory=dict)      # by each name that a part or piece goes by, its own
    made: dict[str, Own] = field(default_factory=dict)      # "(shell made)": what that name may be used for

    def part_at(self, cursor: Cursor) -> tuple[str, int]:
        """The part or piece whose name comes next ("first leg") and its length in tokens."""
        for length in range(_LONGEST, 0, -1):
            name = _texts(cursor, length, ("word", "number", "ordinal"))
            if name in self.parts:
                return self.parts[name], length
        return "", 0

    @property
    def known(self) -> list[str]:
        return [*self.own, *registry().words(self.terms)]

    def other_terms(self, word: str) -> str:
        """The terms in which `word` is a stitch, where it is none in the pattern's own."""
        for terms in TERMS:
            if terms != self.terms and any(registry().find(w, terms) for w in _spellings(word)):
                return terms
        return ""

    def at(self, cursor: Cursor) -> tuple[StitchKind | Own | None, int]:
        """The stitch that comes next and how many tokens its name takes; (None, 0) if none."""
        if (told := self._of_so_many(cursor)) is not None:
            return told
        for length in range(_LONGEST, 0, -1):
            found = self._look_up(_texts(cursor, length))
            if found is not None:
                return found, length
        return None, 0

    def _of_so_many(self, cursor: Cursor) -> tuple[StitchKind, int] | None:
        """ "Cluster of 3 tr", "popcorn of 5 dc": the stitch of so many legs, and its length in tokens."""
        word, number = cursor.peek().word, cursor.peek(2)
        family = _CLOSED.get(word.removesuffix("s")) if cursor.sees("of", ahead=1) and number.kind == "number" and number.value > 1 else None
        base = self._look_up(cursor.peek(3).text) if family else None
        if family is None or not isinstance(base, StitchKind) or base.family:
            return None
        return registry().made(family, base.base, number.value), 4

    def take(self, cursor: Cursor) -> StitchKind | Own | None:
        found, length = self.at(cursor)
        cursor.at += length
        return found

    def _look_up(self, name: str) -> StitchKind | Own | None:
        if not name:
            return None
        for spelling in _spellings(name):
            if spelling in self.own:
                return self.own[spelling]
        for spelling in _spellings(name):
            found = registry().find(spelling, self.terms)
            if found is not None:
                return found
        return None


_CLOSED = {"cluster": "cluster", "cl": "cluster", "popcorn": "popcorn", "bobble": "bobble", "puff": "puff"}


def plain(name: str) -> str:
    """A stitch's name as names are compared: lower case, hyphens as spaces."""
    return " ".join(name.lower().replace("-", " ").split())


def by_every_name(names: Iterable[str]) -> dict[str, str]:
    """Parts by all the names they go by: "Back and Front (both alike)" is "back" and "front" too, "Sleeves (make 2)"
    "sleeves" and "sleeve", where no other part is called so."""
    own = {plain(name): plain(name) for name in names}
    also = [(short, name) for name in own for short in _shorter(name)]
    often = Counter(short for short, _ in also)
    return {short: name for short, name in also if often[short] == 1} | own


def _shorter(name: str) -> set[str]:
    """What is left of a part's name without a remark in brackets, and each of two parts named in one, many or one."""
    said = re.sub(r"\s*[(\[].*?[)\]]", "", name).strip()
    each = [part.strip() for part in re.split(r"\band\b|[&/,+]", said)]
    words = vocabulary()["variants"]                        # "Petals" is no part that "in next petal" could mean
    return {form for one in (said, *each) if one for form in (one, one.removesuffix("s")) if form not in words and form not in words.values()} - {name}


def is_called(said: str, name: str) -> bool:
    """Is it a thing of that name, if only the first of its round ("beg shell", "starting shell")?"""
    first, _, rest = said.partition(" ")
    known = vocabulary()
    return said == name or rest == name and known["variants"].get(first, first) in known["firsts"]


_LETTERS_APART = re.compile(r"\b(h )?([sd]) c\b")              # "d c", "h d c" of older leaflets
_ST_ADDED = re.compile(r"\b(cluster|popcorn|bobble|puff) st$")    # "3 d c cluster st" there
_TREBLE_APART = re.compile(r"\b(d )?tr c\b")                   # "tr c", "d tr c" there


def _spellings(name: str) -> tuple[str, ...]:
    joined = _LETTERS_APART.sub(lambda found: found.group().replace(" ", ""), name)
    joined = joined.replace("pop corn", "popcorn")          # and this
    joined = _ST_ADDED.sub(r"\1", _TREBLE_APART.sub(lambda found: found.group()[:-2].replace(" ", ""), joined))
    names = (name, joined) if joined != name else (name,)
    return tuple(form for one in names for form in ((one, one[:-1]) if one.endswith("s") and len(one) > 2 else (one,)))


def _texts(cursor: Cursor, length: int, kinds: tuple[str, ...] = ("word", "number")) -> str:
    """The next tokens as one name; "" where one is of another kind, hyphens inside aside."""
    parts = [cursor.peek(i) for i in range(length)]
    if parts[-1].kind not in kinds or parts[0].kind not in kinds:
        return ""
    if any(p.kind not in kinds and (p.kind != "mark" or p.text != "-") for p in parts):
        return ""
    return " ".join(p.text for p in parts if p.text != "-")


def take_loop(cursor: Cursor) -> str:
    """ "BLO", "in front loop only of", "back loops": the loop named next, or ""."""
    side = vocabulary()["loops"].get(cursor.peek().text) if cursor.peek().kind == "word" else None
    if side is not None:
        cursor.at += 1
        cursor.take_any("only")
        return side
    for side in ("front", "back"):
        if cursor.sees(side, "loop"):
            cursor.at += 2
            cursor.take("only")
            return side
    if cursor.peek().kind == "ordinal" and cursor.peek().value == 3 and cursor.sees("loop", ahead=1):
        cursor.at += 2
        cursor.take("only")
        return "third"
    return ""
