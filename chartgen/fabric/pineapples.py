"""Stretches of an edge that patterns call by a name of their own although no group of stitches makes them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from chartgen.fabric.edge import is_open_chain
from chartgen.fabric.rising import rising

if TYPE_CHECKING:
    from chartgen.fabric.fabric import Place
    from chartgen.fabric.hook import Hook


def pineapples(hook: Hook, start: int, end: int) -> Iterator[tuple[int, int]]:
    """What stands between the shells of a row, the chains beside the shells left out; without shells, what stands on
    one fan of a row below."""
    line, stitches, shells = hook.walk.edge.line, hook.stitches, _shells(hook)
    if not shells:
        yield from rising(hook, start, end)
        return
    bounds = [0, *(at for shell in shells for at in shell), len(line)]
    for first, past in zip(bounds[::2], bounds[1::2], strict=True):
        while first < past and is_open_chain(stitches[line[first]]):
            first += 1
        while first < past and is_open_chain(stitches[line[past - 1]]):
            past -= 1
        if first < past and start < past and first < end:
            yield first, past


def _shells(hook: Hook) -> list[tuple[int, int]]:
    """Stretches of the edge worked in one place, with a chain in the midst of them somewhere."""
    feet = _feet(hook)
    standing = [at for at, foot in enumerate(feet) if foot is not None]
    pairs = [(a, b) for a, b in zip(standing, standing[1:], strict=False) if feet[a] == feet[b]]
    shells = {feet[a] for a, b in pairs if b - a > 1}
    found: list[tuple[int, int]] = []
    for at in (at for at in standing if feet[at] in shells):
        if found and feet[found[-1][0]] == feet[at]:
            found[-1] = found[-1][0], at + 1
        else:
            found.append((at, at + 1))
    return found


def _feet(hook: Hook) -> list[Place | None]:
    """What each stitch of the edge is worked into, a beginning chain into what its neighbour is; None for open chains."""
    feet: list[Place | None] = []
    for index in hook.walk.edge.line:
        stitch = hook.stitches[index]
        feet.append(None if is_open_chain(stitch) else next(iter(stitch.feet), None))
    begun = [at for at, i in enumerate(hook.walk.edge.line) if i in hook.walk.edge.begin and not is_open_chain(hook.stitches[i])]
    for at in begun:
        feet[at] = next((foot for foot in feet[at + 1 :] if foot is not None), None)
    return feet


STRETCHES = {"pineapple": pineapples}

__all__ = ["STRETCHES"]
