"""Whatever the text, the stages answer with problems: no traceback, no unbounded time or memory.

Random bytes, random words of the trade, and rows of published patterns cut short or spliced.
The seeds are fixed, so that a failure comes back.
"""

from __future__ import annotations

import random
import string
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from chartgen.fabric.hook import MOST_STITCHES
from chartgen.fabric.work import work
from chartgen.notation import parse
from chartgen.problems import Source
from chartgen.problems.render import render_plain, render_text
from chartgen.read.reader import read_text
from patterns import spec

TESTS = Path(__file__).parent
MOST_SECONDS = 10          # of processor time for one text; the limit of stitches is reached in less
TRADE = (
    "sc hdc dc tr dtr ch sl st sts in into the next each same first last st sp sps loop shell group picot "
    "sc2tog dc3tog popcorn bobble cluster puff fpdc bpdc around across to end rep repeat from * ** ( ) [ ] { } , ; . : - "
    "join turn skip sk miss with A B ring magic spiral fasten off leave unworked remaining times more twice once x inc dec "
    "Rnd Row Rnds Rows RS WS hook 2nd 3rd 4th beg tch counts as not until ending at evenly over between top of centre "
    "BLO FLO back front only work working both sides other side foundation chain ch-2 ch-3 ch-5 1 2 3 4 5 6 7 8 12 20 "
    "0 99 (12 sc) (6 ch-2 sps) same place as joining rows below skipped made yo draw through all loops holding back"
).split(" ")
MODEST = settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


def answered(text: str) -> None:
    """Read, parse and work: every size, within bounds, and every message can be shown."""
    began = time.process_time()
    document, problems = read_text(text, "fuzz.yaml")
    every = list(problems)
    if document is not None:
        instructions = parse(document)
        every += instructions.problems
        for size in range(document.size_count()):
            fabric = work(document, instructions, size)
            assert len(fabric.stitches) <= MOST_STITCHES
            every += fabric.problems
    source = Source("fuzz.yaml", text)
    assert all(p.span is None or 0 <= p.span.start <= p.span.end <= len(text) for p in every)
    assert all(p.message and "\n" not in p.message for p in every)
    render_text(every, source)
    render_plain(every, source)
    assert time.process_time() - began < MOST_SECONDS


@seed(1)
@MODEST
@given(st.text(max_size=400))
def test_any_text_is_a_spec_or_a_problem(text: str) -> None:
    """Random characters where a spec should be."""
    answered(text)


@seed(2)
@MODEST
@given(st.text(alphabet=string.printable, max_size=300), st.sampled_from(["rounds", "rows"]))
def test_any_characters_as_rows(words: str, worked: str) -> None:
    """Random characters where rows should be."""
    answered(spec(words.replace("\r", " ").replace("\f", " ").replace("\v", " "), worked))


@seed(3)
@settings(MODEST, max_examples=250)
@given(st.lists(st.sampled_from(TRADE), min_size=1, max_size=40), st.sampled_from(["rounds", "rows"]),
       st.sampled_from(["US", "UK", "old"]))
def test_words_of_the_trade_in_any_order(words: list[str], worked: str, terms: str) -> None:
    """Random words of the trade on a row of 12 or 20."""
    begun = {"rounds": "Ch 4, join with sl st to form a ring.\nRnd 1: Ch 1, 12 {} in ring; join.\nRnd 2: ",
             "rows": "Ch 21.\nRow 1: {} in 2nd ch from hook and in each ch across.\nRow 2: "}[worked]
    begun = begun.format({"US": "sc", "UK": "dc", "old": "double"}[terms])
    answered(spec(begun + " ".join(words), worked, terms, "yarn: {A: {name: red}, B: {name: blue}}\n"))


def _rows() -> list[str]:
    """The row lines of the published patterns."""
    found = []
    for path in sorted((TESTS / "corpus").glob("*.yaml")):
        document, _ = read_text(path.read_text("utf-8"), path.name)
        assert document is not None
        found += [line for piece in document.pieces for part in piece.parts for line, _ in part.words.lines]
    return found


def _spliced(chance: random.Random, rows: list[str]) -> str:
    """A few rows: some cut off in the middle, some with the end of another, some with words swapped."""
    made = []
    for _ in range(chance.randint(2, 6)):
        one, other = chance.choice(rows), chance.choice(rows)
        words = one.split()
        way = chance.randrange(4)
        if way == 0:
            words = words[: chance.randint(1, len(words))]
        elif way == 1:
            tail = other.split()
            words = words[: chance.randint(0, len(words))] + tail[chance.randint(0, len(tail)):]
        elif way == 2 and len(words) > 1:
            i, j = chance.randrange(len(words)), chance.randrange(len(words))
            words[i], words[j] = words[j], words[i]
        made.append(" ".join(words))
    return "\n".join(made)


HEAD = ("yarn: {A: {name: red}, B: {name: blue}}\n"
        "stitches:\n  shell: (2 dc, ch 2, 2 dc) in same place\n  picot: ch 4, sl st in first of these 4 ch\n"
        "  V-st: (dc, ch 3, dc) in same place\n"
        "  popcorn: 5 dc in same st, drop loop from hook, insert hook in first of the 5 dc, pick up dropped loop and draw it through\n")


@pytest.mark.parametrize("batch", range(8))
def test_published_rows_cut_and_spliced(batch: int) -> None:
    """25 patterns to a batch, made of rows that were right once."""
    chance, rows = random.Random(batch), _rows()
    for _ in range(25):
        answered(spec(_spliced(chance, rows), chance.choice(["rounds", "rows"]), "US", HEAD))


@pytest.mark.parametrize("path", sorted((TESTS / "corpus").glob("*.yaml")), ids=lambda p: p.stem)
def test_a_published_pattern_cut_short(path: Path) -> None:
    """The file ends in the middle of a word, at six places."""
    text = path.read_text("utf-8")
    for part in range(1, 7):
        answered(text[: len(text) * part // 7])


@pytest.mark.parametrize("words", [
    "[" * 300 + "sc in next st" + "]" * 300,
    "(sc in next st, " * 60 + "2 sc in next st" + ") 9 times" * 60,
    "*" * 200 + " sc in next st; rep from " + "*" * 200,
    "*sc in next st, " * 40 + "rep from * around, " * 40,
    "ch 999999999, sc in 2nd ch from hook",
    "999999999 sc in next st",
    "sc in next 999999999 sts",
    "(sc, ch 99999) 99999 times in next st",
    "sc in next st, " * 4000,
], ids=range(9))
def test_nothing_grows_without_bound(words: str) -> None:
    """Deep brackets, many stars, large numbers and long rows end in a message, soon."""
    answered(spec("Rnd 1: 12 sc in magic ring. (12)\nRnd 2: " + words + "\nRnd 3: Sc in each st around.", "rounds"))


def test_many_rows_end_in_a_message() -> None:
    """Rows repeated beyond the limit of a part."""
    answered(spec("Rnd 1: 12 sc in magic ring. (12)\nRnds 2-4000: 2 sc in each st around.", "rounds"))
    answered(spec("Rnd 1: 12 sc in magic ring. (12)\nRnds 2-3: Sc in each st around.\nRep Rnds 2 and 3 99999999 times.", "rounds"))
