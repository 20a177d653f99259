"""Every node of the tree as words, each thing in one fixed phrasing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from chartgen.notation.tree import (
    Attach,
    Chain,
    Colour,
    Counting,
    Group,
    Even,
    Every,
    Held,
    Item,
    Join,
    Leave,
    LikeRow,
    Measured,
    Loops,
    Made,
    Note,
    Number,
    Own,
    Repeat,
    Sign,
    Skip,
    Target,
    Where,
    Work,
)
from chartgen.stitches import StitchKind, registry
from chartgen.wording.places import Places
from chartgen.wording.speaker import Noun, Speaker

_ALL_AROUND = (Where("each", Target("any"), until="end"),)


@dataclass(frozen=True)
class Phrases:
    """Says items.

    Attributes:
        worked: "rounds" or "rows".
        note: how words of the designer's are said: as they are, or "" to leave them out.
        stars: how many stars the next star repeat has; in_place: inside a place already.
    """

    speaker: Speaker
    worked: str
    note: Callable[[Note | Made], str]
    stars: int = 1
    in_place: bool = False

    @property
    def places(self) -> Places:
        return Places(self.speaker, self.worked)

    def items(self, items: Sequence[Item]) -> str:
        """Items one after another, with the marks that part them."""
        said, before = "", None
        for item in items:
            if isinstance(item, Sign) and isinstance(before, Note) and item.span == before.span:
                continue                                    # "at end of last row fasten off": said already
            words = self._item(before, item)
            if not words:
                continue
            said += (self._between(before, item, words) if said else "") + words
            before = item
        return said

    def _item(self, before: Item | None, item: Item) -> str:
        if isinstance(item, Counting) and item.of is None and _from_hook(before):
            return f"({self._skipped(item)})"
        return _SAYERS[type(item)](self, item)

    def _between(self, before: Item | None, item: Item, words: str) -> str:
        return str(self.speaker.language.frames[self._mark_between(before, item, words)])

    def _mark_between(self, before: Item | None, item: Item, words: str) -> str:
        """Which mark parts two items: words in brackets follow at once; a sentence of the
        designer's stands by itself; what might run into the next words ends with a semicolon."""
        if words.startswith("(") and isinstance(item, (Note, Made, Counting)):
            return "sep.aside"
        if isinstance(before, Note) and self.note(before).endswith(":"):
            return "sep.aside"
        loose = isinstance(before, Note) and not self.note(before).endswith(")")
        if loose and self.note(before)[:1].islower() or isinstance(before, Repeat) and before.ending:
            return "sep.clause"
        aside = isinstance(item, Note) and words[:1].islower()
        if not aside and (loose or isinstance(item, (Note, LikeRow)) or _is(item, "off")):
            return "sep.sentence"
        clause = isinstance(item, (Join, Counting)) or _is(item, "no join") or isinstance(before, Counting) and before.of is not None
        return "sep.clause" if clause else "sep.colour" if isinstance(before, Colour) else "sep"

    def say(self, frame: str, n: Number | int = 1, **fields: object) -> str:
        return self.speaker.say(frame, n, form=self.worked, **fields)

    def said_of(self, note: Note) -> str:
        """A note in the language's own words, where it says which side faces or where a marker is placed; else ""."""
        if note.facing:
            return self.say("facing", side=self.speaker.word("terms_used", note.facing))
        return self.say(f"marker.{note.marks}") if note.marks else ""

    # ---- stitches

    def _counted(self, count: Number, noun: Callable[[bool], object]) -> str:
        if self.speaker.is_one(count):
            return str(noun(False))
        return self.say("several", count, what=noun(True))

    def _work(self, item: Work) -> str:
        what = self._counted(item.count, lambda many: self.speaker.stitch(item.stitch, many))
        if item.down and item.where[0].target.kind != "space":
            what = self.say("work.long", what=what)
        if item.loop:
            what = self.say("work.loop", what=what, loop=self.speaker.word("terms_used", item.loop))
        said = self._said_of_skipped(self._evenly(item, what), item.counts_said, self._first_stitch(item))
        if item.change is None:
            return said
        sts = self.speaker.word("nouns", "stitch", not self.speaker.is_one(item.change))
        return self.say("work.more" if item.by > 0 else "work.fewer", item.change, work=said, sts=sts)

    def _evenly(self, item: Work, what: str) -> str:
        if item.where[:1] and item.where[0].outline:
            return self.say("work.outline", what=what)
        if item.evenly and _same_places(item.where, _ALL_AROUND):
            return self.say("work.evenly.all", what=what)
        if item.evenly:
            what = self.say("work.evenly", what=what)
        if item.up_to:
            return self.say("work.to", what=what, place=self.places.all(item.where, "in"))
        return self._in_places(what, item.where, item.stitch)

    def _in_places(self, what: str, where: tuple[Where, ...], kind: StitchKind | None = None) -> str:
        if not where:
            return what
        by = _preposition(kind, where)
        return self.say(f"work.{by}", what=what, place=self.places.all(where, by, together=by == "over"))

    def _said_of_skipped(self, said: str, counts: bool | None, counting: Counting | None = None) -> str:
        if counts is None:
            return said
        return self.say("said", what=said, said=self._skipped(counting or Counting(counts)))

    @staticmethod
    def _first_stitch(item: Work) -> Counting:
        """What the foundation chains skipped before a stitch are: one like it, and further chains."""
        return Counting(bool(item.counts_said), registry().kind(item.stitch.base), item.chains_said or 0)

    def _own(self, item: Own) -> str:
        what = self._counted(item.count, lambda many: self.speaker.own(item.name, many))
        return self._in_places(what, item.where)

    def _chain(self, item: Chain) -> str:
        said = self.say("chain", item.count)
        return said if item.said is None else self.say("said", what=said, said=self.counting(item.said, item.count))

    def counting(self, said: Counting, n: Number | int = 1) -> str:
        """What a beginning chain of `n` counts as: "counts as dc and ch 2 here and throughout"."""
        if not said.counts:
            words, throughout = self.say("counts.not", n), "counts.not.throughout"
        else:
            words, throughout = self._counts_as(said, n), "counts.throughout"
        return self.say(throughout, said=words) if said.throughout else words

    def _counts_as(self, said: Counting, n: Number | int) -> str:
        if said.stitch is None:
            return self.say("counts.plain", n)
        stitch = self.speaker.stitch(said.stitch)
        if not said.chains:
            return self.say("counts.stitch", n, stitch=stitch)
        return self.say("counts.chains", n, stitch=stitch, chains=self.say("chain", said.chains))

    def _skipped(self, item: Counting) -> str:
        """What skipped foundation chains count as."""
        if not item.counts and item.chains:
            return self.say("skipped.counts.space", space=self.places.target(Target("space", size=item.chains)))
        if not item.counts or item.stitch is None:
            return self.say("skipped.counts" if item.counts else "skipped.counts.not")
        stitch = self.speaker.stitch(item.stitch)
        if item.chains:
            return self.say("skipped.counts.chains", stitch=stitch, chains=self.say("chain", item.chains))
        return self.say("skipped.counts.stitch", stitch=stitch)

    def _counting(self, item: Counting) -> str:
        if item.of is None:
            return f"({self.counting(item)})"
        return self.say("counts.chain", chain=self.say("chain", item.of), said=self.counting(item, item.of))

    def _group(self, item: Group) -> str:
        within = replace(self, in_place=True, stars=1).items(item.items)
        if not item.where:
            return self.say("group.here", items=within)
        return self.say("group", items=within, place=self.places.all(item.where))

    def _every(self, item: Every) -> str:
        """"sc in each dc and 3 sc in each sp around": how far is said once, at the end."""
        *first, last = item.items
        said = ""
        for one in [*(replace(i, where=(replace(i.where[0], until="open"),)) if i.where[0].which != "ends" else i for i in first), last]:
            words = self._item(None, one)
            said = self.say("place.and", one=said, other=words) if said else words
        return said

    def _held(self, item: Held) -> str:
        held = self.say("hold", what=self.speaker.word("nouns", "stitch"))
        return self.speaker.language.frames["sep"].join((held, self.items(item.items), self.say("close")))

    # ---- moving

    def _skip(self, item: Skip) -> str:
        said = self.say("skip", place=self.places.all(item.where, "", together=True))
        said = self.say("skip.behind", skip=said) if item.behind else said
        return self._said_of_skipped(said, item.counts_said)

    def _leave(self, item: Leave) -> str:
        if item.n is None:
            return self.say("leave")
        what = self.places.target(item.what or Target("any"), not self.speaker.is_one(item.n))
        return self.say("leave.some", item.n, what=what)

    def _join(self, item: Join) -> str:
        if item.stitch is None and not item.ring and item.place is None:
            return self.say("join")
        frame = ".in" * (item.place is not None) + ".ring" * item.ring or ".with"
        place = self.places.where(item.place) if item.place else ""
        return self.say(f"join{frame}", stitch=self.speaker.stitch(item.stitch) if item.stitch else "", place=place)

    def _attach(self, item: Attach) -> str:
        stitch = self.speaker.stitch(item.stitch) if item.stitch else ""
        place = self.places.anywhere(item.place) if item.place else ""
        frame = {(True, True): ".in", (True, False): ".with", (False, True): ".place", (False, False): ""}
        colour = item.colour or self.say("attach.yarn")
        return self.say(f"attach{frame[bool(stitch), bool(place)]}", colour=colour, stitch=stitch, place=place)

    def _sign(self, item: Sign) -> str:
        return self.say("sign.off.colour", colour=item.colour) if item.colour else self.say(f"sign.{item.what}")

    def _loops(self, item: Loops) -> str:
        if not item.loop:
            said = self.say("loops")
        else:
            said = self.say("loops.lasting" if item.lasts else "loops.only", loop=self.speaker.word("terms_used", item.loop))
        return said if item.row is None else self.say("place.row", item.row, place=said)

    # ---- repeats

    def _starred(self, item: Repeat) -> bool:
        """Long repeats, those to the end and those with an end of their own have a star; the
        others are in brackets."""
        if item.mark is not None or item.ending:
            return True
        if self.in_place or item.times is None and self.stars > 1:
            return False
        if item.times is None:
            return True
        often = min(item.times.values) > 1
        deep = any(isinstance(i, (Repeat, Group)) for i in item.items)
        return often and self.stars == 1 and (deep or len(item.items) > self.speaker.style.longest)

    def _repeat(self, item: Repeat) -> str:
        if not self._starred(item):
            inner = replace(self, stars=1, in_place=self.in_place)
            before, after = self.speaker.style.repeats
            return self.say("repeat.bracket", items=f"{before}{inner.items(item.items)}{after}", times=self._times(item, more=False))
        inside = any(isinstance(i, Repeat) and self._starred(i) and (i.mark is not None or i.ending) for i in item.items)
        stars = "*" * (2 if inside else 1)
        within = replace(self, stars=2)
        words = self.say("repeat.star", star=stars, items=within._marked(item), times=self._times(item, more=True))
        return self._ended(item, words)

    def _marked(self, item: Repeat) -> str:
        if item.mark is None:
            return self.items(item.items)
        before = self.say("mark", items=self.items(item.items[: item.mark]))
        rest = self.items(item.items[item.mark :])
        return self.speaker.language.frames["sep"].join(filter(None, (before, rest)))

    def _ended(self, item: Repeat, words: str) -> str:
        if item.mark is not None:
            return self.say("repeat.at mark", repeat=words)
        if item.ending and all(isinstance(i, Note) for i in item.ending):
            return self.say("repeat.corresponding", repeat=words)
        if item.ending:
            return self.say("repeat.ending", repeat=words, items=replace(self, stars=1).items(item.ending))
        return words

    def _times(self, item: Repeat, more: bool) -> str:
        if item.times is not None and more:
            return self.speaker.times(replace(item.times, values=tuple(v - 1 for v in item.times.values)), more=True)
        if item.times is not None:
            return self.speaker.times(item.times)
        if item.n_left is not None:
            what = self.places.target(item.left or Target("any"), not self.speaker.is_one(item.n_left))
            return self.say("repeat.left", item.n_left, what=what)
        if item.until is not None:
            return self.say("repeat.until", stop=self.places.within(item.until))
        return self.say("repeat.all")

    def _like(self, item: LikeRow) -> str:
        if item.even is not None:
            return self._rows_even(item, item.even)
        rows = self.rows(item.rows) if item.last is None else self.say("like.last", item.last, row=self._row(not self.speaker.is_one(item.last)))
        ended = item.ending or item.dropping or item.chains is not None or item.fewer is not None
        said = self.say("like" if ended else "like.repeat", rows=rows)
        if item.ending:
            said = self.say("like.ending", like=said, items=self.items(item.ending))
        elif item.dropping:
            said = self.say("like.dropping", like=said)
        if item.chains is not None:
            said = self.say("like.chains", item.chains, like=said)
        if item.fewer is not None:
            said = self.say("like.fewer", item.fewer, like=said, sps=self.speaker.word("nouns", "space", not self.speaker.is_one(item.fewer)))
        if item.between is not None:
            said = self._farther_apart(item, item.between, said)
        if item.apart is not None:
            said = self.say("like.apart", item.apart, like=said, sts=self._stitches(item.apart))
        if item.every is not None:
            said = self.say("like.every", item.every, like=said, row=self._row(True))
        if item.times is not None:
            one = len(set(item.times.values)) == 1
            words = self.speaker.language.raw["number_words"].get(item.times.of(0)) if one else None
            times = f"{words} {self.speaker.times(item.times).split(' ', 1)[-1]}" if words else self.speaker.times(item.times)
            said = self.say("like.times", like=said, times=times)
        if item.until_rows is not None:
            said = self.say("like.until rows", item.until_rows, like=said, row=self._row(True))
        said = self._until_sts(item, said)
        return self._measured(item.until, said) if item.until is not None else said

    def _farther_apart(self, item: LikeRow, more: Number, said: str) -> str:
        """ "continue in this manner, having 2 sts more between increases", "as rnd 4, but …"."""
        so_many = replace(more, values=tuple(abs(n) for n in more.values))
        frame = "like.between" if item.last is None else "like.onward"
        return self.say(frame if min(more.values) > 0 else f"{frame} fewer", so_many, like=said, sts=self._stitches(so_many))

    def _stitches(self, number: Number) -> Noun:
        return self.speaker.word("nouns", "stitch", not self.speaker.is_one(number))

    def _until_sts(self, item: LikeRow, said: str) -> str:
        """ "… until there are 64 sc"."""
        if item.until_sts is None:
            return said
        target = Target("stitch", item.until_sts.stitch) if item.until_sts.stitch else Target("any")
        return self.say("like.until sts", item.until_sts.n, like=said, sts=self.places.target(target, True))

    def _rows_even(self, item: LikeRow, even: Even) -> str:
        """ "work 4 rows even in sc", "work even in sc until piece measures 20 cm"."""
        if even.spread is not None:
            sts = self.speaker.word("nouns", "stitch", not self.speaker.is_one(even.spread))
            return self._until_sts(item, self.say("even.more" if even.by > 0 else "even.fewer", even.spread, sts=sts))
        stitch = self.speaker.stitch(even.stitch) if even.stitch else self.speaker.word("nouns", "stitch")
        row = self._row(item.times is None or not self.speaker.is_one(item.times))
        worked = self.say("even.rows", item.times, stitch=stitch, row=row) if item.times else self.say("even", stitch=stitch)
        if item.until_rows is not None:
            worked = self.say("like.until rows", item.until_rows, like=worked, row=self._row(True))
        return self._measured(item.until, worked) if item.until is not None else worked

    def _even(self, item: Even) -> str:
        return self._rows_even(LikeRow(()), item)

    def _measured(self, until: Measured, said: str) -> str:
        """"…until piece measures 20 cm, ending with a WS row, then work 3 more rows"."""
        said = self.say("like.until", like=said, length=self.lengths(until.cm))
        if until.side:
            said = self.say("like.ending side", like=said, side=self.speaker.word("terms_used", until.side), row=self._row(False))
        if until.like is not None:
            said = self.say("like.ending row", like=said, row=self.rows((until.like,)))
        if until.more is not None:
            said = self.say("like.more", until.more, like=said, row=self._row(True))
        return said

    def _row(self, several: bool) -> Noun:
        """Rows, how many or any of them; by its number a row has its name ("Row 3")."""
        return self.speaker.word("nouns", "round" if self.worked == "rounds" else "row", several)

    def lengths(self, cm: Sequence[Any]) -> str:
        return self.speaker.decimal(f"{self.speaker.in_sizes([f'{float(v):g}' for v in cm])} cm")

    def rows(self, numbers: Sequence[Number]) -> str:
        """"Rows 2 and 3", "Rnds 4-7"."""
        key = "round" if self.worked == "rounds" else "row"
        row = self.speaker.word("terms_used", key, len(numbers) > 1)
        said = [self.speaker.number(n) for n in numbers]
        values = [n.values for n in numbers]
        run = len(numbers) > 2 and all(
            len(a) == len(b) and all(y - x == 1 for x, y in zip(a, b, strict=True)) for a, b in pairwise(values))
        if run:
            return self.say("header.range", row=row, first=said[0], last=said[-1])
        if len(said) == 1:
            return self.say("header.one", numbers[0], row=row)
        return self.say("header.list", row=row, list=self.speaker.language.frames["list"].join(said[:-1]), last=said[-1])


