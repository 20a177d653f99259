"""`chartgen compare`: what changed between two versions, and every schematic redrawn."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner
from measured import SPECS

import chartgen
from chartgen.cli import main

MITTEN = SPECS / "tarragon-mitten.yaml"


def revised(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    """The mitten with words replaced, as a file of its own."""
    text = MITTEN.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "tarragon-mitten-2.yaml"
    path.write_text(text, "utf-8")
    return path


def test_one_round_more_in_one_size(tmp_path: Path) -> None:
    """Small only: 7 rounds instead of 6 of the hand, 10 / 18 = 0.56 cm more from cuff to thumb."""
    new = revised(tmp_path, ("Rnds 2-6 (7, 8): Ch 1, sc in each st around; join. (20", "Rnds 2-7 (7, 8): Ch 1, sc in each st around; join. (20"))
    told = chartgen.compare(MITTEN, new)
    assert "size small: Mitten, cuff to thumb: from 3.89 cm (4 cm, 1 ½ in) to 4.44 cm (4.5 cm, 1 ¾ in), +0.56 cm, 7 rows to 8 rows" in told
    assert all(line.startswith("size small: ") for line in told)
    assert not any("thumb around" in line or "circumference" in line for line in told)


def test_gauge_changes_every_size(tmp_path: Path) -> None:
    """15 sts instead of 16 to 10 cm: 20 sts are 13.33 cm around and no longer 12.50."""
    new = revised(tmp_path, ("sc: 16 sts", "sc: 15 sts"))
    told = [line for line in chartgen.compare(MITTEN, new) if "Mitten, thumb around" in line]
    assert len(told) == 3 and told[0].startswith("size small: Mitten, thumb around: from 5.00 cm")


def test_sizes_that_come_and_go(tmp_path: Path) -> None:
    new = revised(tmp_path, ("sizes: [small, medium, large]", "sizes: [small, middle, large]"),
                  ("sizes medium and large only", "sizes middle and large only"))
    assert chartgen.compare(MITTEN, new) == ["size middle is new", "size medium is no longer there"]


def test_every_schematic_is_redrawn(tmp_path: Path) -> None:
    """One for all sizes and one for each, and a line that says nothing has changed."""
    done = CliRunner().invoke(main, ["compare", str(MITTEN), str(MITTEN), "-o", str(tmp_path)])
    assert done.exit_code == 0
    assert "no dimension has changed" in done.output
    stem = "tarragon-mitten.schematic"
    assert {p.name for p in tmp_path.iterdir()} == {f"{stem}.svg", *(f"{stem}.{s}.svg" for s in ("small", "medium", "large"))}


def test_what_cannot_be_counted_is_not_compared(tmp_path: Path) -> None:
    new = revised(tmp_path, ("(12 sts)", "(13 sts)"))
    done = CliRunner().invoke(main, ["compare", str(MITTEN), str(new), "-o", str(tmp_path / "out")])
    assert done.exit_code == 1 and not (tmp_path / "out").exists()
