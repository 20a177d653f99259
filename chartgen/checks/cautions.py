"""Cautions for babies, children and toys: the table of `cautions.yaml`, asked per size.

Guidance for the maker, never a promise of safety: a pattern without a caution has only
not been caught by these rules.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from chartgen.checks.findings import findings
from chartgen.checks.mentions import Find, items, mentions
from chartgen.checks.table import Rule, Table, table
from chartgen.fabric import Fabric
from chartgen.problems import Problem
from chartgen.problems.render import merge_sizes
from chartgen.read import Document


@dataclass(frozen=True, slots=True)
class Wearer:
    """Whom one size is for: the word of `for`, and the least age in months."""

    word: str
    from_months: int


def cautions(document: Document, fabrics: Iterable[Fabric]) -> list[Problem]:
    """The cautions of every size, gravest first, each once with the sizes it concerns.

    Args:
        fabrics: one per size in order; fewer or none where a size could not be worked,
            whose words are then still read.
    """
    rules, made, named = table(), items(document, table()), mentions(document, table())
    worked = list(fabrics)
    sizes = document.sizes or (None,)
    per_size = []
    for index in range(len(sizes)):
        finds = named + (findings(document, worked[index]) if index < len(worked) else [])
        per_size.append(list(_of_one_size(rules, _wearer(document, index, rules), made, finds)))
    return sorted(merge_sizes(per_size, sizes), key=_gravest_first)


def _gravest_first(caution: Problem) -> tuple[int, str]:
    return ("error", "warning", "note").index(caution.severity), caution.code


def _of_one_size(
    rules: Table, wearer: Wearer, made: frozenset[str], finds: list[Find]
) -> Iterator[Problem]:
    for rule in rules.rules:
        if not _concerns(rule, wearer, made):
            continue
        if rule.finds is None:
            yield _caution(rule, rules, [])
        elif caught := [find for find in finds if _catches(rule, rules, find)]:
            yield _caution(rule, rules, caught)


def _wearer(document: Document, index: int, rules: Table) -> Wearer:
    word = document.wearer[index if len(document.wearer) > 1 else 0]
    size = document.sizes[index] if document.sizes else ""
    said = _age_said(size, rules)
    return Wearer(word, rules.ages.get(word, (0, 0))[0] if said is None else said)


def _age_said(size: str, rules: Table) -> int | None:
    """The least age in months that the name of a size gives ("3-6 months"), or None."""
    units = "|".join(sorted(rules.age_units, key=len, reverse=True))
    match = re.search(rf"(\d+)(?:\s*(?:-|–|to)\s*\d+)?\s*({units})\b", size, re.IGNORECASE)
    return int(match[1]) * rules.age_units[match[2].lower()] if match else None


def _concerns(rule: Rule, wearer: Wearer, made: frozenset[str]) -> bool:
    young = rule.under_months is None or wearer.from_months < rule.under_months
    return wearer.word in rule.wearers and young and (not rule.items or bool(made & {*rule.items}))


def _catches(rule: Rule, rules: Table, find: Find) -> bool:
    short = rule.over_mm and find.mm is not None and find.mm <= min(rule.over_mm)
    if find.what != rule.finds or short:
        return False
    if rule.zone and not rules.zones[rule.zone].found_in(find.context):
        return False
    return not (rule.not_zone and rules.zones[rule.not_zone].found_in(find.context))


def _caution(rule: Rule, rules: Table, caught: list[Find]) -> Problem:
    first = min(caught, key=lambda find: -(find.mm or 0), default=Find("", "", ""))
    return Problem(
        code=rule.code,
        severity=rule.severity,
        message=rule.message.format(find=first.words, length=_length(first.mm), **rule.numbers),
        span=first.span,
        help=rule.help,
        notes=tuple(_notes(rule, rules, {find.words for find in caught} - {first.words})),
    )


def _length(mm: float | None) -> str:
    """What stands behind a measured find in a message."""
    if mm is None:
        return ""
    return f" (about {mm / 10:.0f} cm)" if mm >= 100 else f" (about {mm:.0f} mm)"


def _notes(rule: Rule, rules: Table, others: set[str]) -> Iterator[str]:
    if others:
        yield "also found: " + ", ".join(sorted(others))
    for key in rule.source:
        yield f"source: {rules.sources[key]}"
    if "memory" in rule.confidence:
        yield "from memory, no source: check the rules where you are"
