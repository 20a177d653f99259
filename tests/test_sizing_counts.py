"""Counts from measures: hand calculations, published examples, and laws that must hold."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartgen.read import Document
from chartgen.read.reader import read_text
from chartgen.sizing.counted import Sized, settle
from chartgen.sizing.gauged import allowed

HEAD = """\
format: 1
title: Chive hat
terms: US
gauge:
  hdc: {gauge}
sizes: [{sizes}]
{fits}counts:
{counts}
pieces:
  - name: Hat
    parts:
      - name: Body
        rounds: |
          Ch 8, join with sl st to form a ring.
          Rnd 1: Ch 2 (does not count as a st), 8 hdc in ring; join. (8 hdc)
"""


def document(*counts: str, fits: str = "", sizes: str = "one, two, three", gauge: str = "16 sts and 10 rows = 10 cm") -> Document:
    text = HEAD.format(counts="\n".join(f"  {c}" for c in counts), fits=f"{fits}\n" if fits else "", sizes=sizes, gauge=gauge)
    found, problems = read_text(text, "case.yaml")
    assert found is not None and not problems, [p.message for p in problems]
    return found


def sized(*counts: str, **keys: str) -> Sized:
    found = settle(document(*counts, **keys))
    assert not found.problems, [p.message for p in found.problems]
    return found


def values(*counts: str, **keys: str) -> dict[str, tuple[int, ...]]:
    return {str(c.name): c.values for c in sized(*counts, **keys).document.counts}


def test_a_head_by_hand() -> None:
    """WHO medians (2007) of boys at 12, 24 and 60 months, 46.1, 48.3 and 50.7 cm, less 2.5 cm, at 16 sts to 10 cm:
    43.6 x 1.6 = 69.76, 45.8 x 1.6 = 73.28, 48.2 x 1.6 = 77.12; the nearest multiples of 8 are 72, 72, 80
    (69.76 lies between 64 and 72)."""
    found = sized("BODY: around head less 2.5 cm, multiple of 8",
                  fits="fits: WHO head, boys 12 months (boys 24 months, boys 60 months)")
    body = found.counts[0]
    assert [w.count for w in body.sizes] == [72, 72, 80]
    assert [w.to_fit_cm for w in body.sizes] == [Fraction("46.1"), Fraction("48.3"), Fraction("50.7")]
    assert [w.finished_cm for w in body.sizes] == [45, 45, 50]
    assert [w.ease_cm for w in body.sizes] == [Fraction("-1.1"), Fraction("-3.3"), Fraction("-0.7")]
    assert body.repeat_cm == 5


def test_a_published_pullover() -> None:
    """Chest 38 in with 2 in of ease is 40 in finished (Yay For Yarn, Dotty Pullover, size M):
    at 16 sts to 4 in that is 160 sts."""
    found = values("CHEST: around chest plus 2 in", fits="fits:\n  chest: 38 in", gauge="16 sts = 4 in")
    assert found == {"CHEST": (160, 160, 160)}


@pytest.mark.parametrize(("rule", "gauge", "expected"), [
    # "Multiples of 5 + 2, (add 2 for base chain). For sample chain 14": 12 sts are 2 x 5 + 2, and two chains more
    ("FOO: 12, multiple of 5 plus 2\n  BASE: FOO plus 2", "16 sts = 10 cm", {"FOO": 12, "BASE": 14}),
    # an edging of filet, "792 per yard, or 33 for each pattern": 36 in at 22 chains to the inch, 24 patterns
    ("FOO: 36 in, multiple of 33", "22 sts = 1 in", {"FOO": 792}),
    # "multiple of 4 sts + 1 (add 1 for base chain)": 25 of 24 asked
    ("FOO: 24, multiple of 4 plus 1\n  BASE: FOO plus 1", "16 sts = 10 cm", {"FOO": 25, "BASE": 26}),
])
def test_published_foundation_multiples(rule: str, gauge: str, expected: dict[str, int]) -> None:
    """As quoted from published patterns (1930s to today), with the chain that each gives or that its rule makes."""
    assert values(rule, gauge=gauge) == {name: (n, n, n) for name, n in expected.items()}


@pytest.mark.parametrize(("rule", "expected"), [
    ("FOO: 50 cm", 80),                                   # 50 x 1.6
    ("FOO: 50 cm, multiple of 6 plus 1", 79),             # 79 = 13 x 6 + 1; 85 is further
    ("FOO: 50 cm, multiple of 6 less 1", 83),             # 77 and 83 are equally near: the larger
    ("FOO: 50 cm, odd", 81),                              # 79 and 81 are equally near
    ("FOO: 50 cm, multiple of 7, even", 84),              # 84 = 12 x 7; 70 is further
    ("FOO: 51 cm, multiple of 8, rounded down", 80),      # 81.6
    ("FOO: 51 cm, multiple of 8, rounded up", 88),
    ("FOO: 51 cm, at least 90", 90),
    ("FOO: 51 cm, multiple of 8, at most 79", 72),
    ("FOO: half of 51 cm", 41),                           # 25.5 x 1.6 = 40.8
    ("FOO: 50 cm less 10%", 72),                          # 45 x 1.6
    ("FOO: 80 less 8", 72),
    ("FOO: a quarter of 80 plus 3", 23),
    ("FOO: 80 divided by 8", 10),
    ("FOO: 12 cm in rows", 12),                           # 10 rows to 10 cm
    ("FOO: 12.6 cm in rows of hdc, even", 12),            # 12.6 lies nearer 12 than 14
    ("FOO: 20 in", 81),                                   # 50.8 x 1.6 = 81.28
])
def test_rules(rule: str, expected: int) -> None:
    assert values(rule)["FOO"] == (expected,) * 3


@pytest.mark.parametrize(("rule", "gauge", "expected"), [
    ("FOO: 17 cm, multiple of 6 plus 2", "22 sts = 10 cm", 38),      # 37.4; the panel's chain, 6 x 6 + 2
    ("FOO: 28 in", "14 sts = 4 in", 98),                             # 28 in at 14 sts to 4 in: 7 x 14
    ("FOO: 50 cm", "18 sts and 20 rows = 10 cm", 90),
    ("FOO: 50 cm in rows", "18 sts and 20 rows = 10 cm", 100),
])
def test_teaching_examples(rule: str, gauge: str, expected: int) -> None:
    """Lengths by gauge as teaching pages work them, and a chain of repeats with its edge."""
    assert values(rule, gauge=gauge)["FOO"] == (expected,) * 3


def test_counts_from_counts() -> None:
    """Plain arithmetic on what stands above: one value each, or one per size."""
    assert values("BODY: 72 (80, 88)", "EDGE: BODY plus 4", "HALF: half of EDGE", "LOOSE: BODY plus 2 (4, 6)") == {
        "BODY": (72, 80, 88), "EDGE": (76, 84, 92), "HALF": (38, 42, 46), "LOOSE": (74, 84, 94)}


def test_own_cells_are_marked() -> None:
    """The table's 50.3 cm at 60 months ((50.7 + 49.9) / 2) gives way to 51, and that is said."""
    found = sized("BODY: around head", fits="fits:\n  table: WHO head\n  rows: 12 months (24 months, 60 months)\n  head: table (table, 51) cm")
    assert [w.to_fit_cm for w in found.counts[0].sizes] == [Fraction("45.5"), Fraction("47.75"), 51]
    assert [str(n) for n in found.document.notes] == ["three: head 51 cm, set by the pattern in place of 50.3 cm (WHO head / 60 months)"]


