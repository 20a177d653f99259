"""What the words call a group on the way: "3 dc in next sp, ch 2, 3 dc in same sp (shell made)"."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.hook import Hook
from chartgen.notation.names import is_called
from chartgen.notation.tree import Item, Made


def made(hook: Hook, item: Made, after: Sequence[Item]) -> None:
    """ "(shell made)", "(starting shell made)": what stands in the place worked into last is a shell for the next row."""
    if hook.stitches and is_called(hook.stitches[-1].group_name, item.name):
        return
    hook.made[item.name] += 1
    run = _in_the_last_place(hook)
    if any(hook.stitches[i].group_name for i in run):
        return
    groups = {hook.stitches[i].group for i in run}
    group = groups.pop() if len(groups) == 1 else None
    if group is None and sum(bool(hook.stitches[i].feet) for i in run) < 2:
        return
    _name(hook, run, hook.new_group() if group is None else group, item.name)


def name_alike(hook: Hook) -> None:
    """Groups of this row that are made of the same stitches as one that it has called by a name are called so too:
    "ch 3, in same sp make dc, ch 2 and 2 dc, *ch 3, shell over next shell" begins with a shell."""
    places = _by_place(hook)
    named = dict(_called(hook, run) for _, run in places)
    for kinds, run in places:
        if kinds and kinds in named and not hook.stitches[run[0]].group_name and hook.stitches[run[0]].group is not None:
            _name(hook, run, hook.stitches[run[0]].group, named[kinds])


def _called(hook: Hook, run: Sequence[int]) -> tuple[tuple[str, ...], str]:
    """The kinds of a group's stitches that it has called by a name, and the name; chains skipped beside it have none."""
    called = [i for i in run if hook.stitches[i].group_name not in ("", "picot")]
    return (tuple(_kind(hook, i) for i in called), hook.stitches[called[0]].group_name) if len(called) > 1 else ((), "")


def _name(hook: Hook, run: Sequence[int], group: int | None, name: str) -> None:
    for index in run:
        hook.change(index, group=group, group_name=name)


def _by_place(hook: Hook) -> list[tuple[tuple[str, ...], list[int]]]:
    """The groups of the row, each with the kinds of its stitches."""
    groups: dict[int, list[int]] = {}
    tops = [i for i in hook.begin if hook.stitches[i].counts_in == hook.row]
    for index in (*tops, *(i for i in hook.row_stitches() if i not in tops)):
        if (group := hook.stitches[index].group) is not None:
            groups.setdefault(group, []).append(index)
    return [(tuple(_kind(hook, i) for i in run), run) for run in groups.values()]


def _kind(hook: Hook, index: int) -> str:
    stitch = hook.stitches[index]
    return (stitch.stands_as or stitch.kind).id


def _in_the_last_place(hook: Hook) -> list[int]:
    """What the row has made last in one place, the chains amid it and the row's beginning chain beside it too."""
    feet = hook.stitches[-1].feet if hook.row_stitches() else ()
    run: list[int] = []
    for index in reversed(hook.row_stitches() if feet else ()):
        stitch = hook.stitches[index]
        if stitch.feet == feet:
            run = list(range(index, len(hook.stitches)))
        elif stitch.role == "begin" or not stitch.kind.is_chain:
            break
    tops = [i for i in hook.begin if hook.stitches[i].counts_in == hook.row]
    beside = bool(run and tops) and run[0] - 1 == hook.begin[-1]
    return [*(i for i in hook.begin if i >= tops[0]), *run] if beside and (feet[0].kind == "ring" or hook.stood.get(tops[0]) in feet[0].stitches) else run


__all__ = ["made", "name_alike"]
