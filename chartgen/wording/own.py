"""The pattern's own stitches, defined again in the words of a language."""

from __future__ import annotations

from chartgen.notation.names import plain
from chartgen.notation.tree import ONE, Instructions, Own, Target, Where, Work
from chartgen.read import Document
from chartgen.stitches import StitchKind, registry
from chartgen.wording.notes import source_notes
from chartgen.wording.phrases import Phrases
from chartgen.wording.speaker import Speaker


def definitions(document: Document, instructions: Instructions, speaker: Speaker) -> dict[str, str]:
    """Each stitch the pattern defines: {its name: how it is worked}."""
    said = {}
    phrases = Phrases(speaker, "rounds", source_notes(document, speaker.language.terms, speaker.missing, speaker.told))
    for stitch in document.stitches:
        made = instructions.own[plain(str(stitch.name))]
        said[str(stitch.name)] = _definition(made, phrases)
    return said | {name: _definition(instructions.own[name], phrases) for name in instructions.defined if name not in said}


def _definition(made: Own, phrases: Phrases) -> str:
    words = phrases.items(made.items)
    works = [i for i in made.items if isinstance(i, Work)]
    closed_apart = made.closed is not None and not (len(works) == 1 and works[0].stitch.legs > 1)
    if made.closed is None or not closed_apart:
        return words
    if not works:
        return _told_by_motions(made.closed, phrases)
    speaker = phrases.speaker
    stitch = speaker.stitch(registry().kind(made.closed.base), plural=True)
    closing = speaker.language.raw["closings"][made.closed.family].format(n=made.closed.legs, stitch=stitch)
    return words + speaker.language.frames["sep"] + speaker.terms_in(closing)


def _told_by_motions(kind: StitchKind, phrases: Phrases) -> str:
    """ "4-hdc puff in same st" of a puff that was told by the hook's motions; a roll stitch by these again."""
    if kind.family:
        legs = registry().made(kind.family, kind.base, kind.legs)
        return phrases.items((Work(ONE, legs, (Where("same", Target("any")),)),))
    return phrases.speaker.terms_in(phrases.speaker.language.raw["how"][kind.base])
