"""The command line comes up at once, and each command loads only what it needs."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = {"numpy", "shapely", "svgwrite", "cairosvg", "lxml"}


def loaded(root: Path, *arguments: str) -> set[str]:
    """Heavy packages that are imported after `chartgen` has run with `arguments`."""
    program = f"""
import json, sys
from chartgen.cli import main
try:
    main({list(arguments)!r}, prog_name="chartgen")
except SystemExit:
    pass
print("\\n" + json.dumps(sorted(set(sys.modules) & {HEAVY!r})))
"""
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=root, capture_output=True, encoding="utf-8", timeout=60, check=True
    )
    return set(json.loads(done.stdout.splitlines()[-1]))


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["build", "--help"], ["check", "--help"]])
def test_help_loads_nothing_heavy(root: Path, arguments: list[str]) -> None:
    """`--help` imports no numpy, shapely, svgwrite or cairosvg."""
    assert loaded(root, *arguments) == set()


def test_the_measurement_itself_sees_a_heavy_import(root: Path, tmp_path: Path) -> None:
    """A drawing does load them: the test above can fail."""
    assert {"numpy", "svgwrite"} <= loaded(root, "key", "-o", str(tmp_path))


def test_check_loads_nothing_that_draws(root: Path, tmp_path: Path, coaster: str) -> None:
    spec = tmp_path / "coaster.yaml"
    spec.write_text(coaster, "utf-8")
    assert loaded(root, "check", str(spec)) == set()


def test_importing_the_package_loads_no_stage(root: Path) -> None:
    """`import chartgen` is free; its functions come when they are first asked for."""
    program = "import sys, chartgen; print(*[m for m in sys.modules if m.startswith('chartgen.')])"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=root, capture_output=True, encoding="utf-8", timeout=60, check=True
    )
    assert done.stdout.split() == []


def test_the_api_has_the_commands_names() -> None:
    """Every command is a function of the same name in `chartgen`."""
    import chartgen
    from chartgen.cli import main

    assert set(main.commands) <= set(chartgen.__all__)
    assert all(callable(getattr(chartgen, name)) for name in chartgen.__all__)
    with pytest.raises(AttributeError):
        chartgen.no_such_thing  # noqa: B018


def test_no_module_takes_a_functions_name(root: Path) -> None:
    """A module `chartgen.check` would, once imported, stand where `chartgen.check()` should."""
    import chartgen

    modules = {path.stem for path in (root / "chartgen").iterdir()}
    assert modules & set(chartgen.__all__) == set()
