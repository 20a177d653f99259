"""Imports point only down the pipeline: a stage never knows what comes after it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ORDER = (
    "problems", "data", "units", "stitches", "read", "notation", "fabric", "measure",
    "layout", "checks", "sizing", "size_api", "wording", "draw", "export", "editions", "audit", "stages", "sheets", "compiling", "pipeline", "edition_api", "size_commands", "edition_commands", "cli", "__main__",
)  # fmt: skip


def modules_named(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """(line, dotted name) of every module of chartgen that a file imports, wherever it does."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: a relative import; write the whole name"
            names = [f"chartgen.{a.name}" for a in node.names] if node.module == "chartgen" else []
            yield from ((node.lineno, name) for name in names or [node.module or ""])


def upward(source: str, package: str) -> list[str]:
    """Imports in `source`, a module of `package`, of packages that come later in the order."""
    allowed = ORDER[: ORDER.index(package) + 1]
    return [
        f"line {line}: {name}"
        for line, name in modules_named(ast.parse(source))
        if name.startswith("chartgen.")
        and (part := name.split(".")[1]) in ORDER
        and part not in allowed
    ]


def sources(root: Path) -> list[tuple[Path, str]]:
    """Every module below the package's own front door, with the package it belongs to."""
    package = root / "chartgen"
    paths = sorted(p for p in package.rglob("*.py") if p != package / "__init__.py")
    return [(p, p.relative_to(package).with_suffix("").parts[0]) for p in paths]


def test_every_module_has_a_place_in_the_order(root: Path) -> None:
    """A new package must be given its place before it can be imported."""
    assert {package for _, package in sources(root)} <= set(ORDER)


def test_imports_point_down(root: Path) -> None:
    found = {
        str(path.relative_to(root)): wrong
        for path, package in sources(root)
        if (wrong := upward(path.read_text("utf-8"), package))
    }
    assert found == {}


@pytest.mark.parametrize(
    ("package", "planted"),
    [
        ("fabric", "from chartgen.layout import Layout"),
        ("read", "import chartgen.cli"),
        ("problems", "from chartgen import stitches"),
        ("layout", "def late():\n    from chartgen.draw.drawing import Drawing"),
        ("measure", "if True:\n    import chartgen.export.svg as svg"),
    ],
)
def test_a_planted_upward_import_is_found(package: str, planted: str) -> None:
    """The check itself can fail: at the top, in a function, under an alias."""
    assert len(upward(planted, package)) == 1


def test_downward_and_own_imports_are_allowed() -> None:
    assert upward("from chartgen.fabric import Fabric\nimport chartgen.layout.placed", "layout") == []
