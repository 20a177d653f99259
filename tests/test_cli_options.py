"""Options and exit codes: 0 well, 1 the pattern, 2 the way it was called."""

from __future__ import annotations

import contextlib
import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest

Run = Callable[..., CompletedProcess[str]]
WRONG_COUNT = ("(24 dc)", "(25 dc)")
MISSED = ("5 cm ± 1 cm", "30 cm ± 1 cm")
THREE_SIZES = ("for: home", "for: home\nsizes: [small, medium, large]")


@pytest.fixture
def spec(tmp_path: Path, coaster: str) -> Callable[..., Path]:
    """Writes the coaster, with words exchanged, and gives its path."""

    def write(*exchanges: tuple[str, str], name: str = "coaster.yaml") -> Path:
        text = coaster
        for old, new in exchanges:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
        return path

    return write


def test_a_right_pattern_is_built(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    """Exit 0; exactly the four files that the README names; their paths on standard output."""
    done = chartgen("build", spec())
    names = ["coaster.chart.svg", "coaster.check.json", "coaster.key.svg", "coaster.schematic.svg"]
    assert (done.returncode, done.stderr) == (0, "")
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == names
    assert sorted(Path(line).name for line in done.stdout.splitlines()) == names


def test_sizes_have_a_chart_each(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    done = chartgen("build", spec(THREE_SIZES), "-o", "drawn")
    assert done.returncode == 0
    assert sorted(p.name for p in (tmp_path / "drawn").glob("*.chart.*")) == [
        "coaster.chart.large.svg", "coaster.chart.medium.svg", "coaster.chart.small.svg",
    ]  # fmt: skip


def test_one_size_of_several(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    assert chartgen("build", spec(THREE_SIZES), "--size", "medium").returncode == 0
    assert [p.name for p in (tmp_path / "out").glob("*.chart.*")] == ["coaster.chart.medium.svg"]


def test_an_unknown_size_names_near_ones(chartgen: Run, spec: Callable[..., Path]) -> None:
    done = chartgen("build", spec(THREE_SIZES), "--size", "medum")
    assert done.returncode == 2
    assert "did you mean medium?" in done.stderr and done.stdout == ""


def test_a_size_of_a_pattern_without_sizes(chartgen: Run, spec: Callable[..., Path]) -> None:
    done = chartgen("chart", spec(), "--size", "M")
    assert done.returncode == 2 and "one size only" in done.stderr


def test_a_wrong_count_draws_nothing(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    """An error in counting: exit 1, the message on standard error with both numbers, no file."""
    done = chartgen("build", spec(WRONG_COUNT))
    assert done.returncode == 1 and done.stdout == ""
    assert "24" in done.stderr and "25" in done.stderr
    assert not (tmp_path / "out").exists()


def test_earlier_outputs_outlive_a_failed_build(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    """Byte for byte, and no file beside them."""
    chartgen("build", spec())
    before = {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()}
    assert len(before) == 4
    assert chartgen("build", spec(WRONG_COUNT)).returncode == 1
    assert {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()} == before


def test_a_missed_measurement_is_drawn_and_fails(
    chartgen: Run, spec: Callable[..., Path], tmp_path: Path
) -> None:
    """Exit 1, everything drawn, and the drawings say so."""
    done = chartgen("build", spec(MISSED))
    assert done.returncode == 1 and len(list((tmp_path / "out").iterdir())) == 4
    for drawing in ("chart", "schematic"):
        assert "30 cm" in (tmp_path / f"out/coaster.{drawing}.svg").read_text("utf-8")


def test_two_builds_give_the_same_bytes(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    for folder in ("one", "two"):
        chartgen("build", spec(), "-o", folder, PYTHONHASHSEED=str(len(folder) + ord(folder[0])))
    one, two = ({p.name: p.read_bytes() for p in (tmp_path / f).iterdir()} for f in ("one", "two"))
    assert one == two


def test_check_json_is_one_object_per_line(chartgen: Run, spec: Callable[..., Path]) -> None:
    """Nothing else on either stream; several specs: the highest exit code."""
    right, wrong = spec(), spec(WRONG_COUNT, name="wrong.yaml")
    done = chartgen("check", "--json", right, wrong)
    reports = [json.loads(line) for line in done.stdout.splitlines()]
    assert (done.returncode, done.stderr) == (1, "")
    assert [report["ok"] for report in reports] == [True, False]
    assert [Path(report["spec"]).name for report in reports] == ["coaster.yaml", "wrong.yaml"]


def test_check_json_counts(chartgen: Run, spec: Callable[..., Path]) -> None:
    """Every key of the contract. Round 2: ch 3 that counts, then 1 + 2 x 11 = 23 dc, so 24."""
    [report] = [json.loads(chartgen("check", "--json", spec()).stdout)]
    [size] = report["sizes"]
    assert set(report) == {"spec", "ok", "sizes", "problems"} and size["size"] is None
    assert size["rows"][1] == {
        "piece": "Coaster", "part": "Disc", "row": "2", "side": "RS",
        "counts": {"ch": 3, "dc": 23}, "stitches": 24,
        "declared": 24, "declared_counts": {"dc": 24}, "colours": {},
    }  # fmt: skip
    [measured] = size["measurements"]
    assert (measured["piece"], measured["part"], measured["name"]) == ("Coaster", None, "diameter")
    assert (measured["promised_cm"], measured["tolerance_cm"], measured["ok"]) == (5, 1, True)
    # two rounds of 10/8 cm to either side of the middle: 2 x 2 x 1.25 cm
    assert measured["computed_cm"] == pytest.approx(5.0)


def test_check_says_how_everything_came_out(chartgen: Run, spec: Callable[..., Path]) -> None:
    """Report on standard output: counts per row, measurements with their verdict."""
    done = chartgen("check", spec())
    assert done.returncode == 0
    assert "Sorrel coaster" in done.stdout and "24 sts" in done.stdout and "kept" in done.stdout


def test_check_prints_sizes_the_trades_way(chartgen: Run, spec: Callable[..., Path]) -> None:
    three = [THREE_SIZES, ("11 dc in ring", "11 (13, 15) dc in ring"), ("(12 dc)", "(12 (14, 16) dc)"),
             ("(24 dc)", "(24 (28, 32) dc)"), ("± 1 cm", "± 9 cm")]  # fmt: skip
    done = chartgen("check", spec(*three))
    assert done.returncode == 0, done.stderr
    assert "24 (28, 32) sts" in done.stdout


def test_arithmetic_shows_where_figures_come_from(chartgen: Run, spec: Callable[..., Path]) -> None:
    plain, shown = chartgen("check", spec()), chartgen("check", "--arithmetic", spec())
    assert "Arithmetic" in shown.stdout and "Arithmetic" not in plain.stdout


def test_plain_has_no_underlining(chartgen: Run, spec: Callable[..., Path]) -> None:
    drawn, spoken = (chartgen("check", *f, spec(WRONG_COUNT)).stderr for f in ([], ["--plain"]))
    assert "^" in drawn and "^" not in spoken and "25" in spoken


def test_no_colour_in_a_pipe(chartgen: Run, spec: Callable[..., Path]) -> None:
    assert "\x1b" not in chartgen("check", spec(WRONG_COUNT)).stderr


@pytest.mark.parametrize("what", ["chart", "schematic"])
def test_standard_output(chartgen: Run, spec: Callable[..., Path], tmp_path: Path, what: str) -> None:
    """`-o -`: the drawing and nothing else, no file."""
    done = chartgen(what, spec(), "-o", "-")
    assert done.returncode == 0
    assert done.stdout.startswith("<?xml") and done.stdout.rstrip().endswith("</svg>")
    assert [p.name for p in tmp_path.iterdir()] == ["coaster.yaml"]


def test_a_file_name_is_taken_as_it_is(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    assert chartgen("chart", spec(), "-o", "mine.svg").returncode == 0
    assert (tmp_path / "mine.svg").read_text("utf-8").startswith("<?xml")


@pytest.mark.parametrize("stage", ["document", "instructions", "fabric", "measures", "layout"])
def test_show_prints_every_stage(chartgen: Run, spec: Callable[..., Path], stage: str) -> None:
    done = chartgen("show", stage, spec())
    assert done.returncode == 0 and len(done.stdout.splitlines()) > 5
    assert done.stdout == chartgen("show", stage, spec(), PYTHONHASHSEED="7").stdout


def test_key_draws_every_stitch(chartgen: Run, tmp_path: Path) -> None:
    done = chartgen("key")
    assert done.returncode == 0
    assert "half double crochet" in (tmp_path / "out/key.svg").read_text("utf-8")


def test_schema_is_json(chartgen: Run) -> None:
    done = chartgen("schema")
    assert done.returncode == 0 and "pieces" in json.loads(done.stdout)["properties"]


def test_explain_a_code(chartgen: Run) -> None:
    """A caution, from the table; whatever the case."""
    done = chartgen("explain", "s506")
    assert done.returncode == 0 and "small part on a toy" in done.stdout


def test_explain_an_unknown_code(chartgen: Run) -> None:
    done = chartgen("explain", "S999")
    assert done.returncode == 2 and "S999" in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["build"], ["build", "none.yaml"], ["check", "."], ["frobnicate"], ["build", "--format", "gif", "coaster.yaml"],
        ["build", "--view", "sideways", "coaster.yaml"], ["show", "nothing", "coaster.yaml"], ["check", "--yes", "coaster.yaml"],
        ["chart", "coaster.yaml", "-o", "-", "--format", "svg,png"], ["build", "coaster.yaml", "-o", "coaster.yaml"],
    ],
)  # fmt: skip
def test_called_wrongly(chartgen: Run, spec: Callable[..., Path], arguments: list[str]) -> None:
    """Exit 2, a line on standard error, nothing on standard output."""
    spec()
    done = chartgen(*arguments)
    assert done.returncode == 2 and done.stdout == ""
    assert done.stderr and "Traceback" not in done.stderr


def test_two_specs_of_one_name_are_refused(chartgen: Run, spec: Callable[..., Path]) -> None:
    """They would write over each other."""
    done = chartgen("build", spec(), spec(name="other/coaster.yaml"))
    assert done.returncode == 2 and "same files" in done.stderr


def test_the_highest_exit_code_counts(chartgen: Run, spec: Callable[..., Path]) -> None:
    done = chartgen("build", spec(), spec(WRONG_COUNT, name="wrong.yaml"), spec(name="third.yaml"))
    assert done.returncode == 1
    assert len(done.stdout.splitlines()) == 8


def test_cautions_stand_on_every_output(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    """A toy's caution is on the chart, on the schematic and in the report."""
    toy = spec(("for: home", "for: toy"))
    done = chartgen("check", toy)
    assert "follow your local rules" in done.stdout
    chartgen("build", toy)
    texts = ["".join(p.read_text("utf-8").split()) for p in (tmp_path / "out").glob("*.c*")]
    texts.append("".join((tmp_path / "out/coaster.schematic.svg").read_text("utf-8").split()))
    assert len(texts) == 3 and all("followyourlocalrules" in text for text in texts)


@pytest.fixture
def on_terminal(tmp_path: Path, root: Path) -> Callable[..., str]:
    """Runs the command line with standard error on a terminal; returns what it shows there."""

    def run(*arguments: str | Path, **environment: str) -> str:
        ours, theirs = os.openpty()
        subprocess.run(
            [sys.executable, "-m", "chartgen", *map(str, arguments)],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(root), "TERM": "xterm", **environment},
            stdout=subprocess.DEVNULL,
            stderr=theirs,
            timeout=60,
            check=False,
        )
        os.close(theirs)
        shown = b""
        with contextlib.suppress(OSError):        # the other end is closed: all is read
            while more := os.read(ours, 65536):
                shown += more
        os.close(ours)
        return shown.decode()

    return run


def test_progress_on_a_terminal(on_terminal: Callable[..., str], spec: Callable[..., Path]) -> None:
    """What is being drawn, on one line that is cleared at the end."""
    shown = on_terminal("build", spec())
    assert "coaster: chart" in shown and "coaster: schematic" in shown
    assert "\n" not in shown and shown.endswith("\r\x1b[K")


def test_colour_on_a_terminal_unless_refused(
    on_terminal: Callable[..., str], spec: Callable[..., Path]
) -> None:
    """NO_COLOR, as https://no-color.org has it: present and not empty."""
    wrong = spec(WRONG_COUNT)
    assert "\x1b[1;31m" in on_terminal("check", wrong, NO_COLOR="")
    assert "\x1b" not in on_terminal("check", wrong, NO_COLOR="1")


# ---- views, pages and editions


def test_a_view_by_name(chartgen: Run, spec: Callable[..., Path], tmp_path: Path) -> None:
    """`--view row:2` names its file and says itself what it is."""
    done = chartgen("build", spec(), "--view", "row:2")
    assert done.returncode == 0
    text = (tmp_path / "out/coaster.chart.row-2.svg").read_text("utf-8")
    assert 'data-view="row:2"' in text and not (tmp_path / "out/coaster.chart.svg").exists()


@pytest.mark.parametrize(("view", "said"), [
    ("row:77", "there is no row 77; rows run 1-"), ("rows:", "is not a view"), ("half", "is not a view"),
])
def test_views_that_are_not_there(chartgen: Run, spec: Callable[..., Path], tmp_path: Path, view: str, said: str) -> None:
    """Exit 2, nothing written, and the message says what there is."""
    done = chartgen("build", spec(), "--view", view)
    assert done.returncode == 2 and said in done.stderr
    assert not (tmp_path / "out").exists()


LONG = """
format: 1
title: Dill runner
terms: US
hook: 4 mm
gauge:
  dc: 16 sts and 9 rows = 10 cm, in rows
pieces:
  - name: Runner
    parts:
      - name: Runner
        rows: |
          Ch 203.
          Row 1 (RS): Dc in 4th ch from hook (first 3 ch count as dc) and in each ch across; turn. (201 dc)
          Rows 2-6: Ch 3 (counts as dc), dc in next st and in each st across; turn. (201 dc)
"""


def test_a_chart_larger_than_a_page_has_a_view_that_is_not(chartgen: Run, tmp_path: Path) -> None:
    """201 stitches of 1.05 x 2.8 = 2.9 mm are 59 cm: the repeat is written beside the whole, and fits A4."""
    (tmp_path / "runner.yaml").write_text(LONG, "utf-8")
    assert chartgen("build", "runner.yaml").returncode == 0
    names = sorted(p.name for p in (tmp_path / "out").glob("*.chart.*"))
    assert names == ["runner.chart.repeat.svg", "runner.chart.svg"]
    sizes = [
        [float(n) for n in re.findall(r'(?:width|height)="([\d.]+)mm"', (tmp_path / "out" / name).read_text("utf-8"))]
        for name in names
    ]
    assert max(sizes[0]) <= 297 and min(sizes[0]) <= 210 and max(sizes[1]) > 590


def test_a_chart_on_pages(chartgen: Run, tmp_path: Path) -> None:
    """59 cm on sheets that hold 27 cm and share a strip with the next: three."""
    (tmp_path / "runner.yaml").write_text(LONG, "utf-8")
    assert chartgen("build", "runner.yaml", "--page", "a4").returncode == 0
    names = sorted(p.name for p in (tmp_path / "out").glob("runner.chart.*"))
    pages = [f"runner.chart.page-{n}.svg" for n in (1, 2, 3)]
    assert names == ["runner.chart.overview.svg", *pages, "runner.chart.repeat.svg"]


@pytest.mark.parametrize("option", ["--large", "--outlined", "--yarn-colours", "--as-worked", "--mono", "--left-handed"])
def test_editions_are_drawn(chartgen: Run, spec: Callable[..., Path], tmp_path: Path, option: str) -> None:
    assert chartgen("chart", spec(), option, "-o", "one.svg").returncode == 0
    assert 'class="stitch"' in (tmp_path / "one.svg").read_text("utf-8")
