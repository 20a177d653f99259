"""Laws of reading: characters keep their places, and nothing makes the reader fall over."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from chartgen.problems import Source
from chartgen.problems.render import as_json, render_plain, render_text
from chartgen.read.nodes import Lines, Mapping, Scalar, block_of
from chartgen.read.reader import read_text
from chartgen.read.reading import Reading
from chartgen.read.tree import tree_of

HEAD = "format: 1\ntitle: Thyme\nterms: US\npieces:\n  - name: Hat\n    parts:\n" \
       "      - name: Crown\n        rounds: "
_line = st.text(st.characters(
    codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp", "Cn", "Co"],
    exclude_characters="\ufeff\ufffe\uffff"), max_size=30)


def scalar(text: str) -> tuple[Scalar, Lines]:
    """The value of the one key of `text`."""
    reading = Reading(Source("", text), Lines(text))
    tree = tree_of(reading)
    assert isinstance(tree, Mapping)
    value = tree.entries[0][1]
    assert isinstance(value, Scalar)
    return value, reading.lines


@given(st.lists(_line, min_size=1, max_size=6), st.sampled_from(["|", "|-", "|+", "| # rows"]),
       st.sampled_from(["\n", "\r\n"]), st.integers(1, 9))
def test_block_text_maps_exactly(
    rows: list[str], mark: str, end: str, indent: int
) -> None:
    """Each character of a decoded block is the file's character at its offset, and the lines
    are those that PyYAML decodes."""
    rows[0] = "x" + rows[0]         # the first line fixes how far the text is set in
    text = f"a: {mark}{end}" + "".join(" " * indent + row + end for row in rows) + f"b: 1{end}"
    value, lines = scalar(text)
    block = block_of(value, lines)
    assert block is not None
    for row, at in block.lines:
        assert text[at : at + len(row)] == row
    loaded = yaml.load(text, yaml.BaseLoader)["a"]
    assert [row for row, _ in block.lines] == (loaded.removesuffix("\n").split("\n"))


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("a: |\n  one\n\n    deeper\n  two\n", ["one", "", "  deeper", "two"]),
        ("a: |2\n    deeper\n  two\n", ["  deeper", "two"]),
        ("a: |\r\n  é\tb\r\n  😀 c\r\n", ["é\tb", "😀 c"]),
        ("a: |\n\n\n  late\n", ["", "", "late"]),
        ("a: |-\n  last", ["last"]),
        ("a: one line", ["one line"]),
        ("a: 'quoted: one'", ["quoted: one"]),
        ("a: over\n   two\n   lines\n", ["over", "two", "lines"]),
    ],
)
def test_forms_of_text(text: str, rows: list[str]) -> None:
    """Blank lines, deeper lines, tabs, CRLF, accents, `|2`, `|-`, plain and quoted text."""
    value, lines = scalar(text)
    block = block_of(value, lines)
    assert block is not None
    assert [row for row, _ in block.lines] == rows
    assert all(text[at : at + len(row)] == row for row, at in block.lines)


@pytest.mark.parametrize("text", ["a: >\n  folded\n", 'a: "tab\\t"', "a: 'it''s'"])
def test_forms_without_a_map(text: str) -> None:
    """Folded text and escapes do not stand in the file as they are read."""
    value, lines = scalar(text)
    assert block_of(value, lines) is None


def survives(text: str) -> None:
    """Reading gives a document or a problem, each problem within the file, and all can be told."""
    document, problems = read_text(text, "spec.yaml")
    source = Source("spec.yaml", text.removeprefix("\ufeff"))
    assert document is not None or problems
    for problem in problems:
        if problem.span:
            assert 0 <= problem.span.start <= problem.span.end <= len(source.text)
        assert as_json(problem, source)["code"] == problem.code
    assert render_text(problems, source).count("\n\n") < max(1, len(problems))
    assert render_plain(problems, source).count("\n") == len(problems)


@given(st.text())
def test_any_text_is_survived(text: str) -> None:
    """No text makes the reader raise."""
    survives(text)


@given(st.binary(max_size=300))
def test_any_bytes_are_survived(data: bytes) -> None:
    """Bytes of any kind, read as text, give a problem and no exception."""
    survives(data.decode("utf-8", "surrogateescape"))


@given(st.text(st.sampled_from(list("ab1 \n\t:-|>[]{}()#*&!%@`'\",.?~±/é")), max_size=80))
def test_yaml_signs_in_any_order_are_survived(text: str) -> None:
    """The signs of YAML in any order, alone and below a good head."""
    survives(text)
    survives(HEAD + text)


@given(st.integers(0, len(HEAD)), st.text(max_size=3))
def test_a_slip_anywhere_is_survived(at: int, slip: str) -> None:
    """Anything typed anywhere into a good spec."""
    survives(HEAD[:at] + slip + HEAD[at:] + "|\n          Rnd 1: 6 sc in ring. (6 sc)\n")
