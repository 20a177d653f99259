"""Does a slip contradict its pattern? Sums made apart from the program's own checks.

The counts that a row writes are read by an expression and recounted from the stitches; the
place where a row stops on the row before, what it passes over, and the names it uses are held
against the pattern before the slip.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from functools import cache

from chartgen.fabric.fabric import Fabric, Row, Stitch
from chartgen.fabric.work import work_sizes
from chartgen.notation import parse
from chartgen.problems import Problem, Source
from chartgen.read.reader import read_text
from chartgen.sizing.counted import settle
from mistake_slips import COUNT, UNITS, Slip


@dataclass(frozen=True)
class Compiled:
    text: str
    problems: tuple[Problem, ...]
    fabrics: tuple[Fabric, ...]

    @property
    def alarms(self) -> list[Problem]:
        return [p for p in self.problems if p.severity != "note"]

    def line_of(self, offset: int) -> int:
        return Source("", self.text).line_column(offset)[0]

    def lines(self) -> tuple[int, ...]:
        return tuple(sorted({self.line_of(p.span.start) for p in self.alarms if p.span is not None}))


def compiled(text: str, name: str) -> Compiled:
    document, problems = read_text(text, name)
    if document is None:
        return Compiled(text, tuple(problems), ())
    sized = settle(document)
    document, problems = sized.document, [*problems, *sized.problems]
    instructions = parse(document)
    fabrics = work_sizes(document, instructions)
    every = dict.fromkeys((*problems, *instructions.problems, *(p for f in fabrics for p in f.problems)))
    return Compiled(text, tuple(every), fabrics)


def contradiction(original: Compiled, slipped: Compiled, slip: Slip, same: bool = False) -> str:
    """What the sums made here find; "" for nothing. `same`: the very same stitches are made."""
    chain = slip.kind == "chain number"
    for before, after in zip(original.fabrics, slipped.fabrics, strict=True):
        unsaid = slip.kind == "ordinal" and not _said_to_count(original, before, slip)
        for one, other in zip(before.rows, after.rows, strict=False):
            for find in () if same or unsaid else (_wrong_count, _wrong_stop):
                if why := find(original, before, one, after, other, chain):
                    return why
        if why := _not_there(original, before, slip):
            return why
    return ""


def read_otherwise(original: Compiled, slipped: Compiled, slip: Slip) -> bool:
    """Is a chain of two or more, of which nothing is said, read the other way since the slip?"""
    before, after = (sorted(p.message for p in c.problems if p.code == "F330") for c in (original, slipped))
    start, end = (f(original.text, slip.start) for f in (_line_start, _line_end))
    row = original.text[start:end]
    open_chain = re.search(r"\bch ?[2-9]\b(?! ?\(counts?| ?\(does)|\b(?:3rd|4th|5th) ch from hook(?! \()", row, re.I)
    return before != after and bool(open_chain)


def _line_start(text: str, at: int) -> int:
    return text.rfind("\n", 0, at) + 1


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return end if end >= 0 else len(text)


def counts_without_decreases(original: Compiled, slip: Slip) -> bool:
    """"(52 sc)" for "(54 sc)" where 2 of the 54 are sc2tog: right too, if decreases are not called sc."""
    for fabric in original.fabrics:
        for row in fabric.rows:
            if row.words and row.words.start <= slip.start < row.words.end and any(
                    re.search(r"\dtog$", code) for code in row.counts) and int(slip.new) in row.counts.values():
                return True
    return False


def _said_to_count(original: Compiled, fabric: Fabric, slip: Slip) -> bool:
    """Is the chain whose nth ch is named said to count, so that its top is one certain ch?"""
    for stitch in fabric.stitches:
        if stitch.words and stitch.words.start <= slip.start < stitch.words.end:
            for chain in (fabric.stitches[i] for p in stitch.feet for i in p.stitches):
                made = sum(s.row == chain.row and s.words == chain.words for s in fabric.stitches)
                if re.search(rf"\bch[ -]{made}\b[^.;:]*\bcounts? as", original.text, re.I):
                    return True
    return False


def right_in_itself(original: Compiled, slipped: Compiled, slip: Slip, line: int) -> bool:
    """Does the line of the slip hold by its own words, so that only a later line gainsays it?"""
    if slip.kind == "written count":
        return False
    for before, after in zip(original.fabrics, slipped.fabrics, strict=True):
        for one, other in zip(before.rows, after.rows, strict=False):
            if one.words is None or original.line_of(one.words.start) != line or other.assumed:
                continue
            if _wrong_count(original, before, one, after, other) or _wrong_stop(original, before, one, after, other):
                return False
    return True


def shape(fabric: Fabric) -> list:
    return [(s.kind.id, s.row, s.feet, s.counts_in, s.role) for s in fabric.stitches]


def _wrong_count(original: Compiled, before: Fabric, one: Row, after: Fabric, other: Row, chain: bool = False) -> str:
    """A written count that held and holds no more, recounted stitch by stitch. `chain`: the slip
    is in a chain, so that a beginning chain may count now that did not."""
    for number, unit in written(original.text, one):
        was, now = recount(before, one, unit, one), recount(after, other, unit, other if chain else one)
        if was == number and now != number:
            return f"row {one.number} says {number} {unit}, and makes {now}"
    return ""


@cache
def _written_in(text: str, start: int, end: int) -> tuple[tuple[int, str], ...]:
    found = []
    for match in COUNT.finditer(text[start:end]):
        for item in re.split(r",\s*|\band\b", match["what"]):
            said = re.match(rf"\s*(\d+)\s*(?:ch-\d+\s*)?({UNITS})?\s*$", item, re.I)
            if said:
                found.append((int(said[1]), (said[2] or "sts").lower()))
    return tuple(found)


def written(text: str, row: Row) -> tuple[tuple[int, str], ...]:
    """The counts in brackets among a row's words: (number, unit)."""
    if row.words is None or row.form not in ("round", "row"):
        return ()
    return _written_in(text, row.words.start, row.words.end)


