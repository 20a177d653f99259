"""Cautions in another language: its own sentence for each code, with what was found filled in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from chartgen.checks.table import table
from chartgen.problems import Problem

_LENGTH = re.compile(r" \(about (\d+) (mm|cm)\)")
_HOLE = re.compile(r"ch-(\d+) space in (.+)")


def cautioned(problem: Problem, told: Mapping[str, Any]) -> tuple[str, str]:
    """The message and the help of a caution; in English where the language has no sentence for it.

    Args:
        told: `cautions` of a language file: by code, a message and its help; `length` and `hole`.
    """
    found = next((m for m in map(lambda p: p.fullmatch(problem.message), _messages(problem.code)) if m), None)
    if found is None or problem.code not in told:
        return problem.message, problem.help
    message, help = told[problem.code]
    return message.format(**{**_numbers(problem.code), **_filled(found.groupdict(), told)}), help if problem.help else ""


def is_told(problem: Problem, told: Mapping[str, Any]) -> bool:
    return problem.code in told and any(p.fullmatch(problem.message) for p in _messages(problem.code))


@cache
def _messages(code: str) -> tuple[re.Pattern[str], ...]:
    """What the messages of a code look like; they differ only in what was found."""
    made = []
    for rule in table().rules:
        if rule.code == code:
            blank = re.escape(rule.message.format(find="\0", length="\1", **rule.numbers))
            made.append(re.compile(blank.replace("\0", "(?P<find>.+?)").replace("\1", r"(?P<length>(?: \(about .*?\))?)"), re.DOTALL))
    return tuple(made)


def _numbers(code: str) -> dict[str, Any]:
    return next((dict(rule.numbers) for rule in table().rules if rule.code == code), {})


def _filled(found: Mapping[str, str | None], told: Mapping[str, Any]) -> dict[str, str]:
    length = _LENGTH.fullmatch(found.get("length") or "")
    hole = _HOLE.fullmatch(found.get("find") or "")
    return {
        "length": told["length"].format(n=length[1], unit=length[2]) if length else "",
        "find": told["hole"].format(n=hole[1], part=hole[2]) if hole else found.get("find") or "",
    }
