"""Sizes that are worked alike up to some row: the crown of a hat is worked once for all.

A worker notes every row that came out without a word to say. The worker of the next size goes
in step with it: a row with the same words, worked on the same edge, and with no number in it
that differs between sizes is taken over as it stands. At the first row that differs it goes
its own way.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from chartgen.fabric.edge import Edge
from chartgen.fabric.fabric import Row, Stitch
from chartgen.fabric.hook import Hook
from chartgen.fabric.plan import Planned
from chartgen.notation.tree import Number

_KEPT = ("throughout", "learned", "edges", "left", "part_edges", "rows_in", "stood", "founded", "marked")


@dataclass(frozen=True)
class Stand:
    """Where a worker stands between two rows: the edge ahead, the one it doubts, the side it sees."""

    edge: Edge | None
    doubtful: Edge | None
    broken: bool
    broke_off: bool
    side: str


@dataclass(frozen=True)
class Step:
    """A row that was worked: what it was worked from, and all that it left.

    Attributes:
        planned: its words.
        begun: where the worker stood before; the stitches it had, those of the row before whole.
        left: where it stood after.
        since: index of the first of `stitches`, which begin with the row before.
        hook: the state of the hook after the row.
    """

    planned: Planned
    begun: tuple[Stand, int, tuple[Stitch, ...]]
    left: Stand
    row: Row
    since: int
    stitches: tuple[Stitch, ...]
    hook: dict[str, Any]


def taken_down(hook: Hook) -> dict[str, Any]:
    """The state of the hook, apart from its stitches; what later rows add to is copied."""
    state = dict(vars(hook))
    del state["stitches"], state["size"]
    for name in _KEPT:
        state[name] = dict(state[name])
    state["rows_of"] = {part: dict(rows) for part, rows in state["rows_of"].items()}
    return state


def take_over(hook: Hook, step: Step) -> None:
    """Put the hook where it stood after the row of another size."""
    vars(hook).update(step.hook)
    for name in _KEPT:
        setattr(hook, name, dict(getattr(hook, name)))
    hook.rows_of = {part: dict(rows) for part, rows in hook.rows_of.items()}
    hook.stitches[step.since :] = step.stitches


def same_words(one: Planned, other: Planned) -> bool:
    """Are both the same row, and one that says the same to every size?"""
    return (
        one.text is other.text
        and one == other
        and all(for_all_sizes(item) for item in (*one.items, *one.counts))
    )


_asked: dict[int, tuple[Any, bool]] = {}


def for_all_sizes(item: Any) -> bool:
    """Has this part of a row no number that differs between sizes?"""
    known = _asked.get(id(item))
    if known is None or known[0] is not item:
        if len(_asked) > 10_000:
            _asked.clear()
        known = _asked[id(item)] = (item, _one_for_all(item))
    return known[1]


def _one_for_all(item: Any) -> bool:
    if isinstance(item, Number):
        return len(item.values) == 1
    if isinstance(item, tuple):
        return all(_one_for_all(one) for one in item)
    if is_dataclass(item):
        return all(_one_for_all(getattr(item, field.name)) for field in fields(item))
    return True
