"""The registry: loads the kinds and families, finds a kind by id or by words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import Any

import yaml

from chartgen.stitches.kind import StitchKind

TERMS = ("US", "UK", "old")
_HERE = Path(__file__).parent
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def _load(folder: str) -> list[dict[str, Any]]:
    return [
        yaml.load(path.read_text("utf-8"), _LOADER)
        for path in sorted((_HERE / folder).glob("*.yaml"))
    ]


def _key(words: str) -> str:
    """A stitch's words as they are compared: lower case, single spaces."""
    return re.sub(r"\s+", " ", words.strip().lower())


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
    def _family_names(
        rule: dict[str, Any], stitch: StitchKind, terms: str, legs: int
    ) -> tuple[str, str]:
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
        """Every spelling known in `terms`, lower case, with the kind it means."""
        return self._words[terms]

    def find(self, words: str, terms: str) -> StitchKind | None:
        """The kind that `words` mean in `terms` ("dc", "Double crochets"), or None."""
        return self._words[terms].get(_key(words))

    @cached_property
    def _words(self) -> dict[str, dict[str, StitchKind]]:
        return {terms: dict(self._spellings(terms)) for terms in TERMS}

    def _spellings(self, terms: str) -> Iterator[tuple[str, StitchKind]]:
        for rule in self.families.values():
            yield from self._family_spellings(rule, terms)
        for kind in self.simple.values():
            for spelling in self.also[kind.id][terms]:
                yield _key(spelling), kind
        for kind in self.simple.values():
            abbreviation, name = kind.names[terms]
            yield _key(name), kind
            yield _key(abbreviation), kind

    def _family_spellings(self, rule: dict[str, Any], terms: str) -> Iterator[tuple[str, StitchKind]]:
        least, most = rule["legs"]["least"], rule["legs"]["most"]
        templates = [rule["abbreviation"], rule["name"], *rule["also"]]
        for base in rule["of"]:
            abbreviation, name = self.simple[base].names[terms]
            for legs in range(least, most + 1):
                kind = self.made(rule["id"], base, legs)
                for template in templates:
                    yield _key(template.format(base=abbreviation, base_name=name, n=legs)), kind
        if short := rule.get("short"):
            kind = self.made(rule["id"], short["base"], rule["legs"]["usual"])
            for spelling in (short["abbreviation"], *short["also"]):
                yield _key(spelling), kind

    def __hash__(self) -> int:
        return id(self)


def _simple(raw: dict[str, Any]) -> StitchKind:
    chart, names = raw["chart"], raw["names"]
    return StitchKind(
        id=raw["id"],
        code=names["US"]["abbreviation"].replace(" ", ""),
        base=raw["id"],
        height=chart["height"],
        width=chart["width"],
        symbol=chart["symbol"],
        strokes=chart["strokes"],
        fabric_height=raw["fabric"]["height"],
        turning_chain=raw["turning_chain"],
        yarn=raw["yarn"],
        names={t: (names[t]["abbreviation"], names[t]["name"]) for t in TERMS},
    )


@cache
def registry() -> Registry:
    """The kinds and families of `kinds/` and `families/`."""
    raws = _load("kinds")
    return Registry(
        simple={raw["id"]: _simple(raw) for raw in raws},
        also={raw["id"]: {t: raw["names"][t]["also"] for t in TERMS} for raw in raws},
        families={raw["id"]: raw for raw in _load("families")},
    )