def recount(fabric: Fabric, row: Row, unit: str, like: Row) -> int | None:
    """Stitches of a unit in a row, counted from the stitches; None for a unit not counted here.

    A beginning chain counts where it counts in `like`, the row before the slip.
    """
    made = [fabric.stitches[i] for i in row.stitches]
    tall = [s for s in made if not s.kind.is_chain and s.role == "" and not (s.kind.is_slip and s.off_line)]
    standing = [s for s in made if s.counts_in == row.index] if _standing_in(like) else []
    if unit.startswith("st"):
        return len(tall) + len(standing)
    if unit in ("sps", "sp", "spaces", "loops", "loop"):
        return len(_spaces(fabric, row))
    names = [_called(s) for s in tall + standing]
    return sum(unit in n for n in names) if any(unit in n for n in names) else None


def _standing_in(row: Row) -> bool:
    """Has the row one stitch more than it has tops, so that its chain counts?"""
    tops = sum(n for code, n in row.counts.items() if code != "ch")
    return row.stitch_count > tops


def _called(stitch: Stitch) -> tuple[str, ...]:
    kind = stitch.stands_as or stitch.kind
    return kind.abbreviation("US").lower(), kind.abbreviation("UK").lower()


def _spaces(fabric: Fabric, row: Row) -> list[list[int]]:
    found: list[list[int]] = []
    for before, index in zip([-2, *row.line], row.line, strict=False):
        stitch = fabric.stitches[index]
        if not stitch.kind.is_chain or stitch.counts_in is not None:
            continue
        if found and found[-1][-1] == before == index - 1:
            found[-1].append(index)
        else:
            found.append([index])
    return found


def _wrong_stop(original: Compiled, before: Fabric, one: Row, after: Fabric, other: Row, chain: bool = False) -> str:
    """A row that stopped at the end of the row before and now stops short, or that passed
    over no stitch and now passes over some."""
    for unworked, what in ((_left, "stops {} before the end of the row before"), (_passed, "passes over {} without a word")):
        was, now = unworked(before, one), unworked(after, other)
        if was == 0 and now not in (None, 0):
            return f"row {one.number} {what.format(now)}"
    return ""


def _below(fabric: Fabric, row: Row) -> list[int] | None:
    """The row before in the order this row meets it; None where it starts anew."""
    below = next((r for r in reversed(fabric.rows[: row.index]) if r.piece == row.piece), None)
    if below is None or row.form not in ("round", "row"):
        return None
    return list(below.line)[::-1] if row.turned else list(below.line)


def _feet(fabric: Fabric, row: Row) -> set[int]:
    return {i for s in row.stitches for p in fabric.stitches[s].feet for i in p.stitches}


def _is_place(stitch: Stitch) -> bool:
    return not stitch.kind.is_chain or stitch.role == "foundation" or stitch.counts_in is not None


def _left(fabric: Fabric, row: Row) -> int | None:
    """Stitches of the row before that lie beyond the last foot of this one."""
    line = _below(fabric, row)
    if not line:
        return None
    feet = _feet(fabric, row)
    spots = [at for at, i in enumerate(line) if i in feet]
    return sum(_is_place(fabric.stitches[i]) for i in line[spots[-1] + 1:]) if spots else None


def _passed(fabric: Fabric, row: Row) -> int | None:
    """Stitches of the row before, from this row's first foot on, that it does not work into."""
    line = _below(fabric, row)
    if not line:
        return None
    feet = _feet(fabric, row)
    spots = [at for at, i in enumerate(line) if i in feet]
    return sum(_is_place(fabric.stitches[i]) and i not in feet for i in line[spots[0]:]) if spots else None


def _not_there(original: Compiled, before: Fabric, slip: Slip) -> str:
    """A chain or a stitch that is named and is in neither the row nor the row before; or a
    chain of another length than the words that work into it call it."""
    if slip.kind == "chain number":
        return _misnamed_later(original, before, slip)
    if slip.kind not in ("chain named", "space named", "stitch named as place"):
        return ""
    rows = [r for r in before.rows if r.words and r.words.start <= slip.start < r.words.end]
    near = [s for r in rows for s in before.stitches if r.index - 1 <= s.row <= r.index]
    if slip.kind == "stitch named as place":
        there = any(slip.new.lower() in _called(s) for s in near)
    else:
        there = int(slip.new) in Counter((s.row, s.words, s.repeat) for s in near if s.kind.is_chain).values()
    return "" if there else f'there is no "{slip.new}" of that kind in the row or the row before'


def _misnamed_later(original: Compiled, before: Fabric, slip: Slip) -> str:
    chains = {s.index for s in before.stitches if s.kind.is_chain and s.words and s.words.start <= slip.start < s.words.end}
    naming = re.compile(rf"\bch-{slip.old}\b|\b{slip.old}-ch\b")
    for stitch in before.stitches:
        if stitch.words and any(chains & set(p.stitches) for p in stitch.feet):
            named = naming.search(original.text[stitch.words.start: stitch.words.end])
            if named:
                return f'a chain of {slip.new} is called "{named.group()}" later'
    return ""
