"""Rows that go together: the rounds of a crown, a top drawn in, shaping rows written out one after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import gcd

from chartgen.sizing.graded import Level, Written

SHUT = 2        # a top that ends on more stitches than twice what a round loses is open, a band or a neck
FLIGHT = 3      # so many shaping rows alike, written one by one, can be more or fewer in another size


def with_ladders(written: Sequence[Written], levels: list[Level]) -> list[Written] | str:
    """Rungs as ladders: the round a crown starts from is a rung too, and what a ladder leads to keeps whole ones."""
    ladders = _ladders(written)
    first = next(w for w in written if w.rows)
    alone = [rungs[0] for (_, grows), rungs in ladders.items() if len(rungs) == 1 and first.count != rungs[0].change]
    if alone:
        return with_ladders([_by_share(w, levels) if w in alone else w for w in written], levels)
    made = list(written)
    for (_, grows), rungs in sorted(ladders.items(), key=lambda ladder: ladder[0][1]):      # a crown last: it moves the levels
        if any(b.before != a.count for a, b in pairwise(rungs)):
            return "its rounds change by whole repeats with other shaping between"
        made = _grown(made, levels, rungs) if grows else _drawn_in(made, levels, rungs)
        if isinstance(made, str):
            return made
    return made


def _ladders(written: Sequence[Written]) -> dict[tuple[int, bool], list[Written]]:
    """Rungs by (section, whether they grow)."""
    found: dict[tuple[int, bool], list[Written]] = {}
    for w in written:
        if w.role == "rung":
            found.setdefault((w.section, w.change > 0), []).append(w)
    return found


def _grown(written: list[Written], levels: list[Level], rungs: list[Written]) -> list[Written] | str:
    """A crown, its last round with half the increases set apart."""
    full = rungs[0].change
    half = rungs[-1] if len(rungs) > 1 and 2 * rungs[-1].change == full else None
    steps = rungs[:-1] if half else rungs
    if len({w.change for w in steps}) > 1:
        return f"its rounds change by {', '.join(sorted({f'{w.change:+d}' for w in rungs}))} sts by turns"
    made = [replace(w, role="half") if half and w.start == half.start else w for w in _with_evens(written, steps, before=True)]
    return _crowned(made, levels, steps, half)


def _drawn_in(written: list[Written], levels: list[Level], rungs: list[Written]) -> list[Written] | str:
    """A top drawn shut: its first rounds, as long as they are alike, are more or fewer; those after them are as written.
    What leads to an open edge, or has no two rounds alike, keeps its shares of the stitches."""
    open_end = rungs[-1].count > SHUT * -rungs[0].change
    if open_end and not isinstance(shared := _all_by_share(written, levels, rungs), str):
        return shared
    alike = next((k for k, w in enumerate(rungs) if w.change != rungs[0].change), len(rungs))
    under = rungs[0].under
    if alike == 1:
        return _all_by_share(written, levels, rungs)
    if under:
        levels[under[0]].repeats.add((-rungs[0].change, rungs[0].before % -rungs[0].change))
    for w in rungs[alike:]:
        levels[w.after[0]].role = "fixed"
    fixed = {w.start for w in rungs[alike:]}
    return _with_evens([replace(w, role="fixed") if w.start in fixed else w for w in written], rungs[:alike], before=False)


def _all_by_share(written: list[Written], levels: list[Level], rungs: list[Written]) -> list[Written] | str:
    """Every round takes as many passes of its repeat as the stitches below allow: the first has a number that all divide."""
    passes = gcd(*(w.change for w in rungs))
    under = rungs[0].under
    if passes == 1 or under is None or any(w.under != (b.after[0], 0) for b, w in pairwise(rungs)):
        return f"its rounds change by {', '.join(f'{w.change:+d}' for w in rungs)} sts, which no repeat shares: write its last rounds for each size"
    levels[under[0]].repeats.add((rungs[0].before // passes, -under[1] % (rungs[0].before // passes)))
    starts = {w.start for w in rungs}
    return [_shared(w, levels) if w.start in starts else w for w in written]


def _with_evens(written: Sequence[Written], rungs: Sequence[Written], before: bool) -> list[Written]:
    """Even rounds between two rungs marked as going with the one after them, or before."""
    made, starts = list(written), [w.start for w in rungs]
    inside = [k for k, w in enumerate(made) if w.rows and starts[0] < w.start < starts[-1]]
    for k in inside:
        if made[k].role == "even":
            nearest = min(s for s in starts if s > made[k].start) if before else max(s for s in starts if s < made[k].start)
            made[k] = replace(made[k], rung=nearest)
    return made


def _by_share(w: Written, levels: list[Level]) -> Written:
    """A round alone that changes by whole repeats: as many in each repeat in every size."""
    if w.under:
        each = w.before // abs(w.change)
        levels[w.under[0]].repeats.add((each, -w.under[1] % each))
    return _shared(w, levels)


def _shared(w: Written, levels: list[Level]) -> Written:
    levels[w.after[0]].role = "linear"
    return replace(w, role="linear", share=Fraction(w.count, w.before))


def _crowned(written: list[Written], levels: list[Level], grown: list[Written], half: Written | None) -> list[Written] | str:
    first = next(k for k, w in enumerate(written) if w.rows)
    change = grown[0].change
    if written[first].count != change or len(written[first].rows) > 1:
        return f"its rounds grow by {change} from a start of {written[first].count}"
    written[first] = replace(written[first], role="rung", change=change, before=0)
    widest = (half or grown[-1]).after[0]
    goes_on = any(w.rows and w.role == "even" and w.start > grown[-1].start for w in written)
    levels[widest].repeats.add((change // 2 if half or (goes_on and _can_halve(grown)) else change, 0))
    return _widest_first(written, levels, widest)


def _can_halve(grown: Sequence[Written]) -> bool:
    """Whether a round with half the increases can be written in the words of a crown's last."""
    return grown[0].change % 2 == 0 and len(grown) > 2


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
