"""Every node of the tree, written and read again, is the same node (property).

This is a test of both directions: of the writing here and of the reading in the notation.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from words_trees import each_place, one_place, others, plain_items, repeats, rows, works
from written import LANGUAGE, bare

from chartgen.notation.cursor import Cursor
from chartgen.notation.names import Names
from chartgen.notation.parse import RowReader
from chartgen.notation.tree import ONE, Item, Work
from chartgen.notation.words import tokens
from chartgen.stitches import registry
from chartgen.wording.language import language
from chartgen.wording.phrases import Phrases
from chartgen.wording.rows import sentences
from chartgen.wording.speaker import Speaker
from chartgen.wording.style import style

OFTEN = settings(max_examples=400, deadline=None, suppress_health_check=list(HealthCheck))
YARNS = {"a": "A", "b": "B"}


def written(items: tuple[Item, ...], terms: str, house: str = "leaflet", worked: str = "rounds") -> str:
    speaker = Speaker(language(LANGUAGE[terms]), None, style(house))
    return sentences(Phrases(speaker, worked, lambda note: note.text).items(items), ".")


def read(text: str, terms: str, sizes: int = 1) -> tuple[tuple[Item, ...], list[str]]:
    reader = RowReader(Names(terms, {}), YARNS, sizes)
    body = reader.body(Cursor(list(tokens(text, 0)), sizes))
    return tuple(body.items), [p.message for p in body.problems]


def same_again(items: tuple[Item, ...], terms: str, sizes: int = 1, house: str = "leaflet", worked: str = "rounds") -> None:
    text = written(items, terms, house, worked)
    found, problems = read(text, terms, sizes)
    assert not problems, (text, problems)
    assert bare(found) == bare(items), text


def at(places: st.SearchStrategy) -> st.SearchStrategy[tuple[Item, ...]]:
    """A stitch worked in that place."""
    return places.map(lambda w: (Work(ONE, registry().kind("double_crochet"), (w,)),))


def alone(items: st.SearchStrategy) -> st.SearchStrategy[tuple[Item, ...]]:
    return items.map(lambda item: (item,))


NODES = {
    "places": at(one_place()), "each": at(each_place()), "stitches": alone(works()), "items": alone(plain_items()),
    "between": alone(others()), "repeats": alone(repeats(plain_items())),
}  # fmt: skip


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("node", NODES)
def test_a_node_reads_as_it_was_written(node: str, terms: str) -> None:
    @OFTEN
    @given(NODES[node])
    def check(items: tuple[Item, ...]) -> None:
        same_again(items, terms)

    check()


@OFTEN
@given(rows(), st.sampled_from(["US", "UK"]), st.sampled_from(["leaflet", "book"]), st.sampled_from(["rounds", "rows"]))
def test_a_row_reads_as_it_was_written(items: tuple[Item, ...], terms: str, house: str, worked: str) -> None:
    """Whole rows, in both terms and both house styles."""
    same_again(items, terms, house=house, worked=worked)


@OFTEN
@given(rows(sizes=3), st.sampled_from(["leaflet", "book"]))
def test_numbers_of_three_sizes_read_as_they_were_written(items: tuple[Item, ...], house: str) -> None:
    same_again(items, "US", sizes=3, house=house)


def test_a_change_in_the_words_is_seen() -> None:
    """The comparison itself can fail: another number, another stitch, another place."""
    text = "Dc in each of next 3 sts."
    for other in ("Dc in each of next 4 sts.", "Tr in each of next 3 sts.", "Dc in each of first 3 sts."):
        assert bare(read(text, "US")[0]) != bare(read(other, "US")[0])
