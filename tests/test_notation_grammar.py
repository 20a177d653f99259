"""The grammar that is written out is the grammar that is read.

ISO/IEC 14977 gives the signs of EBNF; here only a handful are used.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from chartgen import notation
from chartgen.notation.parse import _BY_WORD
from chartgen.notation.places import _CHOOSERS
from chartgen.notation.words import vocabulary

TEXT = (Path(notation.__file__).parent / "grammar.ebnf").read_text("utf-8")
BARE = re.sub(r"\(\*.*?\*\)", " ", TEXT, flags=re.S)
TERMINALS = {word for quoted in re.findall(r'"([^"]*)"', BARE) for word in quoted.split()}
RULES = dict(re.findall(r"^([a-z][a-z ]*?)\s*=\s*(.*?);[ ]*$", BARE, flags=re.M | re.S))


def test_every_word_that_begins_an_instruction_is_in_the_grammar() -> None:
    """A keyword the parser dispatches on stands between quotes; prose words are pointed to in words.yaml."""
    prose = {phrase.split()[0] for phrase in vocabulary()["prose"]}
    assert set(_BY_WORD) - TERMINALS - prose == set()


def test_every_word_that_chooses_a_place_is_in_the_grammar() -> None:
    """next, each, same, first, last, centre, top …"""
    assert set(_CHOOSERS) <= TERMINALS
    assert set(vocabulary()["times"]) <= TERMINALS


@pytest.mark.parametrize("name", sorted(RULES))
def test_every_name_in_a_rule_is_a_rule(name: str) -> None:
    """No rule leads to one that is not written."""
    named = re.sub(r'"[^"]*"|\?[^?]*\?', " ", RULES[name])
    used = {word.strip() for word in re.split(r"[,|\[\]{}()]", named)} - {""}
    assert used <= set(RULES), used - set(RULES)


def test_every_rule_is_used() -> None:
    """No rule is left over; `part` is the first."""
    bodies = " ".join(RULES.values())
    assert [name for name in RULES if name != "part" and not re.search(rf"\b{name}\b", bodies)] == []


def test_brackets_pair() -> None:
    """Each ( [ { has its partner."""
    without = re.sub(r'"[^"]*"|\?[^?]*\?', " ", BARE)
    assert all(without.count(a) == without.count(b) for a, b in ("()", "[]", "{}"))
