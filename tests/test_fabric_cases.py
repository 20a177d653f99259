"""The wording of real patterns, worked: counts by hand arithmetic, messages as rendered.

The cases stand in `cases/fabric` and `cases/notation`; `casefiles.py` says how one is written.
Sources: the forms are those met in published patterns of 1848 to 2025; numbers are new. What a
beginning chain counts as, and where "next" stands after it, is common practice, no source.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from casefiles import Case, cases, known_faults
from patterns import rows, spec_of_parts, worked
from chartgen.fabric import repeating
from chartgen.fabric.fabric import Fabric
from chartgen.fabric.work import work_sizes
from chartgen.notation import parse
from chartgen.problems import Problem, Source
from chartgen.problems.codes import explanations
from chartgen.problems.render import merge_sizes, render_text
from chartgen.read.reader import read_text

ALL = [*cases("fabric"), *cases("notation")]
ROOT = Path(__file__).resolve().parent.parent
# Faults that a few rows cannot hold; each has a test of its own below.
ELSEWHERE = {"F317", "F334", "F335", "N212"}


def compiled(text: str) -> tuple[dict[str, Fabric], tuple[Problem, ...]]:
    document, found = read_text(text, "case.yaml")
    assert document is not None, [p.message for p in found]
    instructions = parse(document)
    fabrics = work_sizes(document, instructions)
    names = list(document.sizes) or [""]
    merged = merge_sizes([f.problems for f in fabrics], list(document.sizes) or [None])
    return dict(zip(names, fabrics, strict=True)), (*found, *instructions.problems, *merged)


def _marked(case: Case):
    marks = [pytest.mark.xfail(reason=case.fault, strict=True)] if case.fault else []
    return pytest.param(case, id=case.name, marks=marks)


@pytest.mark.parametrize("case", [_marked(case) for case in ALL])
def test_no_stitch_is_left_of_a_reading_that_was_given_up(case: Case) -> None:
    """Every stitch of a fabric that is drawn is in one row, once."""
    fabrics, problems = compiled(case.text)
    for fabric in fabrics.values() if not any(p.severity == "error" for p in problems) else ():
        assert sorted(i for row in fabric.rows for i in row.stitches) == list(range(len(fabric.stitches)))


@pytest.mark.parametrize("case", [_marked(case) for case in ALL])
def test_case(case: Case) -> None:
    """The counts and messages that the case's own sentence explains."""
    fabrics, problems = compiled(case.text)
    if case.problems is None:
        assert not [p.message for p in problems if p.severity != "note"]
    else:
        assert render_text(problems, Source("case.yaml", case.text)) == case.problems
    for size, expected in case.counts.items():
        fabric = fabrics[size] if size else next(iter(fabrics.values()))
        rows = {r.number: r for r in fabric.rows if r.form in ("round", "row")}
        for number, (stitches, kinds) in expected.items():
            assert rows[number].stitch_count == stitches, (number, rows[number].counts)
            assert kinds is None or rows[number].counts == kinds, number
    for number, colours in case.colours.items():
        row = next(r for r in next(iter(fabrics.values())).rows if r.number == number and r.form in ("round", "row"))
        assert row.colours == colours


def test_every_case_says_what_right_looks_like() -> None:
    """And no two cases share a name."""
    assert all(len(case.says.split()) >= 4 for case in ALL), [c.name for c in ALL if len(c.says.split()) < 4]
    assert len({case.name for case in ALL}) == len(ALL)
    assert all(case.counts or case.problems for case in ALL), [c.name for c in ALL if not (c.counts or c.problems)]
    assert set(known_faults()) <= {case.name for case in ALL}


def raised_in(folder: str) -> set[str]:
    """Codes written in the sources of a package."""
    sources = (ROOT / "chartgen" / folder).glob("*.py")
    return {code for path in sources for code in re.findall(r'"([A-Z]\d{3})"', path.read_text("utf-8"))}


@pytest.mark.parametrize("folder", ["notation", "fabric"])
def test_every_code_is_explained_and_has_a_case(folder: str) -> None:
    """A code that no case raises would be a message nobody has ever looked at."""
    raised = raised_in(folder)
    shown = {code for case in ALL for code in re.findall(r"^\w+\[(\w\d{3})\]", case.problems or "", re.M)} | ELSEWHERE
    assert raised <= set(explanations())
    assert raised <= shown
    assert {code for code in explanations() if code[0] == folder[0].upper()} <= raised


