"""The commands as Python functions: the same results as the command line gives."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest

import chartgen as program

Run = Callable[..., CompletedProcess[str]]


@pytest.fixture
def spec(tmp_path: Path, coaster: str) -> Path:
    path = tmp_path / "coaster.yaml"
    path.write_text(coaster, "utf-8")
    return path


def test_check_gives_what_check_json_prints(chartgen: Run, spec: Path) -> None:
    assert program.check(spec) == json.loads(chartgen("check", "--json", spec).stdout)


def test_chart_and_schematic_give_what_standard_output_gets(chartgen: Run, spec: Path) -> None:
    assert program.chart(spec) == chartgen("chart", spec, "-o", "-").stdout
    assert program.schematic(spec) == chartgen("schematic", spec, "-o", "-").stdout


def test_build_names_what_it_wrote(spec: Path, tmp_path: Path) -> None:
    built = program.build(spec, tmp_path / "drawn")
    assert {*built.written} == {*(tmp_path / "drawn").iterdir()} and built.missing == ()


def test_a_faulty_spec_gives_no_drawing(spec: Path, tmp_path: Path) -> None:
    spec.write_text(spec.read_text("utf-8").replace("(24 dc)", "(30 dc)"), "utf-8")
    assert program.chart(spec) == ""
    assert program.build(spec, tmp_path / "drawn").written == ()
    assert not program.compile_spec(spec).ok


def test_an_unknown_size_is_refused(spec: Path) -> None:
    with pytest.raises(ValueError, match="one size only"):
        program.chart(spec, size="M")


def test_drawings_do_not_change_from_call_to_call(spec: Path) -> None:
    """No stage keeps anything from one spec to the next."""
    first = program.chart(spec)
    program.key()
    assert program.chart(spec) == first
