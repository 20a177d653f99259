"""A language of the written pattern, read from `languages/*.yaml`: its words and sentence frames.

No stitch and no word of the trade is in the program: a new language is a new file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).with_name("languages")
_TABLES = ("nouns", "terms_used", "groups")


@dataclass(frozen=True, slots=True)
class Term:
    """One word of the trade in a language.

    Attributes:
        key: what it is, the same in every language ("stitches.treble", "terms_used.repeat").
        short, plural: as written in instructions.  name: in full; "" where `short` is that.
        gender: of the noun, as the frames of the language tell genders apart; or "".
        source: title of the publication.  confidence: "read", "secondary" or "memory".
    """

    key: str
    short: str
    plural: str
    name: str = ""
    gender: str = ""
    source: str = ""
    confidence: str = "memory"


@dataclass(frozen=True)
class Language:
    """Words, frames and number forms.

    Attributes:
        code, name: "en-US", "English, US terms".
        terms: "US" or "UK" for English, whose words can be read back; "" otherwise.
        tables: terms by table and key.  families: raw entries by family.
        frames: sentence frames by key; a text, or texts by "one"/"other", gender or way of working.
    """

    code: str
    name: str
    terms: str
    tables: Mapping[str, Mapping[str, Term]]
    families: Mapping[str, Mapping[str, Any]]
    frames: Mapping[str, Any]
    raw: Mapping[str, Any]

    def term(self, table: str, key: str) -> Term | None:
        return self.tables[table].get(key)

    def family(self, family: str, base: str, legs: int) -> Term | None:
        """The term for `legs` stitches of kind `base` made one by `family`; None if unknown."""
        rule, stitch = self.families.get(family), self.term("stitches", base)
        if rule is None or stitch is None:
            return None
        fill = {"base": stitch.short, "base_name": stitch.name or stitch.short, "n": legs}
        fill["base_plural"] = stitch.plural
        fill["base_names"] = self.raw["editions"]["plurals"].get(fill["base_name"], fill["base_name"])
        said = {k: str(rule.get(k, "")).format(**fill) for k in ("short", "plural")}
        said["name"] = str(rule.get("name", "")).format(**fill)
        both = stitch.confidence if stitch.confidence != "read" else rule["confidence"]
        entry = {**said, "gender": rule.get("gender", stitch.gender), "confidence": both, "source": rule["source"]}
        return _term(f"families.{family}:{base}:{legs}", entry, self.raw["sources"])


def _term(key: str, entry: Mapping[str, Any], sources: Mapping[str, str]) -> Term:
    short = str(entry["short"])
    source = str(entry.get("source", ""))
    return Term(
        key, short, str(entry.get("plural") or short), str(entry.get("name") or ""),
        str(entry.get("gender", "")), sources.get(source, source), str(entry.get("confidence", "memory")),
    )


def from_raw(raw: Mapping[str, Any]) -> Language:
    """A language from the value of its file."""
    sources = raw["sources"]
    tables = {
        table: {str(k): _term(f"{table}.{k}", v, sources) for k, v in raw.get(table, {}).items()}
        for table in ("stitches", *_TABLES)
    }
    return Language(
        raw["code"], raw["name"], raw.get("terms", ""), tables, raw["families"], raw["frames"], raw
    )


@cache
def language(code: str) -> Language:
    """The language of this code. KeyError, naming those there are, for an unknown one."""
    path = FOLDER / f"{code}.yaml"
    if code not in languages():
        raise KeyError(f"no language {code!r}; there are {', '.join(languages())}")
    return from_raw(load(path))


def load(path: Path) -> dict[str, Any]:
    """The value of a language file; a file may begin from another (`like: en-US`)."""
    raw = yaml.load(path.read_text("utf-8"), getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    if "like" not in raw:
        return raw
    return _over(load(FOLDER / f"{raw.pop('like')}.yaml"), raw)


def _over(base: Mapping[str, Any], changes: Mapping[str, Any], depth: int = 0) -> dict[str, Any]:
    """`base` with the entries of `changes` put over it, two levels deep."""
    return {
        key: _over(base[key], changes[key], depth + 1)
        if depth < 1 and changes.get(key) and isinstance(base.get(key), Mapping)
        else changes.get(key, base.get(key))
        for key in [*base, *(k for k in changes if k not in base)]
    }


@cache
def languages() -> tuple[str, ...]:
    """The codes of the languages there are."""
    return tuple(sorted(p.stem for p in FOLDER.glob("*.yaml")))


def from_memory(terms: Iterable[Term]) -> list[Term]:
    """Those that rest on memory: a native reader must look at them before they are printed."""
    return [t for t in terms if t.confidence == "memory"]