def test_ways_to_end_a_repeat_are_not_tried_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    """F317: at a limit of two, a row whose last pass must be tried in three places is given up."""
    monkeypatch.setattr(repeating, "_MOST_TRIES", 2)
    _, problems = worked(
        "Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across. (20 sc)\n"
        "Row 2: Ch 1, turn, *sc in next st; rep from * across, *hdc in next st; rep from * across, tr in next 9 sts.",
        "rows")
    assert [p.code for p in problems] == ["F317"]


def test_a_round_works_back_along_its_chain() -> None:
    """ "Sc in 2nd ch from hook" of 6 is the fifth made; the last ch is the first made; then along its free side."""
    fabric, _ = worked(
        "Ch 6.\nRnd 1: Sc in 2nd ch from hook, sc in each of next 3 ch, 3 sc in last ch, working along other side "
        "of chain, sc in each of next 3 ch, 2 sc in last ch, join with sl st in first sc. (12 sc)\n", "rounds")
    stood = [fabric.stitches[i].feet[0] for i in fabric.rows[1].line]
    chains = [fabric.stitches[p.stitches[0]].n for p in stood]
    assert chains == [5, 4, 3, 2, 1, 1, 1, 2, 3, 4, 5, 5]
    assert [p.far_side for p in stood] == [False] * 7 + [True] * 5


TOE_AND_HEEL = """
      - name: Foot
        rounds: |
          Ch 4, join with sl st to form a ring.
          Rnd 1: 12 sc in ring. (12 sc)
          Rnd 2: Sc in each st around. (12 sc)
      - name: Heel
        rows: |
          Row 1: {turn}Sc in each of next 6 sts, leave last 6 sts unworked, turn. (6 sc)
          Row 2: Ch 1, sc in each st across. (6 sc)
"""


def test_a_foundation_row_is_not_taken_for_the_chain_it_stands_on() -> None:
    """Both come before Row 1 and have the number 0: the second is marked so that no place of the chart is named twice."""
    fabric, problems = worked("Ch 7.\nFoundation row: Sc in 2nd ch from hook and in each ch across, turn. (6 sc)\nRow 1: Ch 1, sc in each sc across. (6 sc)", "rows")
    assert not problems and [row.mark for row in fabric.rows] == ["0", "0.2", "1"]


def test_do_not_turn_takes_back_a_turn_at_the_end_of_the_row_before() -> None:
    """A border goes on from the last row, right side or wrong, though that row's words still say "turn"."""
    fabric, problems = worked("Ch 7.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (6 sc)\nRow 2: Ch 1, sc in each sc across, turn.\nRow 3: Do not turn, ch 1, reverse sc in each sc across. (6 sts)", "rows")
    assert not problems and [(row.side, row.turned) for row in rows(fabric)] == [("RS", True), ("WS", True), ("WS", False)]


@pytest.mark.parametrize(("turn", "sides"), [("", ["RS", "WS"]), ("Ch 1, turn, ", ["WS", "RS"])])
def test_rows_on_a_round_go_on_as_it_was_worked_until_they_turn(turn: str, sides: list[str]) -> None:
    """A heel: the hook works on over half of the round, right side facing, and turns after it; "turn" first is a
    turn. In the first case it goes into the round's first six, in the other into its last six (common practice, no source)."""
    text = "format: 1\ntitle: Sock\nterms: US\npieces:\n  - name: Sock\n    parts:" + TOE_AND_HEEL.format(turn=turn)
    fabric = compiled(text)[0][""]
    heel = [row for row in fabric.rows if row.part == 1]
    assert [row.side for row in heel] == sides
    last = [i for i in fabric.rows[heel[0].index - 1].line]
    into = [place.stitches[0] for i in heel[0].stitches for place in fabric.stitches[i].feet]
    assert into == (last[:6] if not turn else last[::-1][:6])


POT_HOLDER = """Ch 4, join with sl st to form ring.
Rnd 1: Ch 1, {n} sc in ring; join with sl st in first sc.
Rnd 2: Ch 1, 2 sc in each sc around; join."""


