"""Small specs for tests: a few rows of notation, worked into a fabric."""

from __future__ import annotations

from chartgen.fabric.fabric import Fabric, Row
from chartgen.fabric.work import work
from chartgen.notation import parse
from chartgen.problems import Problem
from chartgen.read import Document
from chartgen.read.reader import read_text


def spec(words: str, worked: str = "rounds", terms: str = "US", head: str = "") -> str:
    """A one-part spec around these rows."""
    rows = "".join(f"          {line}\n" for line in words.strip().splitlines())
    gauge = {"US": "sc", "UK": "dc", "old": "double"}[terms]
    return (
        f"format: 1\ntitle: Case\nterms: {terms}\nfor: home\n{head}gauge:\n  {gauge}: 20 sts and 20 rows = 10 cm\n"
        f"pieces:\n  - name: Piece\n    parts:\n      - name: Part\n        {worked}: |\n{rows}"
    )


def spec_of_parts(*parts: tuple[str, str, str]) -> str:
    """A one-piece spec of several parts: name, `rows` or `rounds`, words."""
    head = spec("", "rows").partition("      - name: Part")[0]
    return head + "".join(
        f"      - name: {name}\n        {form}: |\n" + "".join(f"          {line}\n" for line in words.splitlines())
        for name, form, words in parts
    )


def document(text: str) -> Document:
    found, problems = read_text(text, "case.yaml")
    assert found is not None and not [p for p in problems if p.severity == "error"], problems
    return found


def worked(
    words: str, worked: str = "rounds", terms: str = "US", head: str = "", size: int = 0
) -> tuple[Fabric, list[Problem]]:
    """The fabric of these rows for one size, and every problem but notes."""
    found = document(spec(words, worked, terms, head))
    instructions = parse(found)
    fabric = work(found, instructions, size)
    problems = [p for p in (*instructions.problems, *fabric.problems) if p.severity != "note"]
    return fabric, problems


def clean(words: str, worked_in: str = "rounds", terms: str = "US", head: str = "", size: int = 0) -> Fabric:
    """The fabric of rows that must have no fault."""
    fabric, problems = worked(words, worked_in, terms, head, size)
    assert not problems, [p.message for p in problems]
    return fabric


def rows(fabric: Fabric) -> list[Row]:
    """The worked rows, foundations left out."""
    return [r for r in fabric.rows if r.form in ("round", "row")]


def counts(fabric: Fabric) -> list[int]:
    """Stitches of each worked row."""
    return [r.stitch_count for r in rows(fabric)]
