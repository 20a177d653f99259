"""Rows that are alike in two sizes are worked once: what comes out is as if each size stood alone.

A law of the program, no source: the fabric of a size cannot depend on the sizes beside it.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from casefiles import cases
from patterns import spec
from chartgen.fabric.work import work, work_sizes
from chartgen.notation import parse
from chartgen.read.reader import read_text

ROOT = Path(__file__).resolve().parent.parent
WHOLE = sorted([*ROOT.glob("specs/*.yaml"), *ROOT.glob("tests/corpus/*.yaml"), *ROOT.glob("tests/pieces/*.yaml")])
WRITTEN = {path.stem: path.read_text("utf-8") for path in WHOLE}
WRITTEN |= {case.name: case.text for case in [*cases("fabric"), *cases("notation")]}
SIZED = [name for name, text in WRITTEN.items() if "\nsizes:" in text]
ONE_SIZE = [path.stem for path in WHOLE if path.stem not in SIZED]


@pytest.mark.parametrize("name", SIZED)
def test_each_size_is_worked_as_if_it_stood_alone(name: str) -> None:
    _as_if_alone(WRITTEN[name])


@pytest.mark.parametrize("name", ONE_SIZE)
def test_three_sizes_alike_in_every_row_are_one_fabric(name: str) -> None:
    """Nothing sets these sizes apart, so that every row but the first size's is taken over."""
    _as_if_alone(WRITTEN[name].replace("\npieces:", "\nsizes: [Rue, Dill, Mint]\npieces:", 1))


def test_rows_alike_are_taken_over_not_worked_anew() -> None:
    """The crown of a hat in two sizes: the very same rows, up to the first that differs."""
    rows = (
        "Make an adjustable ring.\nRnd 1: 6 sc in ring; do not join. (6 sc)\n"
        "Rnd 2: 2 sc in each st around. (12 sc)\nRnd 3: Sc in each of next 12 (11) sts, leave rem sts."
    )
    text = spec(rows, head="sizes: [Rue, Dill]\n")
    document, _ = read_text(text, "sizes.yaml")
    one, other = work_sizes(document, parse(document))
    assert [a is b for a, b in zip(one.rows, other.rows, strict=False)] == [False, True, True, False]


def _as_if_alone(text: str) -> None:
    document, _ = read_text(text, "sizes.yaml")
    assert document is not None and document.size_count() > 1
    instructions = parse(document)
    alone = tuple(work(document, instructions, size) for size in range(document.size_count()))
    together = work_sizes(document, instructions)
    for one, other in zip(alone, together, strict=True):
        assert one.rows == other.rows
        assert one.stitches == other.stitches
        assert one.problems == other.problems
        assert one == other
