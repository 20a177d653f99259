"""The pattern's own stitches: "shell: 5 dc in same st", "popcorn: 5 dc in same st, drop loop …"."""

from __future__ import annotations

from chartgen.notation.cursor import Cursor
from chartgen.notation.motions import told_by_motions
from chartgen.notation.names import Names, plain
from chartgen.notation.parse import RowReader
from chartgen.notation.place_left_open import with_place_open
from chartgen.notation.tree import (
    ONE,
    Item,
    Note,
    Number,
    Own,
    Sign,
    Target,
    Where,
    Work,
)
from chartgen.notation.words import Token, tokens
from chartgen.problems import Problem, Span
from chartgen.read import Document, OwnStitch
from chartgen.stitches import StitchKind, registry

# Words by which a definition closes its stitches to one top, and the family that makes.
_CLOSINGS = (
    (("drop", "loop"), "popcorn"),
    (("draw", "through", "all"), "cluster"),
    (("pull", "through", "all"), "cluster"),
)


def own_stitches(document: Document, yarns: dict[str, str]) -> tuple[dict[str, Own], list[Problem]]:
    """Each defined stitch by its plain name; a later definition may use an earlier one."""
    own: dict[str, Own] = {}
    problems: list[Problem] = []
    for stitch in document.stitches:
        reader = RowReader(Names(document.terms, own), yarns, document.size_count())
        made, found = _own(reader, stitch)
        problems.extend(found)
        own[plain(made.name)] = made
    return own, problems


def _own(reader: RowReader, stitch: OwnStitch) -> tuple[Own, list[Problem]]:
    words = [t for text, offset in stitch.words.lines for t in tokens(text, offset)]
    return own_stitch(reader, str(stitch.name), words, stitch.words.span)


def own_stitch(reader: RowReader, name: str, words: list[Token], span: Span) -> tuple[Own, list[Problem]]:
    """The stitch of that name that the words tell."""
    told = told_by_motions(words, name)
    if told is not None:
        return Own(ONE, name, _over_next(told), (), span, registry().own(told, name)), []
    words = with_place_open(words)
    family, cut = _closing(words)
    read = reader.body(Cursor(words[:cut], reader.sizes))
    items = tuple(read.items)
    closed = _closed(items, family, name) if family else _single(items, name)
    problems = read.problems if closed or read.problems or _stitches(items) else [_tells_nothing(name, span)]
    return Own(ONE, name, items, (), span, closed), problems


def _stitches(items: tuple[Item, ...]) -> bool:
    return any(not isinstance(i, (Note, Sign)) for i in items)


def _over_next(kind: StitchKind) -> tuple[Item, ...]:
    """A decrease told by its motions takes the stitches that come next."""
    if kind.bases != "apart":
        return ()
    return (Work(ONE, kind, (Where("next", Target("any"), n=Number((kind.legs,))),)),)


def _tells_nothing(name: str, span: Span) -> Problem:
    return Problem(
        "N208", "error", f'the words of "{name}" name no stitch that it is made of', span,
        f'say which stitches it takes, for instance "{name}: 5 dc in same st, yo and draw through all loops"',
    )  # fmt: skip


def _closing(words: list[Token]) -> tuple[str, int]:
    """The family that the definition's closing words make, and where those words begin."""
    texts = [t.text for t in words]
    for phrase, family in _CLOSINGS:
        for i in range(len(texts)):
            if texts[i] == phrase[0] and all(p in texts[i : i + 8] for p in phrase):
                return family, _clause_start(words, i)
    return "", len(words)


def _clause_start(words: list[Token], at: int) -> int:
    while at > 0 and words[at - 1].word not in (",", ";", "."):
        at -= 1
    return at


def _closed(items: tuple[Item, ...], family: str, name: str) -> StitchKind | None:
    works = [i for i in items if isinstance(i, Work)]
    legs = sum(w.count.of(0) for w in works)
    if not works or legs < 2:
        return None
    return registry().own(registry().made(family, works[0].stitch.base, legs), name)


def _single(items: tuple[Item, ...], name: str) -> StitchKind | None:
    """A definition that is one stitch closed by its own name ("cl: dc3tog in same st")."""
    if len(items) == 1 and isinstance(items[0], Work) and items[0].stitch.legs > 1:
        return registry().own(items[0].stitch, name)
    return None


__all__ = ["own_stitch", "own_stitches"]
