"""A sample of the mistake finder's record; `python tests/mistakes.py` prints the whole of it.

The patterns in tests/corpus are published ones (their heads name the sources), so that the slips
are made in somebody else's words.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from mistake_slips import COUNT, Slip, slips
from mistake_sums import compiled
from mistakes import judge, patterns, record, table, texts

EVERY = 19          # of the slips that can be made, so many to one that is tried here
FOUND, PLACED = 0.98, 0.95


@pytest.fixture(scope="module")
def taken() -> tuple:
    return record(texts(patterns()), EVERY)


def test_no_alarm_on_patterns_that_are_right(taken: tuple) -> None:
    """What is printed and correct raises neither error nor warning."""
    _, alarms = taken
    assert [(name, p.message) for name, p in alarms] == []


def test_slips_that_contradict_the_pattern_are_found(taken: tuple) -> None:
    """98 in 100 are reported, and 95 in 100 of these on a line that holds the contradiction."""
    verdicts, _ = taken
    wrong = [v for _, v in verdicts if v.state == "contradicts"]
    found = [v for v in wrong if v.found]
    assert len(wrong) > 80
    missed = [f"{name}:{v.line} {v.slip.kind} {v.slip.old} -> {v.slip.new}: {v.why}"
              for name, v in verdicts if v.state == "contradicts" and not v.found]
    assert len(found) >= FOUND * len(wrong), missed
    assert sum(v.right_line for v in found) >= PLACED * len(found)


def test_the_table_adds_up(taken: tuple) -> None:
    """The last line is the sum of the others."""
    verdicts, _ = taken
    rows = [line[24:].split() for line in table(verdicts).splitlines()[2:]]
    assert sum(int(row[0]) for row in rows[:-1]) == int(rows[-1][0]) == len(verdicts)


ROUND = """\
format: 1
title: Thyme disc
terms: US
for: home
gauge:
  sc: 20 sts and 20 rows = 10 cm
pieces:
  - name: Disc
    parts:
      - name: Disc
        rounds: |
          Rnd 1: 6 sc in magic ring. (6 sc)
          Rnd 2: 2 sc in each sc around. (12 sc)
          Rnd 3: *Sc in next sc, 2 sc in next sc; rep from * around. (18 sc)
          Rnd 4: *Sc in next 2 sc, ch 5, skip next sc; rep from * around. (12 sc)
"""


def test_every_kind_of_slip_is_made() -> None:
    """Counts by one and two, numbers by one, stitches by their neighbours, next and same."""
    made = {(s.kind, s.old, s.new) for s in slips(ROUND, "disc.yaml")}
    assert ("written count", "12", "10") in made and ("written count", "12", "13") in made
    assert ("stitches in a place", "6", "7") in made
    assert ("each of next n", "2", "3") in made
    assert ("stitch name", "Sc", "Hdc") in made
    assert ("stitch named as place", "sc", "hdc") in made
    assert ("chain number", "5", "6") in made
    assert ("next or same", "next", "same") in made
    assert not any(kind == "skip number" for kind, _, _ in made)     # "skip next sc" has no number


@pytest.mark.parametrize(("words", "old", "new", "state"), [
    ("(18 sc)", "18", "17", "contradicts"),        # a wrong count
    ("2 sc in each", "2", "3", "contradicts"),     # 18 sc where 12 are said
    ("ch 5, skip", "5", "6", "nothing"),           # a longer loop: no words name it
])
def test_a_slip_is_what_it_is(words: str, old: str, new: str, state: str) -> None:
    """Judged by hand in this disc of 6, 12, 18 and 12 stitches."""
    start = ROUND.index(words) + words.index(old)
    kind = "written count" if words[0] == "(" else "chain number" if words.startswith("ch") else "stitches in a place"
    assert judge(compiled(ROUND, "disc.yaml"), Slip(kind, start, old, new), "disc.yaml").state == state


@pytest.mark.parametrize(("words", "found"), [
    ("around. (18 sc)", ["18 sc"]), ("(30 sc, 6 picots)", ["30 sc, 6 picots"]), ("[12]", ["12"]),
    ("(6 ch-2 sps)", ["6 ch-2 sps"]), ("(ch 3, dc in next dc) 12 times", []), ("(2 dc, ch 1, 2 dc) in next st", []),
])
def test_a_bracket_that_counts_is_told_from_one_that_is_worked(words: str, found: list[str]) -> None:
    """Read apart from the program's own reading of counts."""
    assert [m["what"].strip() for m in COUNT.finditer(words)] == found


def test_the_record_is_the_same_every_time() -> None:
    """Nothing is random."""
    path = Path(__file__).parent / "corpus" / "02-square-in-rounds.yaml"
    assert record(texts([path]), 23) == record(texts([path]), 23)
