"""Steps between sizes: what goes back or jumps, against published slips and arithmetic beside the check."""

from __future__ import annotations

from pathlib import Path

import pytest
from measured import SPECS, pattern, spec_file

from chartgen.pipeline import compile_spec
from chartgen.problems import Problem


def said(tmp_path: Path, text: str) -> list[Problem]:
    path = tmp_path / "herb.yaml"
    path.write_text(text, "utf-8")
    return [p for p in compile_spec(path).findings if p.code == "M417"]


def scarf(stitches: str, rows: str, names: str = "[1, 2, 3, 4]") -> str:
    """Widths and lengths at 16 sts and 20 rows to 10 cm; foundation one chain longer than the row."""
    counts = [int(n) for n in stitches.replace("(", "").replace(")", "").replace(",", "").split()]
    chains = f"{counts[0] + 1} ({', '.join(str(n + 1) for n in counts[1:])})"
    words = (f"Ch {chains}.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. ({stitches} sc)\n"
             f"Rows 2-{rows}: Ch 1, sc in each st across, turn. ({stitches} sc)")
    return pattern("sc: 16 sts and 20 rows = 10 cm", ("Body", "rows", words), more=f"sizes: {names}\n")


def test_even_steps_are_quiet(tmp_path: Path) -> None:
    """20, 24, 28, 32 sts: 2.5 cm each time."""
    assert not said(tmp_path, scarf("20 (24, 28, 32)", "20 (24, 28, 32)"))


def test_a_step_back_is_found(tmp_path: Path) -> None:
    """42 sts are 26.2 cm and 32 are 20."""
    [found] = said(tmp_path, scarf("20 (24, 42, 32)", "20 (24, 28, 32)"))
    assert found.severity == "warning"
    assert "from size 3 to 4 the width, lower edge, upper edge go back, 26.2 to 20.0 cm" in found.message


def test_the_published_sleeve_that_jumps(tmp_path: Path) -> None:
    """A widely copied baby table has sleeves of 6 1/2, 7 1/2 (both invented here), 9 and then 13 in: at 20 rows to 10 cm
    33, 38, 46 and 66 rows are 16.5, 19, 23 and 33 cm. The last step is 10 cm, the mean of the others 3.25 cm: 10 > 2.5 x
    3.25 = 8.1, and more than 2 cm above it."""
    [found] = said(tmp_path, scarf("20 (22, 24, 26)", "33 (38, 46, 66)"))
    assert found.severity == "note"
    assert "the length jumps, 23.0 to 33.0 cm, where the other steps are +3.2 cm on average" in found.message


def test_two_sizes_have_no_neighbours_to_compare(tmp_path: Path) -> None:
    assert not said(tmp_path, scarf("20 (40)", "20 (40)", "[1, 2]"))


def test_what_shrinks_at_every_step_is_meant(tmp_path: Path) -> None:
    """The upper edge of the pullover's sleeve narrows from size to size, as its cap grows higher."""
    assert not said(tmp_path, scarf("40 (36, 32, 28)", "20 (24, 28, 32)"))


@pytest.mark.parametrize("stem", [path.stem for path in sorted(SPECS.glob("*.yaml"))] + ["rosemary-cardigan"])
def test_samples_step_evenly(stem: str) -> None:
    assert [p.message for p in compile_spec(spec_file(stem)).findings if p.code == "M417"] == []
