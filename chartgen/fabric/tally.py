"""Counts written at a row's end, held against what was worked."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from chartgen.fabric.corner_spaces import corner_spaces
from chartgen.fabric.edge import Stuck, answers_to, is_open_chain, kind_of, runs
from chartgen.fabric.fabric import Row
from chartgen.fabric.finishing import is_counted
from chartgen.fabric.hook import Hook
from chartgen.notation.names import is_called
from chartgen.notation.tree import Count

if TYPE_CHECKING:
    from chartgen.fabric.plan import Planned


@dataclass(frozen=True)
class Tally:
    """One written count and what was found; `found` None where it cannot be established."""

    count: Count
    said: int
    found: int | None

    @property
    def agrees(self) -> bool:
        return self.found is None or self.found == self.said


def tallies(hook: Hook, row: Row, counts: tuple[Count, ...]) -> list[Tally]:
    """Each written count held against the row; where half shells are counted for themselves, shells are whole ones."""
    halved = {_whole(c.name) for c in counts if c.name.startswith(_HALF)}
    return [Tally(c, c.n.of(hook.size), _halves_or_wholes(hook, row, c, halved)) for c in counts]


_HALF = "half "


def _whole(name: str) -> str:
    """ "half shells": shell."""
    return name.removeprefix(_HALF).removesuffix("s")


def _halves_or_wholes(hook: Hook, row: Row, count: Count, halved: set[str]) -> int | None:
    if _whole(count.name) not in halved or hook.groups_made[_whole(count.name)] or not (halves := _half_shells(hook, row)):
        return _found(hook, row, count)
    return halves if count.name.startswith(_HALF) else len(_sizes_of_groups(hook, row)) - halves


def _half_shells(hook: Hook, row: Row) -> int:
    """Groups in one place that begin or end a row and have half the stitches of its largest, or one more for the middle."""
    sizes = _sizes_of_groups(hook, row)
    ends = {hook.stitches[i].group for i in (*row.line[:2], *row.line[-1:])} if row.form == "row" else set()
    most = max(sizes.values(), default=0)
    return sum(group in ends and 2 * n <= most + 1 for group, n in sizes.items())


def _found(hook: Hook, row: Row, count: Count) -> int | None:
    counter = _COUNTERS.get(count.what)
    return counter(hook, row, count) if counter else _by_name(hook, row, count)


def _all(hook: Hook, row: Row, count: Count) -> int:
    """All stitches; chains made for later rows to be worked into ("ch 6 for underarm") are counted with them or left out."""
    chains = sum(is_open_chain(hook.stitches[i]) and i not in hook.begin for i in row.line)
    said = count.n.of(hook.size)
    return said if row.form == "row" and said == row.stitch_count + chains else row.stitch_count


def _kind(hook: Hook, row: Row, count: Count) -> int:
    """Stitches of one kind, a counting chain included as what it stands for."""
    assert count.stitch is not None
    said = count.n.of(hook.size)
    standing = [hook.stitches[i] for i in row.line[:2] if hook.stitches[i].counts_in == row.index]
    plain = row.counts.get(count.stitch.code, 0) + sum(kind_of(s).code == count.stitch.code for s in standing)
    if plain == said and not count.stitch.is_slip:
        return said
    made = [hook.stitches[i] for i in row.stitches]
    worked = [s for s in made if is_counted(s)] + [s for s in made if s.counts_in == row.index]
    worked += [
        hook.stitches[i]
        for i in row.line
        if hook.stitches[i].counts_in == row.index and i not in row.stitches
    ]
    exact = sum(kind_of(s).code == count.stitch.code for s in worked)
    return exact if exact == said else sum(answers_to(s, count.stitch) for s in worked)


def _chains(hook: Hook, row: Row, count: Count) -> int | None:
    """Chains; pattern writers leave the beginning chain out."""
    made = [hook.stitches[i] for i in row.stitches if hook.stitches[i].kind.is_chain]
    every, without = len(made), sum(s.role != "begin" for s in made)
    loose = sum(is_open_chain(hook.stitches[i]) for i in row.line)
    said = count.n.of(hook.size)
    return said if said in (every, without, loose) else without


def _spaces(hook: Hook, row: Row, count: Count) -> int:
    """Chain spaces on the row's line; a tall closing stitch ends the last one. Where the
    pattern defines its own "sp", those it has made. A space beside the first stitch that need
    not be worked is counted or left out, as the writer does."""
    if count.size is None and hook.groups_made["sp"]:
        return hook.groups_made["sp"]
    if count.name == "corner":
        return len(corner_spaces(hook, row.line))
    line = [i for i in row.line if i not in hook.optional]
    every, without = (_runs_of(hook, where, count.size) for where in (list(row.line), line))
    said, closed = count.n.of(hook.size), _closed_by_a_stitch(hook, count.size)
    return next((n for n in (every, without, every + closed, without + closed) if n == said), without)


def _closed_by_a_stitch(hook: Hook, size: int | None) -> int:
    """1 where the round's last loop, of fewer chains and a tall stitch, stands for one of `size` chains."""
    stands_for = size is not None and bool(hook.last_loop) and len(hook.last_loop) - 1 < size
    return int(stands_for)


def _runs_of(hook: Hook, line: list[int], size: int | None) -> int:
    return sum(size in (None, b - a) for a, b in runs(hook.stitches, line, 0, len(line)))


def _groups(hook: Hook, row: Row, count: Count) -> int | None:
    if count.name in ("cluster", "cl", "bobble"):
        return sum(kind_of(hook.stitches[i]).legs > 1 for i in row.line)
    return _by_name(hook, row, count)


