"""What the README promises is what the program does."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest

Run = Callable[..., CompletedProcess[str]]


@pytest.fixture
def readme(root: Path) -> str:
    return (root / "README.md").read_text("utf-8")


def test_the_worked_example_is_right(chartgen: Run, readme: str, tmp_path: Path) -> None:
    """4 rounds to either side of the middle at 8 rows to 10 cm: 2 x 4 x 1.25 = 10 cm across."""
    [example] = re.findall(r"```yaml\n(.*?)```", readme, re.DOTALL)
    (tmp_path / "coaster.yaml").write_text(example, "utf-8")
    done = chartgen("check", "coaster.yaml")
    assert (done.returncode, done.stderr) == (0, "")
    assert "48 sts" in done.stdout and "10 cm (4 in), promised 10 cm" in done.stdout


def test_two_single_lines_from_a_bare_clone(readme: str, root: Path) -> None:
    """One builds a sample that is there, one runs the tests; `.ci/run` finds just these two."""
    commands = re.findall(r"^python3 -m venv .*$", readme, re.MULTILINE)
    assert len(commands) == 2
    [spec] = re.findall(r"chartgen build (\S+)$", commands[0])
    assert (root / spec).is_file()
    assert commands[1].endswith("-m pytest")


def test_every_command_and_option_is_named(chartgen: Run, readme: str) -> None:
    from chartgen.cli import main

    assert all(f"chartgen {name}" in readme for name in main.commands)
    options = {o for command in main.commands.values() for p in command.params for o in p.opts if o.startswith("--")}
    told = options - {"--output", "--terms"}
    assert {option for option in told if option not in readme} == set()


def test_every_caution_is_reached_through_explain(chartgen: Run) -> None:
    from chartgen.checks.explained import caution_codes

    assert len(caution_codes()) == 14
    assert all(chartgen("explain", code).stdout.startswith(code) for code in caution_codes()[:2])