@pytest.mark.parametrize(("rule", "fits", "code"), [
    ("FOO: around head", "", "G705"),
    ("FOO: around head", "fits: snug hats, child", "G705"),
    ("FOO: around head", "fits: WHO heads, 13 months", "G702"),
    ("FOO: around head", "fits: WHO head, 13 months", "G702"),
    ("FOO: around head", "fits:\n  haed: 50 cm", "G701"),
    ("FOO: 50 cm, multiple of 8, odd", "", "G703"),
    ("FOO: 50 cm less 60 cm", "", "G703"),
    ("FOO: 50 cm in rows of tr", "", "G704"),
    ("FOO: BODY less 8", "", "G706"),
])
def test_faults(rule: str, fits: str, code: str) -> None:
    """Each with its code, at words of the spec, and nothing raised."""
    found = settle(document(rule, fits=fits))
    assert code in {p.code for p in found.problems}
    assert all(p.span is not None for p in found.problems)


def test_a_hat_table_says_what_to_write() -> None:
    """Snug hats are no heads: the message says so, and what would do."""
    problem = settle(document("BODY: around head less 2 cm", fits="fits: snug hats, child")).problems[0]
    assert problem.message == "the table snug hats holds hats, not heads"
    assert "around snug hat" in problem.help


RULES = st.builds(
    lambda m, r, parity, rounding: f"multiple of {m} plus {r}{parity}, {rounding}",
    st.integers(1, 24), st.integers(0, 12), st.sampled_from(["", ", even", ", odd"]),
    st.sampled_from(["nearest", "rounded up", "rounded down"]),
)


