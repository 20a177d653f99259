"""The commands about sizes, as they are typed; the schema; the codes."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator

from chartgen.cli import main
from chartgen.problems.codes import explanations
from chartgen.read.schema import schema

HAT = Path(__file__).parent.parent / "specs" / "thyme-hat.yaml"
BODIES = """\
format: 1
title: Chive hat
terms: US
gauge: {hdc: "14 sts and 10.5 rows = 10 cm"}
sizes: [child, adult]
fits:
  table: adult survey
  rows: [woman P5, woman]
  head: table (57) cm
  worn: {Hat: "around head, ease -6 to 0 cm"}
counts: {BODY: "around head less 2.5 cm, multiple of 8", EDGE: BODY plus 4, PLAIN: 72 (80)}
pieces: [{name: Hat, parts: [{name: Body, rounds: "Ch 4."}]}]
"""


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_sizes_lists_and_prints() -> None:
    assert "snug hats" in run("sizes").output
    printed = run("sizes", "who head")
    assert printed.exit_code == 0 and "boys 12 months P97" in printed.output
    missing = run("sizes", "who hats")
    assert missing.exit_code == 2 and "there is no body table 'who hats'" in missing.output


@pytest.mark.parametrize(("words", "said"), [
    (("crown", "--gauge", "hdc: 14 sts and 10.5 rows = 10 cm", "--around", "51.5 cm", "--multiple", "8", "--depth", "22 cm"),
     "Rnds 10-23: Ch 2, hdc in each st around; join. (72 hdc)"),
    (("shape", "--from", "20", "--to", "36", "--rows", "40"), "increase 1 st at each end of Rows 4, 9,"),
    (("armhole", "--gauge", "sc: 18 sts and 20 rows = 10 cm", "--chest", "84", "--back", "66", "--depth", "19 cm", "--sleeve", "60"),
     "the edge is 22.4 cm"),
    (("neck", "--gauge", "hdc: 16 sts and 12 rows = 10 cm", "--across", "46", "--width", "16.5 cm", "--depth", "5 cm", "--row", "9"),
     "Row 15: Skip next 18 unworked sts of Row 8, join yarn with sl st in next st, ch 2, hdc in same st, hdc in each st across. (14 hdc)"),
    (("edge", "--gauge", "dc: 14 sts and 8 rows = 10 cm", "--edge", "sc: 16 sts = 10 cm", "--rows", "40"),
     "2 sc in each row end across. (80 sc)"),
])
def test_plan(words: tuple[str, ...], said: str) -> None:
    result = run("plan", *words)
    assert result.exit_code == 0 and said in result.output, result.output


@pytest.mark.parametrize("words", [
    ("crown", "--gauge", "hdc: 14 per 10", "--around", "51.5 cm"),
    ("crown", "--gauge", "hdc: 14 sts and 10 rows = 10 cm", "--around", "51.5"),
    ("crown", "--gauge", "hdc: 14 sts and 10 rows = 10 cm"),
    ("crown", "--gauge", "huh: 14 sts and 10 rows = 10 cm", "--around", "50 cm"),
    ("shape", "--stitch", "huh", "--from", "20", "--to", "22", "--rows", "4"),
    ("shape", "--from", "20", "--to", "90", "--rows", "4"),
])
def test_plan_refuses_in_one_line(words: tuple[str, ...]) -> None:
    """Exit 2 and a sentence, never a traceback."""
    result = run("plan", *words)
    assert result.exit_code == 2
    assert "rror: " in result.output and "Traceback" not in result.output


def test_grade_writes_a_spec_that_compiles(tmp_path: Path) -> None:
    graded = tmp_path / "graded.yaml"
    result = run("grade", str(HAT), "--from", "adult", "--sizes", "child = 45.5 cm, adult, large = 57 cm",
                 "--depth", "20 (22, 23) cm", "-o", str(graded))
    assert result.exit_code == 0
    assert "sts 64 (72, 80) (multiple of 4: 2.9 cm a step)" in result.output
    assert "Hat circumference: 51.4 cm before; 45.7 (51.4, 57.1) cm" in result.output
    assert run("check", str(graded)).exit_code == 0
    assert run("grade", str(HAT), "--sizes", "child = 45.5 cm").exit_code == 2


def test_local_edits_are_marked_in_every_output(tmp_path: Path) -> None:
    """A cell of the pattern's own is named on charts and schematic, in the words and in the report; counts stand as lists."""
    path = tmp_path / "chive-hat.yaml"
    rows = "          Ch BODY, join with sl st to form a ring.\n          Rnd 1: Ch 2 (does not count as a st), hdc in each ch around; join. (BODY hdc)\n"
    head = BODIES[: BODIES.index("pieces:")]
    path.write_text(f"{head}pieces:\n  - name: Hat\n    parts:\n      - name: Body\n        rounds: |\n{rows}", "utf-8")
    assert run("build", str(path), "-o", str(tmp_path)).exit_code == 0
    assert run("words", str(path), "-o", str(tmp_path)).exit_code == 0
    mark = "head 57 cm, set by the pattern in place of 56 cm"
    outputs = {p.name: unescape(p.read_text("utf-8")) for p in tmp_path.iterdir()}
    for name in ("chive-hat.chart.adult.svg", "chive-hat.schematic.svg", "chive-hat.check.json", "chive-hat.words.en-US.md"):
        assert mark in outputs[name], name
    assert mark not in outputs["chive-hat.chart.child.svg"]
    assert mark in run("check", str(path)).output
    assert "To fit head 53.2 (57) cm." in outputs["chive-hat.schematic.svg"]
    for name in ("chive-hat.chart.adult.svg", "chive-hat.schematic.svg"):
        assert "PLAIN 72 (80), BODY 72 (80), EDGE 76 (84)" in outputs[name], name


