"""All the places that a stitch's words name, in order."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.claims import claims_top
from chartgen.fabric.fabric import Place
from chartgen.fabric.find import each_of_several, places
from chartgen.fabric.hook import Hook
from chartgen.notation.tree import (
    Item,
    Where,
)


def resolve(hook: Hook, wheres: tuple[Where, ...], after: Sequence[Item] = ()) -> list[Place]:
    """All places that `wheres` name, in order."""
    if len(wheres) > 1 and all(w.which == "each" for w in wheres):
        return each_of_several(hook, wheres)
    found: list[Place] = []
    for i, where in enumerate(wheres):
        hook.top_is_spoken_for = hook.top_is_spoken_for or any(claims_top(w) for w in wheres[i + 1 :])
        hook.taking_top = claims_top(where)
        found.extend(places(hook, where))
        hook.last = found[-1] if found else hook.last
    hook.taking_top = False
    if len(wheres) > 1 or len(found) > 1:
        hook.these = tuple(found)
    return found