@settings(max_examples=120, deadline=None)
@given(conditions=RULES, cm=st.lists(st.decimals(20, 150, places=1), min_size=3, max_size=3),
       sts=st.integers(8, 30), ease=st.integers(-5, 15))
def test_laws(conditions: str, cm: list[object], sts: int, ease: int) -> None:
    """A bigger body never gives fewer stitches; the finished measure is within half a step of the target
    (a whole one when rounded one way); the count meets every condition."""
    sign = "plus" if ease >= 0 else "less"
    small = " ".join(map(str, sorted(cm)[:1])) + " (" + ", ".join(map(str, sorted(cm)[1:])) + ") cm"
    found = settle(document(f"BODY: around chest {sign} {abs(ease)} cm, {conditions}" if ease else f"BODY: around chest, {conditions}",
                            fits=f"fits:\n  chest: {small}", gauge=f"{sts} sts = 10 cm"))
    if found.problems:
        assert allowed(document(f"BODY: 50 cm, {conditions}").rules[0]) is None
        return
    body = found.counts[0]
    counts = [w.count for w in body.sizes]
    assert counts == sorted(counts)
    step, unit = body.allowed.step, Fraction(10, sts)
    slack = step * unit / (2 if "nearest" in conditions else 1)
    for worked in body.sizes:
        assert (worked.count - body.rule.rest) % body.rule.multiple == 0
        assert not body.rule.parity or worked.count % 2 == (body.rule.parity == "odd")
        assert worked.finished_cm == worked.count * unit
        if worked.count > body.allowed.first:
            assert abs(worked.finished_cm - (worked.target_cm or 0)) <= slack


WORDS = st.lists(st.sampled_from([
    "around", "across", "over", "head", "chest", "BODY", "less", "plus", "half", "of", "10%", "0%", "1/0", "1..2", "2.5", "cm",
    "in", "rows", "sts", ",", "(", ")", "multiple", "0", "8", "even", "odd", "ease", "-5", "to", "opens", "stretches", "1.2.3%",
    "table", "-", "/", "WHO head", "12 months", "times", "divided by", "at least", "999999", "½",
]), min_size=1, max_size=9).map(" ".join)


@settings(max_examples=300, deadline=None)
@given(rule=WORDS, fits=WORDS, cell=WORDS, worn=WORDS)
def test_any_words_give_a_result_or_a_message(rule: str, fits: str, cell: str, worn: str) -> None:
    """No value of the keys about sizes ends in a traceback."""
    for body in (f'"{fits}"', f'{{table: "{fits}", rows: "{cell}", head: "{cell}", worn: {{Hat: "{worn}"}}}}', f'["{fits}", "{cell}"]'):
        text = HEAD.format(counts=f'  FOO: "{rule}"\n  BAR: "{cell}"', fits=f"fits: {body}\n", sizes="one, two", gauge="16 sts = 10 cm")
        found, problems = read_text(text, "case.yaml")
        if found is not None:
            settle(found)
        assert all(p.message for p in problems)