def test_yarn_and_sets() -> None:
    result = run("yarn", str(HAT), "--weighed", "adult, A = 62 g", "--weighed", "adult, B = 18 g", "--spare", "0")
    assert result.exit_code == 0 and re.search(r"^A \(thyme green\): \d+ \(62, \d+\) g, ", result.output, re.MULTILINE)
    assert run("yarn", str(HAT), "--weighed", "62").exit_code == 2
    assert run("sets", str(HAT), str(HAT)).output.endswith("One set\n")


def test_the_schema_takes_what_the_reader_takes() -> None:
    """Bodies, own cells, how it is worn, rules; and refuses a body that is no body."""
    good = Draft202012Validator(schema())
    spec = yaml.load(BODIES, yaml.BaseLoader)
    assert [e.message for e in good.iter_errors(spec)] == []
    for fits in ("WHO head, 12 months (24 months)", ["WHO head / 12 months", "adult survey / woman"]):
        assert good.is_valid({**spec, "fits": fits})
    assert not good.is_valid({**spec, "fits": "head"})
    assert not good.is_valid({**spec, "counts": {"BODY": "sixty"}})


def test_every_code_about_sizes_is_explained() -> None:
    sources = (Path(__file__).parent.parent / "chartgen" / "sizing").glob("*.py")
    raised = {code for path in sources for code in re.findall(r'"(G\d{3})"', path.read_text("utf-8"))}
    assert raised == {code for code in explanations() if code.startswith("G")}


def test_the_readme_says_what_the_program_reads(tmp_path: Path) -> None:
    """Its example of sizes: 43.5 cm and 49 cm at 14 sts to 10 cm are 60.9 and 68.6; fours plus one give 61 and 69."""
    [example] = re.findall(r"```text\n(sizes: .*?)```", (HAT.parent.parent / "README.md").read_text("utf-8"), re.DOTALL)
    rows = "          Ch BODY, join with sl st to form a ring.\n          Rnd 1: Ch 2 (does not count as a st), hdc in each ch around; join. (BODY hdc)\n"
    path = tmp_path / "chive-hat.yaml"
    path.write_text(f"format: 1\ntitle: Chive hat\nterms: US\ngauge:\n  hdc: 14 sts and 10.5 rows = 10 cm\n{example}"
                    f"pieces:\n  - name: Hat\n    parts:\n      - name: Body\n        rounds: |\n{rows}", "utf-8")
    result = run("check", str(path))
    assert result.exit_code == 0 and "BODY: 61 (69) sts" in result.output, result.output
    assert "changed: large: head 51 cm, set by the pattern in place of 50.3 cm" in result.output
