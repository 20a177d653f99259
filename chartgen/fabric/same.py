"""The same place again: "in same st", "same ch as last sc", "same place as join"."""

from __future__ import annotations

from chartgen.fabric.edge import Stuck, is_open_chain, kind_of, matches
from chartgen.fabric.fabric import Place
from chartgen.fabric.hook import Hook
from chartgen.fabric.passing import singular
from chartgen.fabric.own_chains import under_own_chains
from chartgen.fabric.spots import all_spaces, past_group, take_space
from chartgen.notation.tree import Where


def same(hook: Hook, where: Where) -> list[Place]:
    """The place worked into last, or that of the stitch or join named. Raises Stuck where there is none, or none of that kind."""
    if where.of is not None:
        return [_same_as(hook, where)]
    if hook.last is None:
        raise Stuck("F306", "nothing has been worked yet that could be the same place", where.span)
    place = under_own_chains(hook, hook.last) if where.target.kind == "space" else hook.last
    _is_same(hook, where, place)
    if where.target.kind == "space" and (run := _run_of(hook, place)) is not None:
        return [take_space(hook, *run)]
    _pass_it(hook, place)
    return [place]


def _run_of(hook: Hook, place: Place) -> tuple[int, int] | None:
    """The space that a chain just worked into is part of ("sl st in next 3 ch, sc in same sp")."""
    line = hook.walk.edge.line
    if (
        place.kind != "stitch"
        or place.stitches[0] not in line
        or not is_open_chain(hook.stitches[place.stitches[0]])
    ):
        return None
    at = line.index(place.stitches[0])
    return next((r for r in all_spaces(hook, 0, len(line)) if r[0] <= at < r[1]), None)


def _is_same(hook: Hook, where: Where, place: Place) -> None:
    """ "same sc" must be a sc. ("Same sp" is also said of the base of a beginning chain.)"""
    target = where.target
    if place.kind == "stitch" and target.kind in ("stitch", "chain"):
        stitch = hook.stitches[place.stitches[0]]
        if matches(stitch, target) or target.kind == "chain" and stitch.kind.is_chain:
            return
        found = "ch" if is_open_chain(stitch) else kind_of(stitch).abbreviation(hook.terms)
    elif place.kind in ("space", "ring") and target.kind in ("stitch", "chain"):
        found = "sp" if place.kind == "space" else "ring"
    else:
        return
    raise Stuck(
        "F324",
        f"the same place is {found}, not {singular(hook, target)}",
        where.span,
        f'write "in same {found}", or name the place meant',
    )


def _pass_it(hook: Hook, place: Place) -> None:
    """A place worked into is used, wherever the hook was led to it."""
    line, at = hook.walk.edge.line, hook.walk.at
    if place.kind not in ("between", "end") and at < len(line) and line[at] in place.stitches:
        hook.walk.at = past_group(hook, at, at + len(place.stitches)) if place.kind == "space" else at + len(place.stitches)


def _same_as(hook: Hook, where: Where) -> Place:
    """ "same ch as last sc", "same st as first 2 sc", "same place as join"."""
    other = where.of
    assert other is not None
    if other.target.kind == "join" or (other.target.stitch and other.target.stitch.is_slip):
        if other.which == "last" and (slipped := _closed_last(hook)) is not None:
            return slipped
        joined = hook.joined_at or hook.start_place()
        _pass_it(hook, joined)
        return joined
    own = [
        i for i in hook.row_stitches() if matches(hook.stitches[i], other.target) and hook.stitches[i].feet
    ]
    if not own:
        return hook.start_place()
    chosen = own[0] if other.which == "first" else own[-1]
    place = hook.stitches[chosen].feet[0]
    _is_same(hook, where, place)
    if hook.walk.edge.far_side:
        _pass_it(hook, place)
    return place


def _closed_last(hook: Hook) -> Place | None:
    """ "(Ch 4, sl st in same ch as last sl st) twice": where the slip stitch that closed the last picot went."""
    closing = (hook.stitches[i] for i in reversed(hook.row_stitches()) if hook.stitches[i].kind.is_slip)
    last = next(closing, None)
    return last.feet[0] if last is not None and last.off_line and last.group_name == "picot" else None


__all__ = ["same"]
