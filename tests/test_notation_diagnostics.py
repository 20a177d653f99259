"""What a designer is told: one fault, one message; nothing hides, nothing cascades."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from casefiles import cases
from chartgen.cli import main
from chartgen.problems.codes import explanations
from patterns import spec
from test_fabric_cases import compiled

SHOWN = [case for folder in ("fabric", "notation") for case in cases(folder) if case.problems and not case.fault]
HEADS = re.compile(r"^(error|warning|note)\[(\w+)\]: (.*)$", re.M)
HELPS = re.compile(r"^ +help: (.*)$", re.M)

SIX = """\
Rnd 1: 6 sc in magic ring. (6)
Rnd 2: 2 scc in each st around. (12)
Rnd 3: *Sc in next st, 2 sc in next st. (18)
Rnd 4: Sc in next 2 sts, 2 sc in next st; rep from * around. (24)
Rnd 5: *Sc in next 3 sts, 2 sc in next st **; rep from * around. (31)
Rnd 6: Sc in next 40 sts. (30)
Rnd 7: *Sc in next 6 sts, 2 sc in next st; rep from * around. (35)
Rnd 8: Sc in each st around. (35)
"""


def told(words: str, worked: str = "rounds") -> list[tuple[int, str]]:
    """(row's line among the words, code) of every problem but notes."""
    text = spec(words, worked)
    first = text[: text.index(words.splitlines()[0])].count("\n")
    _, problems = compiled(text)
    return sorted((text[: p.span.start].count("\n") - first + 1, p.code) for p in problems if p.severity != "note" and p.span)


def test_six_faults_in_one_file_give_six_messages() -> None:
    """A misspelling, a star without its repeat, a repeat without its star, a wrong count, more
    stitches than there are, a repeat that does not come out: a message each, on its own row."""
    assert told(SIX) == [(2, "N201"), (3, "N205"), (4, "N203"), (5, "F320"), (6, "F301"), (7, "F310")]


@pytest.mark.parametrize("row", [2, 3, 4, 5, 6, 7])
def test_each_of_the_six_alone_is_told_alone(row: int) -> None:
    """Rows set right give none: the message of a row does not depend on the rows before."""
    right = {2: "Rnd 2: 2 sc in each st around. (12)", 3: "Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (18)",
             4: "Rnd 4: *Sc in next 2 sts, 2 sc in next st; rep from * around. (24)",
             5: "Rnd 5: *Sc in next 3 sts, 2 sc in next st; rep from * around. (30)", 6: "Rnd 6: Sc in next 30 sts. (30)",
             7: "Rnd 7: *Sc in next 5 sts, 2 sc in next st; rep from * around. (35)"}
    lines = SIX.splitlines()
    mended = [line if n == row else right.get(n, line) for n, line in enumerate(lines, 1)]
    found = told("\n".join(mended))
    assert [n for n, _ in found] == [row]


def test_the_rows_set_right_have_no_fault() -> None:
    """6, 12, 18, 24, 30, 30, 35: nothing is told."""
    assert told("""\
Rnd 1: 6 sc in magic ring. (6)
Rnd 2: 2 sc in each st around. (12)
Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (18)
Rnd 4: *Sc in next 2 sts, 2 sc in next st; rep from * around. (24)
Rnd 5: *Sc in next 3 sts, 2 sc in next st; rep from * around. (30)
Rnd 6: Sc in next 30 sts. (30)
Rnd 7: *Sc in next 5 sts, 2 sc in next st; rep from * around. (35)
Rnd 8: Sc in each st around. (35)
""") == []


def test_two_faults_in_one_row_are_two_messages() -> None:
    """The reader goes on after the next comma."""
    assert told("Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 scc in next st, sc in next 4 sxy, 2 sc in next st. (8)") == [(2, "N201"), (2, "N201")]


def test_a_wrong_count_is_told_once_though_later_rows_build_on_it() -> None:
    """Rows 3 to 6 agree with row 2 as worked or as written, and are not gainsaid."""
    assert told("Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across. (20 sc)\nRow 2: Ch 1, turn, sc2tog, sc in each st across. (18 sts)\n"
                "Rows 3-6: Ch 1, turn, sc in each st across. (19 sc)", "rows") == [(3, "F320")]
    assert told("Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across. (20 sc)\nRow 2: Ch 1, turn, sc2tog, sc in each st across. (18 sts)\n"
                "Rows 3-6: Ch 1, turn, sc in next 18 sts. (18 sc)", "rows") == [(3, "F320")]


@pytest.mark.parametrize("case", SHOWN, ids=lambda c: c.name)
def test_messages_are_a_crocheters_words(case) -> None:
    """Lower case unless a row or a stitch begins it, no full stop, no program's words."""
    for _, _, message in HEADS.findall(case.problems or ""):
        assert not message.endswith(".")
        assert message[0].islower() or re.match(r'(Row|Rnd|\d|")', message), message
        assert not re.search(r"\b(token|parse|None|null|index|exception|syntax|string|integer|invalid)\b", message), message
    for words in HELPS.findall(case.problems or ""):
        assert not words.endswith(".") or words.endswith('."'), words


@pytest.mark.parametrize("code", [c for c in explanations() if c[0] in "NF"])
def test_explain_prints_it(code: str) -> None:
    """`chartgen explain` gives title, meaning, what it does at the hook, an example and a cure."""
    result = CliRunner().invoke(main, ["explain", code.lower()])
    assert result.exit_code == 0
    assert result.output.startswith(f"{code}: ")
    assert all(part in result.output for part in ("At the hook:", "Example:", "Write instead:"))
