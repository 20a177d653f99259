"""A row worked by one reading of its words after another, until one comes out."""

from __future__ import annotations

from collections.abc import Callable

from chartgen.fabric.any_stitch import SAID, SAID_OF_TOPS, may_name_any, names_any, names_tops
from chartgen.fabric.closing_arch import closed_by_an_arch
from chartgen.fabric.edge import Stuck
from chartgen.fabric.hook import Hook
from chartgen.fabric.listed import begins_with_one, lies_in_single_chains, made_together
from chartgen.fabric.met_along import SAID as SAID_MET
from chartgen.fabric.met_along import met_along
from chartgen.fabric.plan import Planned
from chartgen.fabric.readings import ARCH, TOGETHER, Reading, readings
from chartgen.fabric.repeating import FINAL
from chartgen.fabric.so_many import ways_to_get_there
from chartgen.notation.tree import Item
from chartgen.notation.until_made import counted_so

_COUNT_FAULTS = ("F301", "F310", "F318", "F320")
_SPACE_FAULTS = ("F302", "F318", "F320")
Attempt = Callable[[Reading], Stuck | None]         # works the row anew by that reading; None if it comes out


def by_readings(hook: Hook, planned: Planned, attempt: Attempt) -> tuple[Stuck | None, str]:
    """Work the row as read at first, then by the other readings its words allow. The fault of the first
    reading, or None if one comes out; and what is to be said of the reading taken. A row without a count whose
    repeat goes on "until there are 8 loops" is held to that, where it can be."""
    told = () if planned.counts else counted_so(planned.items)
    if told:
        strict, planned.counts, planned.strict = planned.strict, told, True
        fault, said = _by_passes(hook, planned, attempt)
        planned.counts, planned.strict = (), strict
        if fault is None:
            return fault, said
    return _by_passes(hook, planned, attempt) if planned.counts else _by_each(hook, planned, attempt)


def _by_passes(hook: Hook, planned: Planned, attempt: Attempt) -> tuple[Stuck | None, str]:
    """By each reading; and a repeat that goes on until there are so many by each number of passes, up to one that comes out."""
    asked = planned.items
    fault, said = _by_each(hook, planned, attempt)
    ways = ways_to_get_there(asked, planned.counts) if fault is not None else ()
    for items in ways:
        planned.items = items
        if (found := _by_each(hook, planned, attempt))[0] is None:
            return found
    if planned.items is asked:
        return fault, said
    planned.items = asked
    return _by_each(hook, planned, attempt)


def _by_each(hook: Hook, planned: Planned, attempt: Attempt) -> tuple[Stuck | None, str]:
    """Each reading in turn, up to one that comes out."""
    first, *others = readings()
    fault = attempt(first)
    if fault is None:
        said = _rather(TOGETHER, begins_with_one(planned.items) or lies_in_single_chains(hook, planned.items), hook, planned, attempt)
        said = said or _rather(ARCH, hook.arch_unsaid, hook, planned, attempt)
        first.unset(hook)
        return None, said
    if _nothing_there(hook, fault):
        return fault, ""
    stuck: Stuck | None = fault
    for reading in others:
        if stuck is not None and stuck.code in FINAL:
            return fault, ""
        stuck = attempt(reading)
        if stuck is None:
            return _by_another(hook, planned, attempt, fault, reading)
    if hook.worked_again and may_name_any(fault.code) and _by_items(planned, attempt, names_any(planned.items)):
        return None, SAID if planned.first_of_many else ""
    tops = planned.counts and fault.code in _COUNT_FAULTS and names_tops(planned.items, hook.walk.edge, hook.stitches)
    if tops and _by_items(planned, attempt, names_any(planned.items, ("each",))):
        return None, SAID_OF_TOPS
    if fault.code in _SPACE_FAULTS and (met := met_along(planned.items)) and _by_items(planned, attempt, met):
        return None, SAID_MET
    return _by_none(hook, planned, attempt, fault), ""


def _nothing_there(hook: Hook, fault: Stuck) -> bool:
    """Has the row below no stitch at all, so that no reading finds one?"""
    edge = hook.walk.edge
    return fault.code == "F301" and not edge.line and not edge.loop and edge.ring is None


def _by_items(planned: Planned, attempt: Attempt, otherwise: list[Item]) -> bool:
    """Does the row come out by these words? Else it stays as it was."""
    items = planned.items
    planned.items = otherwise
    if attempt(readings()[0]) is None:
        return True
    planned.items = items
    return False


def as_read(hook: Hook, planned: Planned) -> list[Item]:
    """The row's items by the reading that is tried."""
    items = made_together(hook, planned.items, bool(planned.counts)) if hook.lists_together else planned.items
    closed = closed_by_an_arch(items) if hook.worked == "rounds" else items
    hook.arch_unsaid = len(closed) > len(items)
    return closed if hook.arch_implied else items


def _by_another(hook: Hook, planned: Planned, attempt: Attempt, fault: Stuck, reading: Reading) -> tuple[Stuck | None, str]:
    """A later reading comes out: taken, and what is said of it, if the words were open in that way."""
    reading.learn(hook)
    if not reading.allowed(hook):
        return _by_none(hook, planned, attempt, fault), ""
    said = reading.note(hook)
    reading.unset(hook)
    return None, said


def _by_none(hook: Hook, planned: Planned, attempt: Attempt, fault: Stuck) -> Stuck:
    """The fault of the first reading, by which the row stays worked as far as it comes."""
    if fault.code in _COUNT_FAULTS:
        fault.help = _if_chain_read_otherwise(hook, planned, attempt) or fault.help
    attempt(readings()[0])
    return fault


def _rather(reading: Reading, likelier: bool, hook: Hook, planned: Planned, attempt: Attempt) -> str:
    """A row without a count that comes out either way: by the likelier reading, if that comes out, else as it was."""
    if planned.counts or not likelier:
        return ""
    if attempt(reading) is None:
        return reading.note(hook)
    attempt(readings()[0])
    return ""


def _if_chain_read_otherwise(hook: Hook, planned: Planned, attempt: Attempt) -> str:
    """The commonest miscount: would the row come out if its beginning chain counted, or not?"""
    hook.flip_said = True
    stuck = attempt(readings()[0])
    hook.flip_said = False
    if stuck is not None or not hook.begin or not planned.strict:
        return ""
    counted = any(hook.stitches[i].counts_in is not None for i in hook.begin)
    return f"it comes out if the beginning chain {'counts' if counted else 'does not count'} as a stitch: is that meant?"


__all__ = ["as_read", "by_readings"]
