"""The pattern to be read aloud by a program: short forms in full, lists joined by words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from chartgen.wording.language import Language, Term
from chartgen.wording.style import Style


def spelled(language: Language) -> Language:
    """The language with every term by its full name, and words for brackets that group."""
    plurals = language.raw["editions"]["plurals"]
    frames = {**language.frames, **language.raw["editions"]["frames"]}
    tables = {
        table: {key: _spelled(term, plurals) for key, term in terms.items()} for table, terms in language.tables.items()
    }
    families = {name: _family(rule) for name, rule in language.families.items()}
    return replace(language, tables=tables, families=families, frames=frames)


def _spelled(term: Term, plurals: Mapping[str, str]) -> Term:
    if not term.name:
        return term
    return replace(term, short=term.name, plural=plurals.get(term.name, term.name), name="")


def _family(rule: Mapping[str, Any]) -> Mapping[str, Any]:
    """A stitch that a family makes, by its name alone."""
    if not rule.get("name"):
        return rule
    return {**rule, "short": rule["name"], "plural": rule["name"]}


def aloud_style(house: Style, words: Mapping[str, Any], colon: str = ": ") -> Style:
    """Numbers of the sizes parted by a word, counts said to be counts."""
    return replace(
        house, counts=(f" {words['count']}{colon}", "."), strong=False, repeats=(f"{words['bracket']}, ", f", {words['end of bracket']},"),
        sizes=(f"{words['or']} ", ""), between=f" {words['or']} ",
    )  # fmt: skip


def aloud_text(text: str, words: Mapping[str, Any]) -> str:
    """Signs and short forms that a reading program garbles or leaves out, in words."""
    text = re.sub(r"\*+(?=\w)", f"{words['star']}, ", text)
    text = re.sub(r"\*+", words["star"], text)
    text = re.sub(r"(?<=\d)[-–](?=\d)", f" {words['to']} ", text)
    text = re.sub(r"(\d+) ([½¼¾])", lambda m: m[1] + words["decimal"] + _PARTS[m[2]], text)
    text = re.sub(r"(?<![\d ])[½¼¾]|(?<=[^\d] )[½¼¾]", lambda m: f"0{words['decimal']}{_PARTS[m[0]]}", text)
    text = re.sub(r"(\d (?:g|oz)) = ", r"\1, ", text)              # a ball of 50 g = 90 m
    text = re.sub(rf"(?<=\d) ?({'|'.join(words['units'])})\b", lambda m: f" {words['units'][m[1]]}", text)
    text = re.sub(r" ?[(\[]([^()\[\]]*)[)\]]", r", \1", text)
    return text.replace(" = ", f" {words['equals']} ").replace(" / ", f", {words['that is']} ")


_PARTS = {"½": "5", "¼": "25", "¾": "75"}
