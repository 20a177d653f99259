"""Every code is explained."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from chartgen.problems.codes import explanation, explanations
from chartgen.read import keys

ROOT = Path(__file__).resolve().parent.parent
STAGES = {"R", "N", "F", "M", "S", "G", "L", "E"}


def raised_in(folder: str) -> set[str]:
    """Codes written in the sources of a package."""
    return {code for path in (ROOT / "chartgen" / folder).glob("*.py")
            for code in re.findall(r'"([A-Z]\d{3})"', path.read_text("utf-8"))}


def test_every_code_of_the_read_stage_is_explained() -> None:
    """And no explanation is left over from a code that is gone."""
    explained = {code for code in explanations() if code.startswith("R")}
    assert explained == raised_in("read")
    assert len(explained) > 40


@pytest.mark.parametrize("code", sorted(explanations()))
def test_an_explanation_is_whole(code: str) -> None:
    """What it means, why it matters at the hook, an example, what to write instead."""
    entry = explanation(code.lower())
    assert entry is not None
    assert code[0] in STAGES
    assert all((entry.title, entry.means, entry.matters, entry.example, entry.write))
    assert entry.title[0].islower() or entry.title.startswith("YAML")
    assert not entry.title.endswith(".")
    assert entry.means.endswith(".")
    assert entry.matters.endswith(".")
    assert entry.example != entry.write


def test_every_measurement_is_listed() -> None:
    """The explanation of an unknown measurement names every one that is known."""
    entry = explanation("r217")
    assert entry is not None
    assert [word for word in keys.DIMENSIONS if word not in entry.means] == []


def test_printed() -> None:
    """The whole page for one code."""
    assert str(explanation("R209")) == """\
R209: a length without its unit

Every length says mm, cm or in.

At the hook: 26 in is two and a half times 26 cm.

Example:
    circumference: 26

Write instead:
    circumference: 26 cm
"""


def test_unknown_code() -> None:
    """No page for a code there is none of."""
    assert explanation("R999") is None
