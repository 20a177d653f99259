"""The same place of several groups: "in ch-1 sp of each V-st across", "in 2nd dc of each of next 3 shells"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook
from chartgen.fabric.spots import groups_named, next_group, out_of_group
from chartgen.notation.tree import ONE, Where

Find = Callable[[Hook, Where], list[Place]]
_OF_EACH = ("this", "centre", "top")
_OF_SO_MANY = (*_OF_EACH, "nth", "first", "last")


def in_several_groups(hook: Hook, where: Where) -> bool:
    """Are several groups named, and one place in each of them?"""
    of = where.of
    if of is None or of.target.kind != "group" or where.n.of(hook.size) != 1:
        return False
    if of.which == "each":
        return where.which in _OF_EACH
    return where.which in _OF_SO_MANY and of.which in ("next", "first", "last") and of.n.of(hook.size) > 1


def in_each_group(hook: Hook, where: Where, find: Find) -> list[Place]:
    """The place in the next of them, and in the next, as far as they are named."""
    of = where.of
    assert of is not None
    one, found = replace(where, of=replace(of, which="next", until="", n=ONE)), []
    for past in _pasts(hook, of):
        found += find(hook, one)
        hook.walk.at = max(hook.walk.at, past)
    return found or find(hook, one)


def groups_ahead(hook: Hook, where: Where, end: int) -> list[tuple[int, int]]:
    """What "each shell" names from here on: not the rest of the one that the hook has worked a stitch of."""
    start = out_of_group(hook, replace(where, which="next"), hook.walk.at)
    return list(groups_named(hook, where.target, start, end))


def _pasts(hook: Hook, of: Where) -> list[int]:
    """Where each of them ends: all from here on, so many, or the last."""
    ahead = [past for _, past in groups_ahead(hook, of, hook.walk.end)]
    if of.which == "each":
        return ahead
    wanted = of.n.of(hook.size)
    if len(ahead) < wanted:
        next_group(hook, of, ahead[-1] if ahead else hook.walk.at)
    return _last(hook, of, ahead, wanted) if of.which == "last" else ahead[:wanted]


def _last(hook: Hook, of: Where, ahead: list[int], wanted: int) -> list[int]:
    """The last of them: the hook goes on from where those before them end."""
    if len(ahead) > wanted:
        hook.walk.at = ahead[-wanted - 1]
    return ahead[-wanted:]