def _is(item: Item, what: str) -> bool:
    return isinstance(item, Sign) and item.what == what


def _from_hook(item: Item | None) -> bool:
    """Is it worked into a chain counted from the hook, so that chains are skipped before it?"""
    where: tuple[Where, ...] = getattr(item, "where", ())
    return bool(where) and where[0].which == "hook"


def _preposition(kind: StitchKind | None, where: tuple[Where, ...]) -> str:
    """Around a post, over the stitches of a decrease, else in."""
    if where[0].post or kind is not None and kind.post and not where[0].between:
        return "around"
    if where[0].per is not None:
        return "over"
    several = any(w.n.values != (1,) for w in where) or len(where) > 1
    return "over" if kind is not None and kind.bases == "apart" and several else "in"


def _same_places(one: tuple[Where, ...], other: tuple[Where, ...]) -> bool:
    return tuple(replace(w, span=other[0].span) for w in one) == other


_SAYERS: dict[type, Callable[[Phrases, Any], str]] = {
    Work: Phrases._work,
    Own: Phrases._own,
    Chain: Phrases._chain,
    Counting: Phrases._counting,
    Group: Phrases._group,
    Every: Phrases._every,
    Held: Phrases._held,
    Skip: Phrases._skip,
    Leave: Phrases._leave,
    Repeat: Phrases._repeat,
    Join: Phrases._join,
    Attach: Phrases._attach,
    Loops: Phrases._loops,
    Even: Phrases._even,
    LikeRow: Phrases._like,
    Colour: lambda say, item: say.say("colour", colour=item.key),
    Sign: Phrases._sign,
    Made: lambda say, item: say.note(item) or say.say("made", what=say.speaker.own(item.name)),
    Note: lambda say, item: say.note(item) or say.said_of(item),
}
