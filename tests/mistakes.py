"""The mistake finder's record: how many slips of the pen are found, and on which line.

    python tests/mistakes.py [--missed] [--line] [--nothing] [--same] [--cases] [part of a name …]

Takes patterns that are right (tests/corpus and specs; with --cases those of tests/cases/fabric),
makes one slip at a time in one number or one word (mistake_slips.py), and asks whether a problem
is reported and whether it stands on the line of the slip. A slip is one of three things:

* it contradicts something the pattern states. So does every slip in a written count, and every
  one that is reported. One that is not reported is held against sums made in mistake_sums.py, apart from
  the program's own checks: the written counts, recounted
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

import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from chartgen.problems import Problem
from mistake_slips import Slip, slips
from mistake_sums import Compiled, compiled, contradiction, counts_without_decreases, read_otherwise, right_in_itself, shape

TESTS = Path(__file__).resolve().parent
ROOT = TESTS.parent


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
        right = own or shown[:1] > (line,) and right_in_itself(original, slipped, slip, line)
        codes = tuple(dict.fromkeys(p.code for p in slipped.alarms))
        confirmed = slip.kind == "written count" or bool(contradiction(original, slipped, slip))
        return Verdict(slip, line, "contradicts", True, own, right, shown, "reported", codes, confirmed)
    state, why = _unreported(original, slipped, slip)
    return Verdict(slip, line, state, False, False, False, (), why)


def _unreported(original: Compiled, slipped: Compiled, slip: Slip) -> tuple[str, str]:
    if read_otherwise(original, slipped, slip):
        return "nothing", "another reading of the beginning chain agrees"
    if slip.kind == "written count":
        return ("nothing", "") if counts_without_decreases(original, slip) else ("contradicts", "a written count is wrong")
    same = [shape(f) for f in original.fabrics] == [shape(f) for f in slipped.fabrics]
    if same and slip.kind == "skip number":
        return "contradicts", "the number skipped is not the number passed over"
    why = contradiction(original, slipped, slip, same)
    if why:
        return "contradicts", why
    return ("same", "") if same else ("nothing", "")


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
