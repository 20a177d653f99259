"""Rows that go together: the rounds of a crown, a top drawn in, shaping rows written out one after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from chartgen.sizing.graded import Level, Written

FLIGHT = 3      # so many shaping rows alike, written one by one, can be more or fewer in another size


def with_ladders(written: Sequence[Written], levels: list[Level]) -> list[Written] | str:
    """Rungs as ladders: the round a crown starts from is a rung too, and what a ladder leads to keeps whole ones."""
    ladders = {(w.section, w.change > 0): [] for w in written if w.role == "rung"}
    for w in written:
        if w.role == "rung":
            ladders[w.section, w.change > 0].append(w)
    first = next(w for w in written if w.rows)
    alone = [rungs[0] for rungs in ladders.values() if len(rungs) == 1 and first.count != rungs[0].change]
    if alone:
        return with_ladders([_by_share(w, levels) if w in alone else w for w in written], levels)
    for rungs in ladders.values():
        if len({w.change for w in rungs}) > 1:
            return f"its rounds change by {', '.join(sorted({f'{w.change:+d}' for w in rungs}))} sts by turns"
        if any(b.before != a.count for a, b in pairwise(rungs)):
            return "its rounds change by whole repeats with even rounds between"
    for (_, grows), rungs in ladders.items():
        if not grows and rungs[0].under:
            levels[rungs[0].under[0]].repeats.add((-rungs[0].change, rungs[0].before % -rungs[0].change))
    grown = next((rungs for (_, grows), rungs in ladders.items() if grows), None)
    return _crowned(list(written), levels, grown) if grown else list(written)


def _by_share(w: Written, levels: list[Level]) -> Written:
    """A round alone that changes by whole repeats: as many in each repeat in every size."""
    levels[w.after[0]].role = "linear"
    if w.under:
        each = w.before // abs(w.change)
        levels[w.under[0]].repeats.add((each, -w.under[1] % each))
    return replace(w, role="linear", share=Fraction(w.count, w.before))


def _crowned(written: list[Written], levels: list[Level], grown: list[Written]) -> list[Written] | str:
    first = next(k for k, w in enumerate(written) if w.rows)
    change = grown[0].change
    if written[first].count != change or len(written[first].rows) > 1:
        return f"its rounds grow by {change} from a start of {written[first].count}"
    written[first] = replace(written[first], role="rung", change=change, before=0)
    widest = grown[-1].after[0]
    levels[widest].repeats.add((change, 0))
    return _widest_first(written, levels, widest)


def _widest_first(written: list[Written], levels: list[Level], widest: int) -> list[Written]:
    """The level a crown leads to as the first: the one its piece is measured by."""
    levels[0], levels[widest] = levels[widest], levels[0]
    swap = {0: widest, widest: 0}

    def moved(at: tuple[int, int] | None) -> tuple[int, int] | None:
        return None if at is None else (swap.get(at[0], at[0]), at[1])

    for level in levels:
        level.above = None if level.above is None else swap.get(level.above, level.above)
    return [replace(w, under=moved(w.under), after=moved(w.after) or w.after) for w in written]


# ---- shaping written out


def with_flights(written: Sequence[Written], levels: list[Level]) -> list[Written]:
    """Shaping rows written out one after another, marked with their steps; what they lead to is a level of its own."""
    made = list(written)
    for number, flight in enumerate(_flights(made)):
        made = _led_to(_marked(made, flight, number), levels, made[flight[0]], made[flight[-1]], flight[-1])
    return made


def _flights(written: Sequence[Written]) -> list[list[int]]:
    """Positions of the shaping rows of each flight; shaping that an underarm begins stays as it is."""
    found: list[list[int]] = []
    run: list[int] = []
    for k, w in enumerate(written):
        single = w.role == "shape" and not w.steered and len(w.rows) == 1
        if single and run and written[run[-1]].change == w.change and written[run[-1]].after == w.under:
            run.append(k)
        elif single:
            run = [k]
        elif w.rows and w.role != "even":
            run = []
        if single and len(run) == FLIGHT and not any(x.role in ("off", "split", "rejoin") and x.section == w.section for x in written):
            found.append(run)
    return found


def _marked(written: list[Written], flight: Sequence[int], number: int) -> list[Written]:
    before = flight[0] - 1
    for step, at in enumerate(flight, 1):
        for k in range(at if step == 1 else before + 1, at + 1):
            written[k] = replace(written[k], flight=(number, step))
        before = at
    return written


def _led_to(written: list[Written], levels: list[Level], first: Written, last: Written, at: int) -> list[Written]:
    """Rows after a flight on a level of their own."""
    (level, over), new = last.after, len(levels)
    levels.append(Level(last.count, "shape", level, first.under))

    def moved(place: tuple[int, int] | None) -> tuple[int, int] | None:
        return (new, place[1] - over) if place and place[0] == level else place

    for k in range(at, len(written)):
        w = written[k]
        under = w.under if k == at else moved(w.under)
        if k > at and w.under and w.under[0] == level and w.after[0] != level and levels[w.after[0]].above == level:
            levels[w.after[0]].above = new
        written[k] = replace(w, under=under, after=moved(w.after) or w.after)
    return written