@pytest.mark.parametrize(
    "joined",
    [
        "Rnd 3: Ch 1, working through both layers, sc in each sc around; join.",
        "Rnd 3: With wrong sides together and working through both thicknesses, ch 1, sc in each sc around; join.",
        "Rnd 3: Through both pieces, ch 1, sc in each sc around; join.",
        "Rnd 3: Ch 1, sc in each sc around through both thicknesses; join.",
        "Rnd 3: Ch 1, sc through both layers of Front and Back in each sc around; join.",
        "Rnd 3: Ch 1, sc through both layers around; join.",
    ],
)
@pytest.mark.parametrize(("behind", "code"), [(8, "F334"), (9, "F335")])
def test_a_round_through_both_layers_needs_edges_of_the_same_count(joined: str, behind: int, code: str) -> None:
    """Two discs of 16, or one of 16 on one of 18: joined by 16 sc, which leaves 2 of the 18 over."""
    front, back = POT_HOLDER.format(n=behind) + " Fasten off.", POT_HOLDER.format(n=8) + "\n" + joined
    fabrics, problems = compiled(spec_of_parts(("Front", "rounds", front), ("Back", "rounds", back)))
    assert [p.code for p in problems] == [code] and fabrics[""].rows[-1].counts == {"ch": 1, "sc": 16}
    assert "Back has 16 sts" in problems[0].message and f"Front has {2 * behind} sts" in problems[0].message


def test_one_part_has_no_second_layer_to_count() -> None:
    """A piece that is folded, and an edge of another form: nothing is said of a layer that no part makes."""
    assert not worked(POT_HOLDER.format(n=8) + "\nRnd 3: Ch 1, working through both layers, sc in each sc around; join.")[1]
    square = "Ch 17.\nRow 1: Sc in 2nd ch from hook and in each ch across. (16 sc)"
    back = POT_HOLDER.format(n=8) + "\nRnd 3: Ch 1, sc in each sc around through both layers; join."
    assert not [p for p in compiled(spec_of_parts(("Front", "rows", square), ("Back", "rounds", back)))[1]]


TWELVE_WIDE = "Ch 13.\nRow 1: Sc in 2nd ch from hook and in each ch across. (12 sc)\nRow 2: Ch 1, turn, sc in each sc across. (12 sc)"


@pytest.mark.parametrize(
    ("name", "called"),
    [("Sleeves (make 2)", "Sleeves"), ("Sleeves (make 2)", "Sleeve"), ("Back and Front (both alike)", "Back"), ("Back and Front (both alike)", "Front"), ("Left cuff & right cuff", "right cuff")],
)
def test_a_part_goes_by_each_name_in_its_own(name: str, called: str) -> None:
    """Without the remark in brackets, one of many, one of two."""
    fabrics, problems = compiled(spec_of_parts((f"'{name}'", "rows", TWELVE_WIDE), ("Pocket", "rows", f"Work as for {called}.")))
    assert not problems and [row.stitch_count for row in rows(fabrics[""])] == [12, 12, 12, 12]


def test_a_name_that_two_parts_share_is_nobodys() -> None:
    """Two pairs of sleeves: which of them is meant is not guessed."""
    parts = [(f"'Sleeves ({n})'", "rows", TWELVE_WIDE) for n in ("short", "long")]
    assert [p.code for p in compiled(spec_of_parts(*parts, ("Cuff", "rows", "Work as for Sleeves.")))[1]]


@pytest.mark.parametrize(
    "words",
    ["Work same as Top, but do not fasten off at end of Rnd 2.", "Work to end of Rnd 2 of Top, do not fasten off.", "Work same as Top to end of Rnd 2, but do not break thread."],
)
def test_a_part_like_another_stays_on_the_hook_for_the_round_that_joins_both(words: str) -> None:
    """8 and 16 twice; then 16 through both pieces."""
    top = "Ch 4, join with sl st.\nRnd 1: Ch 1, 8 sc in ring. Join.\nRnd 2: Ch 1, 2 sc in each sc, join. Fasten off. (16 sc)"
    closed = "Rnd 3: Place top and bottom together and work a rnd of sc through both loops of both pieces, stuffing before closing; join. (16 sc)"
    fabrics, problems = compiled(spec_of_parts(("Top", "rounds", top), ("Bottom", "rounds", f"{words}\n{closed}")))
    assert not [p for p in problems if p.severity != "note"]
    assert [row.stitch_count for row in rows(fabrics[""]) if row.number != "0"] == [8, 16, 8, 16, 16]
