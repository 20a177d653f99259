"""The signs of a chart put in words: what a drawing of a stitch shows, for those who do not see it."""

from __future__ import annotations

from chartgen.stitches import StitchKind
from chartgen.wording.language import Language


# What the other hand works is drawn as in a mirror.
_MIRRORED = {"front": "back", "back": "front"}


def sign_said(kind: StitchKind, language: Language, single: str = "+", left_handed: bool = False) -> str:
    """The sign of a stitch: "an upright line with a bar across its top"; "" where the language has no words for it.

    Args:
        single: how a single crochet is drawn, "+" or "x".
    """
    signs = language.raw["signs"]
    base = signs.get(f"{kind.base or kind.id} {single}", signs.get(kind.base or kind.id, ""))
    if not kind.family:
        return str(base)
    family = kind.family.replace(kind.post, _MIRRORED[kind.post]) if left_handed and kind.post else kind.family
    return str(signs[family]).format(n=kind.legs, base=base) if family in signs and base else ""


def group_said(language: Language) -> str:
    """What is drawn of a group of stitches that the pattern names."""
    return str(language.raw["signs"]["group"])


def shown(sign: str, language: Language) -> str:
    """"In the chart: …", as a sentence; "" for ""."""
    return language.raw["signs"]["said"].format(sign=sign) if sign else ""


__all__ = ["group_said", "shown", "sign_said"]
