"""The mistake finder's record: how many slips of the pen are found, and on which line.

    python tests/mistakes.py [--missed] [--line] [--nothing] [--same] [--cases] [part of a name …]

Takes patterns that are right (tests/corpus, specs; with --cases the cases of tests/cases/fabric
instead, which nothing was tuned on), makes one slip at a time in one number
or one word, and asks whether a problem is reported and whether it stands on the line of the
slip. A slip is one of three things:

* it contradicts something the pattern states. So does every slip in a written count, and every
  one that is reported. One that is not reported is held against sums made here, apart from
  the program's own checks: the written counts, read by the expressions below and recounted
  from the stitches; the place where each row stops on the row before, and stitches passed over
  in a row that passes over none; a chain or a stitch named that is not there; a number to skip
  that is not the number passed over;
* it says the same in other words, so that the very same stitches are made;
* it contradicts nothing (a lace chain of 6 for 5), and no reader could find it; nor could one
  where a chain of two or more is not said to count and the slip agrees with the other reading.

The kinds of slip are those that published corrections of patterns mend most (common practice,
no source). Nothing is random: every place is tried, in order.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from chartgen.fabric.fabric import Fabric, Row, Stitch
from chartgen.fabric.work import work
from chartgen.notation import parse
from chartgen.problems import Problem, Source
from chartgen.read.reader import read_text

TESTS = Path(__file__).resolve().parent
ROOT = TESTS.parent
ORDER = {"US": ["sc", "hdc", "dc", "tr", "dtr"], "UK": ["dc", "htr", "tr", "dtr", "trtr"], "old": []}
STITCH = r"sc|hdc|dc|tr|dtr|htr|trtr"
UNITS = rf"{STITCH}|sts?|stitches|sps?|spaces?|loops?|shells?|groups?|picots?|clusters?|popcorns?|bobbles?|scallops?|leaves|bls?"
# "(20 sc)", "(30 sc, 6 picots)", "(60 (66, 72) sts)", "[12]": a bracket that counts.
COUNT = re.compile(
    rf"(?<!\d)(?<!\d )[(\[]\s*(?=\d)(?!\d+ times)(?P<what>(?:\d+(?:\s*\([\d, ]+\))?\s*(?:ch-\d+\s*|\d+-\w+\s*)?(?:(?:{UNITS}|[\w-]+s)\b)?[^()\[\],]*,?\s*)+)[)\]]"
    rf"(?!\s*(?:\d+\s*times|times|x\s*\d|twice|once|three times|in\b|around\b))", re.I)
IN_COUNT = re.compile(r"(?:(?<=^)|(?<=, )|(?<=and ))\d+", re.I)
MOST_ALIKE = 2     # of rows worded alike but for their numbers, so that no even pattern outweighs the rest
WORD_NUMBERS = {"once": ["twice"], "twice": ["once", "3 times"], "three": ["two", "four"]}


@dataclass(frozen=True)
class Slip:
    """One slip: the words of the file at `start` replaced."""

    kind: str
    start: int
    old: str
    new: str

    def made_in(self, text: str) -> str:
        return text[: self.start] + self.new + text[self.start + len(self.old):]


@dataclass(frozen=True)
class Verdict:
    slip: Slip
    line: int
    state: str              # "contradicts", "same" or "nothing"
    found: bool
    own_line: bool          # the first problem stands on the line of the slip
    right_line: bool        # or, where that line is right in itself, on a line that works into it
    shown_on: tuple[int, ...] = ()
    why: str = ""
    codes: tuple[str, ...] = ()
    confirmed: bool = False # of one that is reported: the sums made here find it too


# ---- slips ------------------------------------------------------------------------------


def slips(text: str, name: str) -> Iterator[Slip]:
    """Every slip that can be made in the rows of this spec."""
    document, _ = read_text(text, name)
    assert document is not None
    for piece in document.pieces:
        for part in piece.parts:
            alike: Counter[str] = Counter()
            for line, offset in part.words.lines:
                wording = re.sub(r"\d+", "n", line)
                alike[wording] += 1
                if alike[wording] <= MOST_ALIKE:
                    yield from _in_line(line, offset, document.terms)


def _in_line(line: str, offset: int, terms: str) -> Iterator[Slip]:
    head = re.match(r"\s*(?:(?:rows?|rnds?|rounds?)\b[^:]*:|\d+(?:st|nd|rd|th)\b[^:]*:|next[^:]*:)", line, re.I)
    start = head.end() if head else 0
    body = " " * start + line[start:]
    for match in list(COUNT.finditer(body)):
        for number in IN_COUNT.finditer(match["what"]):
            yield from _numbers("written count", number.group(), offset + match.start("what") + number.start(), (-2, -1, 1, 2))
        body = _blank(body, match.start(), match.end())
    for note in list(re.finditer(r"\([^()]*\b(?:counts?|multiple|made|throughout|at base)\b[^()]*\)", body, re.I)):
        body = _blank(body, note.start(), note.end())
    yield from _in_body(body, offset, terms)


def _blank(text: str, start: int, end: int) -> str:
    return text[:start] + " " * (end - start) + text[end:]


def _numbers(kind: str, old: str, start: int, by: tuple[int, ...] = (-1, 1)) -> Iterator[Slip]:
    for step in by:
        if int(old) + step > 0:
            yield Slip(kind, start, old, str(int(old) + step))


_NUMBERED = (
    ("repeat number", re.compile(r"(\d+)(?= (?:more )?times)|(?<=[)\]] x )(\d+)", re.I)),
    ("skip number", re.compile(r"(?:skip|sk|miss) (?:next |first |last )?(\d+)(?!\w)", re.I)),
    ("each of next n", re.compile(r"(?<!skip )(?<!sk )(?<!miss )(?:next|first|last) (\d+)(?![-\w])(?! more)", re.I)),
    ("chain number", re.compile(r"\bch (\d+)\b(?! \w+ times)", re.I)),
    ("stitches in a place", re.compile(rf"(?<![-\w])(\d+) (?:{STITCH}) in (?!each)", re.I)),
    ("chain named", re.compile(r"\bch-(\d+)(?! ?(?:sp|loop))(?!\w)", re.I)),
    ("space named", re.compile(r"\bch-(\d+)(?= (?:sp|loop))", re.I)),
)


def _in_body(body: str, offset: int, terms: str) -> Iterator[Slip]:
    for kind, pattern in _NUMBERED:
        for match in pattern.finditer(body):
            group = match.lastindex or 1
            yield from _numbers(kind, match.group(group), offset + match.start(group))
    for match in re.finditer(r"\b(once|twice)\b", body, re.I):
        for new in WORD_NUMBERS[match.group().lower()]:
            yield Slip("repeat number", offset + match.start(), match.group(), new)
    for match in re.finditer(r"\b(\d)(st|nd|rd|th)(?= ch\b)", body, re.I):
        for step in (-1, 1):
            if int(match[1]) + step > 0:
                yield Slip("ordinal", offset + match.start(), match.group(), _ordinal(int(match[1]) + step))
    for match in re.finditer(rf"\b(next|same)(?= (?:st|sp|ch-\d+ sp|{STITCH})\b)", body, re.I):
        yield Slip("next or same", offset + match.start(), match.group(), "same" if match.group().lower() == "next" else "next")
    yield from _names(body, offset, terms)


def _ordinal(n: int) -> str:
    return f"{n}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(n, 'th') }"


def _names(body: str, offset: int, terms: str) -> Iterator[Slip]:
    order = ORDER[terms]
    if not order:
        return
    for match in re.finditer(rf"(?<![-\w])({'|'.join(order)})\b", body, re.I):
        before = body[: match.start()]
        placed = re.search(r"(?:next|each|first|last|same|of|the|these|as|to|remaining|joining)(?: \d+)? $|\d(?:st|nd|rd|th) $|\bin $", before, re.I)
        kind = "stitch named as place" if placed else "stitch name"
        at = order.index(match.group().lower())
        for near in {at - 1, at + 1} & set(range(4)):
            new = order[near]
            yield Slip(kind, offset + match.start(), match.group(), new.capitalize() if match.group()[0].isupper() else new)


# ---- what the program makes of a text ------------------------------------------------------


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
    instructions = parse(document)
    fabrics = tuple(work(document, instructions, size) for size in range(document.size_count()))
    every = dict.fromkeys((*problems, *instructions.problems, *(p for f in fabrics for p in f.problems)))
    return Compiled(text, tuple(every), fabrics)


# ---- the sums made here ---------------------------------------------------------------------


def judge(original: Compiled, slip: Slip, name: str) -> Verdict:
    """What the slip is, and whether and where it was found."""
    line = original.line_of(slip.start)
    try:
        slipped = compiled(slip.made_in(original.text), name)
    except Exception as crash:
        return Verdict(slip, line, "contradicts", False, False, False, (), f"CRASH {crash!r}")
    if slipped.alarms:
        shown = slipped.lines()
        own = shown[:1] == (line,)
        right = own or shown[:1] > (line,) and _right_in_itself(original, slipped, slip, line)
        codes = tuple(dict.fromkeys(p.code for p in slipped.alarms))
        confirmed = slip.kind == "written count" or bool(_sums(original, slipped, slip))
        return Verdict(slip, line, "contradicts", True, own, right, shown, "reported", codes, confirmed)
    state, why = _unreported(original, slipped, slip)
    return Verdict(slip, line, state, False, False, False, (), why)


def _unreported(original: Compiled, slipped: Compiled, slip: Slip) -> tuple[str, str]:
    if _read_otherwise(original, slipped, slip):
        return "nothing", "another reading of the beginning chain agrees"
    if slip.kind == "written count":
        return ("nothing", "") if _counts_without_decreases(original, slip) else ("contradicts", "a written count is wrong")
    same = [_shape(f) for f in original.fabrics] == [_shape(f) for f in slipped.fabrics]
    if same and slip.kind == "skip number":
        return "contradicts", "the number skipped is not the number passed over"
    why = _sums(original, slipped, slip, same)
    if why:
        return "contradicts", why
    return ("same", "") if same else ("nothing", "")


def _sums(original: Compiled, slipped: Compiled, slip: Slip, same: bool = False) -> str:
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


def _read_otherwise(original: Compiled, slipped: Compiled, slip: Slip) -> bool:
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


def _counts_without_decreases(original: Compiled, slip: Slip) -> bool:
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


def _right_in_itself(original: Compiled, slipped: Compiled, slip: Slip, line: int) -> bool:
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


def _shape(fabric: Fabric) -> list:
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


# ---- the record ------------------------------------------------------------------------------


def patterns() -> list[Path]:
    return [*sorted((TESTS / "corpus").glob("*.yaml")), *sorted((ROOT / "specs").glob("*.yaml"))]


def texts(paths: list[Path]) -> list[tuple[str, str]]:
    return [(path.stem, path.read_text("utf-8")) for path in paths]


def case_texts() -> list[tuple[str, str]]:
    """The cases that must have no fault."""
    from casefiles import cases

    return [(case.name, case.text) for case in cases("fabric") if case.problems is None and not case.fault]


def record(
    taken: list[tuple[str, str]], every: int = 1
) -> tuple[list[tuple[str, Verdict]], list[tuple[str, Problem]]]:
    """A verdict for every `every`-th slip, and the alarms on the patterns as they are.

    `taken`: (name, text) of each pattern.
    """
    verdicts, alarms = [], []
    for (name, _), (judged, alarmed) in zip(taken, _each(taken, every), strict=True):
        verdicts += [(name, verdict) for verdict in judged]
        alarms += [(name, problem) for problem in alarmed]
    return verdicts, alarms


def _each(taken: list[tuple[str, str]], every: int) -> Iterator[tuple[list[Verdict], list[Problem]]]:
    """The record of each pattern, in order; the whole of it on all the processors there are."""
    jobs = [(name, text, every) for name, text in taken]
    if every > 1:
        yield from map(_of_one, jobs)
        return
    with ProcessPoolExecutor() as workers:
        yield from workers.map(_of_one, jobs)


def _of_one(job: tuple[str, str, int]) -> tuple[list[Verdict], list[Problem]]:
    """No slip is judged in a pattern that has an alarm as it is."""
    name, text, every = job
    original = compiled(text, name)
    if original.alarms:
        return [], original.alarms
    return [judge(original, slip, name) for slip in list(slips(text, name))[every - 1::every]], []


def table(verdicts: list[tuple[str, Verdict]]) -> str:
    """The record by kind of slip. `line`: shown on the line of the slip, or, where that line is
    right in itself, on one that works into it; `own`: shown on the very line of the slip."""
    kinds = list(dict.fromkeys(v.slip.kind for _, v in verdicts))
    head = (f"{'kind of slip':<24}{'made':>6}{'contradict':>12}{'found':>8}{'%':>7}{'line':>7}{'%':>7}{'own':>7}{'%':>7}"
            f"{'same':>7}{'nothing':>9}")
    lines = [head, "-" * len(head)]
    for kind in [*kinds, ""]:
        mine = [v for _, v in verdicts if kind in ("", v.slip.kind)]
        states = Counter(v.state for v in mine)
        found, right, own = (sum(getattr(v, f) for v in mine) for f in ("found", "right_line", "own_line"))
        wrong = states["contradicts"]
        lines.append(
            f"{kind or 'all':<24}{len(mine):>6}{wrong:>12}{found:>8}{_share(found, wrong):>7}{right:>7}{_share(right, found):>7}"
            f"{own:>7}{_share(own, found):>7}{states['same']:>7}{states['nothing']:>9}")
    return "\n".join(lines)


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f}" if whole else "-"


def _told(name: str, verdict: Verdict, text: str) -> str:
    words = text.splitlines()[verdict.line - 1].strip()
    slip = verdict.slip
    shown = f"shown on {','.join(map(str, verdict.shown_on))} {'/'.join(verdict.codes)}" if verdict.found else verdict.why
    return f"{name}:{verdict.line} {slip.kind}: {slip.old} -> {slip.new} (at {slip.start}) | {shown}\n    {words}"


WANTED = {
    "--missed": lambda v: v.state == "contradicts" and not v.found,
    "--line": lambda v: v.found and not v.right_line,
    "--nothing": lambda v: v.state == "nothing",
    "--same": lambda v: v.state == "same",
}


def main(arguments: list[str]) -> None:
    only = [a for a in arguments if not a.startswith("-")]
    every = case_texts() if "--cases" in arguments else texts(patterns())
    taken = [(name, text) for name, text in every if not only or any(o in name for o in only)]
    verdicts, alarms = record(taken)
    print(table(verdicts))
    reported = [v for _, v in verdicts if v.found]
    print(f"\nof the {len(reported)} found, {sum(v.confirmed for v in reported)} are found by the sums made here as well")
    print(f"false alarms on the {len(taken)} patterns as they are: {len(alarms)}")
    for name, problem in alarms:
        print(f"  {name}: {problem.code} {problem.message}")
    for flag in [f for f in WANTED if f in arguments]:
        print(f"\n{flag[2:]}:")
        print("\n".join(_told(n, v, dict(taken)[n]) for n, v in verdicts if WANTED[flag](v)))


if __name__ == "__main__":
    main(sys.argv[1:])
