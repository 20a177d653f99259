"""The sizes a pattern is to be graded to, as a command says them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from chartgen.sizing import asked
from chartgen.sizing.crown import NotPlanned
from chartgen.sizing.grade import Target
from chartgen.sizing.regrade import finished_around, with_ease


def targets(
    text: str, name: str, wanted: str, base: str | None, depth: str | None, measure: str, own: str | None
) -> list[Target]:
    """`child = 45.5 cm, adult, large = adult survey / man P95` as targets.

    Args:
        depth: one length for all sizes, or one each.
        measure: the body measure of the rows named.
        own: the body (`Table / row`) the written size fits; its ease is kept for the others.

    Raises NotPlanned for words that are not understood, and for a body without a known ease.
    """
    found = [_target(words, measure) for words in wanted.split(",") if words.strip()]
    names = [t.name.casefold() for t in found]
    if not found or len(set(names)) < len(names):
        raise NotPlanned("name each size once: `child = 45.5 cm, adult, large = 57 cm`")
    found = _with_depths(found, depth)
    if all(t.around_cm is not None or not t.fits for t in found):
        return found
    if own is None:
        raise NotPlanned("sizes named by bodies need the body that the written size fits: --fits \"adult survey / woman\"")
    written = Target("", fits=own, to_fit_cm=asked.body_cell(own, measure).middle_cm)
    found = [replace(t, fits=own, to_fit_cm=written.to_fit_cm) if not t.fits and t.around_cm is None else t for t in found]
    return with_ease(found, written, finished_around(text, name, base))


def _target(words: str, measure: str) -> Target:
    name, equals, value = (part.strip() for part in words.partition("="))
    if not equals:
        return Target(name)
    if " / " in value:
        return Target(name, fits=value, to_fit_cm=asked.body_cell(value, measure).middle_cm)
    return Target(name, around_cm=asked.length(value))


def _with_depths(found: list[Target], depth: str | None) -> list[Target]:
    if depth is None:
        return found
    lengths: list[Fraction] = asked.lengths(depth)
    if len(lengths) not in (1, len(found)):
        raise NotPlanned(f"--depth has {len(lengths)} values for {len(found)} sizes; write one, or one each: `20 (22, 23) cm`")
    return [replace(t, length_cm=lengths[i if len(lengths) > 1 else 0]) for i, t in enumerate(found)]