def _by_name(hook: Hook, row: Row, count: Count) -> int | None:
    """Own stitches of that name and what "(shell made)" calls so; where the pattern has none of its own, what looks so."""
    said, own, made = count.n.of(hook.size), _called_so(hook.groups_made, count.name), _called_so(hook.made, count.name)
    if own:
        return next((n for n in (own + made, own + int(_begun_with_chain(hook))) if n == said), own + made)
    if count.name in _NOT_SURE:
        return None
    shapes = _shells(hook, row, said) if count.name in _OPEN_GROUPS else None
    return made if made and said != shapes else shapes


def _called_so(made: Counter[str], name: str) -> int:
    return sum(n for called, n in made.items() if is_called(called, name))


def _begun_with_chain(hook: Hook) -> bool:
    """Does the row's beginning chain stand for the first stitch of a group that bears no name?"""
    top = next((s for s in map(hook.stitches.__getitem__, hook.begin) if s.counts_in is not None), None)
    return top is not None and (top.group is not None and not top.group_name or _stands_beside_the_next(hook, top.index))


def _stands_beside_the_next(hook: Hook, top: int) -> bool:
    """ "Ch 4, dc in same place": the chain and the row's first stitch in one place."""
    first = next((s for s in map(hook.stitches.__getitem__, hook.row_stitches()) if s.feet and s.role != "travel"), None)
    return first is not None and top in hook.stood and first.feet[0].stitches == (hook.stood[top],)


# Filet's blocks and meshes are named in words here and there only: no count rests on that.
_NOT_SURE = ("bl", "mesh", "sp")
_OPEN_GROUPS = ("shell", "fan", "scallop", "v st", "group")


def _shells(hook: Hook, row: Row, said: int) -> int | None:
    """Groups of two tall stitches or more worked in one place; None where the row has none. What a round begins
    and ends with in one place are the halves of one."""
    tall = [hook.stitches[i] for i in row.line if not hook.stitches[i].kind.is_chain]
    whole = len(_sizes_of_groups(hook, row))
    met = len(tall) > 1 and tall[0].group != tall[-1].group and tall[0].feet == tall[-1].feet
    begun = whole + 1 == said and _begun_with_chain(hook)
    return said if begun or met and whole - 1 == said else whole or None


def _sizes_of_groups(hook: Hook, row: Row) -> dict[int, int]:
    """How many tall stitches each group of two or more in one place has."""
    tall = Counter(hook.stitches[i].group for i in row.line if not hook.stitches[i].kind.is_chain)
    return {group: n for group, n in tall.items() if group is not None and n > 1}


_COUNTERS = {"sts": _all, "stitch": _kind, "ch": _chains, "space": _spaces, "group": _groups}


def wrong_count(hook: Hook, row: Row, found: list[Tally]) -> Stuck | None:
    """The first written count that does not agree, with both numbers."""
    wrong = [t for t in found if not t.agrees]
    if not wrong:
        return None
    tally = wrong[0]
    what = _called(hook, tally.count)
    name = hook.row_name()
    both = f"{name} makes {tally.found} {what} but says {tally.said}"
    notes = hook.arithmetic()
    short = {s.kind.code: s.kind.abbreviation(hook.terms) for s in hook.stitches[hook.first_index :]}
    kinds = ", ".join(f"{n} {short.get(code, code)}" for code, n in row.counts.items())
    notes.append(f"worked in {name}: {kinds}")
    if row.stitch_count and any(hook.stitches[i].counts_in == row.index for i in row.line):
        notes.append(f"{row.stitch_count} stitches, the beginning chain counted as one of them")
    return Stuck("F320", both, tally.count.span, _count_help(tally, what), notes)


def _count_help(tally: Tally, what: str) -> str:
    assert tally.found is not None
    difference = tally.found - tally.said
    more = "more" if difference > 0 else "fewer"
    return f'{abs(difference)} {more} than it says: write "({tally.found} {what})" if the words are right'


def _called(hook: Hook, count: Count) -> str:
    if count.stitch is not None:
        return count.stitch.abbreviation(hook.terms)
    if count.what == "space":
        return f"ch-{count.size} sps" if count.size else "sps"
    return {"sts": "sts", "ch": "ch"}.get(count.what, count.name or "sts")


def declared_of(hook: Hook, row: Row, found: list[Tally]) -> tuple[int | None, dict[str, int]]:
    """What can be compared with `stitch_count`, and the kinds as written."""
    kinds = {
        t.count.stitch.code: t.said for t in found if t.count.what == "stitch" and t.count.stitch is not None
    }
    for tally in found:
        if tally.count.what == "group" and tally.count.name in ("cluster", "cl") and tally.found is not None:
            kinds.setdefault("cluster", tally.said)
    whole = next((t.said for t in found if t.count.what == "sts"), None)
    if whole is not None:
        return whole, kinds
    if not kinds:
        return None, {}
    covered = sum(t.said for t in found if t.count.what == "stitch") + kinds.get("cluster", 0)
    counted = sum(
        (t.found or 0) for t in found if t.count.what == "stitch" or t.count.name in ("cluster", "cl")
    )
    return (covered if counted == row.stitch_count else None), kinds


def said_of(planned: Planned, size: int) -> int | None:
    """The whole number of stitches a row says it has."""
    whole = [c for c in planned.counts if c.what in ("sts", "stitch")]
    if not whole or not (planned.strict or planned.counts):
        return None
    for count in whole:
        if count.what == "sts":
            return count.n.of(size)
    return sum(c.n.of(size) for c in whole)
