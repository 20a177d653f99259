"""What stands at the head of a page of a chart: its title and number, the part it shows, the pages beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from chartgen.draw.drawing import Label
from chartgen.draw.inks import TEXT
from chartgen.draw.labels import text_width
from chartgen.draw.sheet import wrapped
from chartgen.wording.drawn import said

SIDES = (("above", -1, 0), ("below", 1, 0), ("left", 0, -1), ("right", 0, 1))
"""Words, and how many rows and columns of pages away."""
LEADING = 1.4           # times the type from line to line
_DOT = " · "
_BOLD = 1.12            # times as wide as plain type
_MOST = 88              # a page's number of the usual width, before the pages are counted
_APART = 2.0            # times the type between words on the left and on the right


def beside(numbers: Mapping[str, int]) -> str:
    """`right: page 2 · below: page 4`, from the number of the page on each side."""
    return _DOT.join(said(f"{side}: page {{n}}", n=numbers[side]) for side, _, _ in SIDES if side in numbers)


def most_beside(columns: int, rows: int) -> str:
    """The longest that `beside` can be among so many columns and rows of pages."""
    there = {"above": rows > 2, "below": rows > 1, "left": columns > 2, "right": columns > 1}
    return beside({side: _MOST for side, is_there in there.items() if is_there})


@dataclass(frozen=True)
class Heading:
    """The words at the head of a page, set in `size` mm within `room` mm."""

    title: str
    caption: str
    beside: str
    size: float
    room: float

    @classmethod
    def longest(cls, title: str, caption: str, grid: tuple[int, int], size: float, room: float) -> Heading:
        """Of one among so many columns and rows of pages, the numbers not known yet."""
        return cls(numbered(title, _MOST, _MOST), caption, most_beside(*grid), size, room)

    @property
    def lines(self) -> int:
        return len(self._first) + len(self._further)

    @property
    def _at_right(self) -> bool:
        """Whether the pages beside it are named at the right end of the first line."""
        both = text_width(self.title, self.size, True) + text_width(self.beside, self.size)
        return both + _APART * self.size <= self.room

    @property
    def _first(self) -> list[str]:
        return wrapped(self.title, _BOLD * self.size, self.room)

    @property
    def _further(self) -> list[str]:
        words = _DOT.join(word for word in (self.caption, "" if self._at_right else self.beside) if word)
        return list(_broken(words, self.size, self.room))

    def labels(self, left: float, top: float) -> tuple[Label, ...]:
        """The lines from `left`, the first with its baseline a line of type below `top`."""
        bold = len(self._first)
        found = [
            Label(words, left, top + self.size * (1 + LEADING * k), self.size, ink=TEXT,
                  weight="bold" if k < bold else "", classes="heading" if k < bold else "")
            for k, words in enumerate((*self._first, *self._further))
        ]
        if self._at_right and self.beside:
            found.append(Label(self.beside, left + self.room, top + self.size, self.size, "end", ink=TEXT))
        return tuple(found)


def _broken(words: str, size: float, room: float) -> Iterator[str]:
    """Lines broken between things said, and within one where it is longer than a line."""
    line = ""
    for word in words.split(_DOT) if words else ():
        longer = f"{line}{_DOT}{word}" if line else word
        if line and text_width(longer, size) > room:
            yield line
            longer = word
        *full, line = wrapped(longer, size, room)
        yield from full
    yield from [line] if line else []


def numbered(title: str, number: int, pages: int) -> str:
    """`Thyme hat · page 3 of 12`."""
    return f"{title} · {said('page {n} of {all}', n=number, all=pages)}"


def caption_of(labels: Iterable[Label]) -> str:
    """The name of a figure and what is said of it, as one line."""
    return _DOT.join(label.text for label in labels)
