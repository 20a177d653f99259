"""Readings: what a row's words leave open, tried one after another against its count.

Only what the words do not settle is tried: a beginning chain of which nothing is said,
"rep from * 6 times" without "more". A reading that agrees with the written count is taken
and noted; a row whose words are plain has one reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from chartgen.fabric.hook import Hook


@dataclass(frozen=True)
class Reading:
    """One way to read what is open. `begin` turns the reading of the beginning chain round,
    `fewer` takes "n times" for all passes, `loose` leaves chains out of "each st", `short` ends a
    round of petals in its last stitch rather than in its first, `together` makes a list of stitches
    in the one place named at its end, `first` lets a loop that begins a round pass over its first stitch, `arch`
    closes a round of loops by the chain of its repeat, `slips` takes slip stitches at the start of a foundation
    chain for stitches of the row, not for a way to it."""

    begin: bool = False
    fewer: bool = False
    loose: bool = False
    short: bool = False
    together: bool = False
    first: bool = False
    arch: bool = False
    slips: bool = False

    def set(self, hook: Hook) -> None:
        hook.flip_begin, hook.fewer_passes = self.begin, self.fewer
        hook.chains_are_stitches = not self.loose
        hook.stops_short, hook.lists_together, hook.arch_implied = self.short, self.together, self.arch
        hook.first_comes_first, hook.slips_stand = self.first, self.slips
        hook.over_first = False
        hook.begin_unsaid = hook.unsure_used = hook.ends_unsaid = hook.leads_unsaid = hook.slips_unsaid = False

    @staticmethod
    def unset(hook: Hook) -> None:
        hook.flip_begin = hook.fewer_passes = hook.stops_short = hook.first_comes_first = False
        hook.arch_implied = hook.slips_stand = False
        hook.chains_are_stitches = True

    def learn(self, hook: Hook) -> None:
        """A chain that a written count has shown to count, or not, does so in the rows after it; so do as many chains
        passed over at the foundation. Of rows that pass over their first stitch only such a row shows it."""
        if self.begin and (length := len(hook.begin) or hook.passed_first):
            hook.learned[length, False] = hook.learned[length, hook.over_first] = hook.begin_counts

    def allowed(self, hook: Hook) -> bool:
        """Were the words open in just the way this reading needs?"""
        if self.begin and not hook.begin_unsaid:
            return False
        if self.short and not hook.ends_unsaid:
            return False
        if self.together and not hook.lists_unsaid:
            return False
        if self.first and not hook.leads_unsaid:
            return False
        if self.arch and not hook.arch_unsaid or self.slips and not hook.slips_unsaid:
            return False
        return not (self.fewer and not hook.unsure_used)

    def note(self, hook: Hook) -> str:
        said = []
        if self.begin:
            said.append("the beginning chain is not said to count or not; the written count shows which")
        if self.fewer:
            said.append(
                'a repeat said without "more" or "in all" is read the way that agrees with the written count'
            )
        if self.loose:
            said.append('"st" is read as stitches without the chains between them')
        if self.short:
            said.append("the round ends in its last stitch, not in its first; the written count shows it")
        if self.together:
            said.append(f'stitches listed before one place are all made in it; {self._shown_by(hook)}')
        if self.arch:
            said.append(f"the last loop is made by the chain of the repeat, and joined; {self._shown_by(hook)}")
        if self.slips:
            said.append("the stitches slipped first on the foundation chain are stitches of the row; the written count shows it")
        return "; ".join(said)

    def _shown_by(self, hook: Hook) -> str:
        if hook.said:
            return "the written count shows it"
        return "the round is not closed without it" if self.arch else "the row comes out so, and none of them lies in a single chain"


TOGETHER = Reading(together=True)
ARCH = Reading(arch=True)


@cache
def readings() -> tuple[Reading, ...]:
    """In the order they are tried."""
    return (
        Reading(),
        Reading(first=True),
        Reading(fewer=True),
        Reading(begin=True),
        Reading(loose=True),
        Reading(short=True),
        Reading(begin=True, fewer=True),
        TOGETHER,
        ARCH,
        Reading(slips=True),
    )
