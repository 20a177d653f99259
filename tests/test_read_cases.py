"""Every fault of the read stage: the whole message, as a designer sees it.

A case is a pair in `cases/read`: a spec whose first line says what right looks like, and
the text of its messages. Its name begins with the code it is about.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from chartgen.problems import Source
from chartgen.problems.render import render_text
from chartgen.read.reader import MOST_BYTES, MOST_IN_LINE, read, read_text
from chartgen.read.reading import MOST_PROBLEMS

HERE = Path(__file__).parent
CASES = sorted((HERE / "cases" / "read").glob("*.yaml"))
# Faults that a text file of a few lines cannot hold; each has a test of its own below.
ELSEWHERE = {"R101", "R102", "R103", "R109"}


def messages(text: str, name: str) -> str:
    return render_text(read_text(text, name)[1], Source(name, text))


@pytest.mark.parametrize("case", CASES, ids=lambda path: path.stem)
def test_the_message_is_the_one_agreed(case: Path) -> None:
    """The text of all messages, character for character, and the code of the name among them."""
    text = case.read_text("utf-8")
    assert messages(text, case.name) == case.with_suffix(".txt").read_text("utf-8")
    code = case.stem.split("-")[0]
    assert code == "several" or code in {p.code for p in read_text(text, case.name)[1]}


def test_every_code_of_the_stage_has_a_case() -> None:
    """A code that no case raises would be a message nobody has ever looked at."""
    sources = (HERE.parent / "chartgen" / "read").glob("*.py")
    raised = {code for path in sources
              for code in re.findall(r'"(R\d{3})"', path.read_text("utf-8"))}
    assert raised == {case.stem.split("-")[0] for case in CASES if case.stem[0] == "R"} | ELSEWHERE


def test_six_faults_give_six_messages_and_the_rows_are_read() -> None:
    """One bad value must not hide another, nor the rows."""
    text = (HERE / "cases" / "read" / "several.yaml").read_text("utf-8")
    document, problems = read_text(text, "several.yaml")
    assert len(problems) == 6
    assert document is not None
    assert document.pieces[0].parts[0].words.lines[0][0] == "Rnd 1: 6 sc in ring. (6 sc)"


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """R101: no such file is a problem, not an exception."""
    document, problems = read(tmp_path / "thyme.yaml")
    assert document is None
    assert [(p.code, p.message) for p in problems] == [
        ("R101", "the file cannot be read: no such file or directory")]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("#\n" * MOST_BYTES, "the file has 2,000,000 bytes; a spec has at most 1,000,000"),
        ("title: " + "x" * MOST_IN_LINE,
         "line 1 has 10,007 characters; a line has at most 10,000"),
    ],
)
def test_too_large(text: str, message: str, tmp_path: Path) -> None:
    """R102 names the size found and the limit, whether it comes from a file or not."""
    path = tmp_path / "large.yaml"
    path.write_text(text, "utf-8")
    for document, problems in (read(path), read_text(text, "large.yaml")):
        assert document is None
        assert [(p.code, p.message) for p in problems] == [("R102", message)]


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"title: caf\xe9\n", "the file is not UTF-8 text: byte 11, in line 1, is 0xe9"),
        (b"title: a\0b\n", "the file is not plain text: it holds the character U+0000"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
         "the file is not UTF-8 text: byte 1, in line 1, is 0x89"),
    ],
)
def test_not_text(data: bytes, message: str, tmp_path: Path) -> None:
    """R103: a picture, a NUL or another encoding is refused with the place named."""
    path = tmp_path / "garbage.yaml"
    path.write_bytes(data)
    document, problems = read(path)
    assert document is None
    assert [(p.code, p.message) for p in problems] == [("R103", message)]


def test_more_faults_than_anybody_reads() -> None:
    """R109: a hundred and one messages at most, the last of which says so."""
    _, problems = read_text("".join(f"leaf{i}: 1\n" for i in range(500)), "herbs.yaml")
    assert len(problems) == MOST_PROBLEMS + 1
    assert problems[-1].code == "R109"


@pytest.mark.parametrize("case", CASES, ids=lambda path: path.stem)
def test_the_same_without_the_c_parser(case: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """PyYAML may be installed without libyaml; its own parser words its faults differently."""
    monkeypatch.setattr("chartgen.read.nodes.LOADER", yaml.SafeLoader)
    text = case.read_text("utf-8")
    assert messages(text, case.name) == case.with_suffix(".txt").read_text("utf-8")
