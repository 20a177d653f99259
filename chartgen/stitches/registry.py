"""The registry: loads the kinds and families, finds a kind by id or by words."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import yaml

from chartgen.stitches.kind import StitchKind

TERMS = ("US", "UK", "old")
_HERE = Path(__file__).parent
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def _load(folder: str) -> list[dict[str, Any]]:
    return [yaml.load(path.read_text("utf-8"), _LOADER) for path in sorted((_HERE / folder).glob("*.yaml"))]


def _key(words: str) -> str:
    """A stitch's words as they are compared: lower case, hyphens and runs of space as one space."""
    return " ".join(words.lower().replace("-", " ").split())


def _templates(rule: dict[str, Any]) -> list[str]:
    short = rule.get("short") or {"abbreviation": "", "also": []}
    return [rule["abbreviation"], rule["name"], *rule["also"], short["abbreviation"], *short["also"]]


@cache
def _marks(family: str, templates: tuple[str, ...]) -> tuple[str, ...]:
    """The letters that a spelling of this family must contain, one of them ("tog", "fp", "puff")."""
    plain = {max(re.split(r"\{\w+\}", _key(t)), key=len).strip() for t in templates if t}
    return tuple(m for m in plain if m)


@dataclass(frozen=True)
class Registry:
    """All kinds the program knows. Use `registry()`; it is loaded once."""

    simple: dict[str, StitchKind]
    also: dict[str, dict[str, list[str]]]
    families: dict[str, dict[str, Any]]

    def kind(self, kind_id: str) -> StitchKind:
        """The kind with this id, simple or `family:base:legs`. KeyError if there is none."""
        if kind_id in self.simple:
            return self.simple[kind_id]
        family, base, legs = kind_id.split(":")
        return self.made(family, base, int(legs))

    @cache  # noqa: B019 - the registry lives as long as the program
    def made(self, family: str, base: str, legs: int) -> StitchKind:
        """The kind that `family` makes of `legs` stitches of kind `base`."""
        rule, stitch = self.families[family], self.simple[base]
        names = {terms: self._family_names(rule, stitch, terms, legs) for terms in TERMS}
        chart, fabric = rule["chart"], rule["fabric"]
        return StitchKind(
            id=f"{family}:{base}:{legs}",
            code=rule.get("code", rule["abbreviation"]).format(base=stitch.code, n=legs),
            base=base,
            family=family,
            legs=legs,
            bases=rule.get("bases", "joined"),
            closed=rule.get("closed", ""),
            bulge=rule.get("bulge", 0.0),
            shoulder=rule.get("shoulder", 0.3),
            post=rule.get("post", ""),
            height=stitch.height * chart["height"],
            width=stitch.width * chart["width"],
            fabric_height=stitch.fabric_height and stitch.fabric_height * fabric["height"],
            turning_chain=stitch.turning_chain,
            strokes=stitch.strokes,
            symbol=stitch.symbol,
            foot=rule.get("foot", ""),
            own_chain=rule.get("own_chain", False),
            yarn=rule["yarn"] * legs * stitch.yarn,
            names=names,
        )

    @staticmethod
    def _family_names(rule: dict[str, Any], stitch: StitchKind, terms: str, legs: int) -> tuple[str, str]:
        short = rule.get("short")
        abbreviation, name = stitch.names[terms]
        fill = {"base": abbreviation, "base_name": name, "n": legs}
        if short and short["base"] == stitch.id and legs == rule["legs"].get("usual"):
            return short["abbreviation"], rule["name"].format(**fill)
        return rule["abbreviation"].format(**fill), rule["name"].format(**fill)

    def own(self, kind: StitchKind, word: str) -> StitchKind:
        """`kind` under the pattern's own word, which reports and drawings then use."""
        return replace(kind, own=word, code=re.sub(r"\s+", "_", word.strip().lower()))

    def words(self, terms: str) -> dict[str, StitchKind]:
        """Every spelling known in `terms`, as names are compared, with the kind it means."""
        every: dict[str, StitchKind] = {}
        for family in self.families:
            every.update(self._family_words(family, terms))
        return {**every, **self._simple_words(terms)}

    @lru_cache(maxsize=4096)  # noqa: B019 - a pattern asks for the same few words again and again
    def find(self, words: str, terms: str) -> StitchKind | None:
        """The kind that `words` mean in `terms` ("dc", "Double crochets"), or None."""
        key = _key(words)
        found = self._simple_words(terms).get(key)
        if found is not None:
            return found
        for family, rule in self.families.items():
            if any(mark in key for mark in _marks(rule["id"], tuple(_templates(rule)))):
                found = self._family_words(family, terms).get(key)
                if found is not None:
                    return found
        return None

    @cache  # noqa: B019
    def _simple_words(self, terms: str) -> dict[str, StitchKind]:
        also = {_key(w): kind for kind in self.simple.values() for w in self.also[kind.id][terms]}
        names = {_key(w): kind for kind in self.simple.values() for w in reversed(kind.names[terms])}
        return {**also, **names}

    @cache  # noqa: B019
    def _family_words(self, family: str, terms: str) -> dict[str, StitchKind]:
        """Spellings of a family's kinds: its templates filled with each base and number."""
        rule = self.families[family]
        legs = range(rule["legs"]["least"], rule["legs"]["most"] + 1)
        words: dict[str, StitchKind] = {}
        for base, n in ((base, n) for base in rule["of"] for n in legs):
            abbreviation, name = self.simple[base].names[terms]
            for template in (rule["abbreviation"], rule["name"], *rule["also"]):
                words[_key(template.format(base=abbreviation, base_name=name, n=n))] = self.made(
                    family, base, n
                )
        if short := rule.get("short"):
            kind = self.made(family, short["base"], rule["legs"]["usual"])
            words.update({_key(w): kind for w in (short["abbreviation"], *short["also"])})
        return words

    def __hash__(self) -> int:
        return id(self)


def _simple(raw: dict[str, Any]) -> StitchKind:
    chart, names = raw["chart"], raw["names"]
    return StitchKind(
        id=raw["id"],
        code=names["US"]["abbreviation"].replace(" ", ""),
        base=raw["id"],
        passes_for=raw.get("passes_for", ""),
        height=chart["height"],
        width=chart["width"],
        symbol=chart["symbol"],
        strokes=chart["strokes"],
        fabric_height=raw["fabric"]["height"],
        turning_chain=raw["turning_chain"],
        yarn=raw["yarn"],
        names={t: (names[t]["abbreviation"], names[t]["name"]) for t in TERMS},
    )


_OTHER_WORDS = {"UK": {"skip": "miss"}}      # Shawls book (UK terms), Interweave and GMC, 2015
_STITCH_WORDS = re.compile(r"\b(sl st|skip|sc|hdc|dc|tr)\b")


def said_in(terms: str, example: str) -> str:
    """An example in US terms, with its stitches and words as `terms` have them."""
    other = _OTHER_WORDS.get(terms, {})

    def word(match: re.Match[str]) -> str:
        kind = None if terms == "US" else registry().find(match[0], "US")
        return other.get(match[0]) or (kind.abbreviation(terms) if kind else match[0])

    return _STITCH_WORDS.sub(word, example)


@cache
def registry() -> Registry:
    """The kinds and families of `kinds/` and `families/`."""
    raws = _load("kinds")
    return Registry(
        simple={raw["id"]: _simple(raw) for raw in raws},
        also={raw["id"]: {t: raw["names"][t]["also"] for t in TERMS} for raw in raws},
        families={raw["id"]: raw for raw in _load("families")},
    )
