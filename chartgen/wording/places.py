"""Places in words: a `Where` of the tree as "each of next 3 sts", "top of ch-3"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from chartgen.fabric.loop_groups import LOOP_GROUP
from chartgen.notation.tree import ONE, Number, Target, Where
from chartgen.wording.speaker import Noun, Speaker

# How each place is counted when there are several: one by one, or together ("over next 2 sts").
_COUNTED = ("next", "first", "last", "skipped")
_JOINED_BARE = ("next", "last", "same", "each", "first", "nth", "hook")


@dataclass(frozen=True, slots=True)
class Places:
    """Says places.

    Attributes:
        worked: "rounds" or "rows", for "around" and "across".
    """

    speaker: Speaker
    worked: str

    # ---- several places together

    def all(self, wheres: tuple[Where, ...], by: str = "in", together: bool = False) -> str:
        """Every place of a tuple, joined by "and"; an ending that all share is said once."""
        shared = len(wheres) > 1 and all(w.which == "each" and w.until == wheres[0].until for w in wheres)
        said = ""
        for i, where in enumerate(wheres):
            bare = shared and i < len(wheres) - 1
            one = self.where(where, together, until=not bare)
            said = self._joined(said, one, where, by) if said else one
        return said

    def _joined(self, said: str, one: str, where: Where, by: str) -> str:
        marked = where.loop or where.post or where.between or where.which not in _JOINED_BARE
        frame = f"place.and.{by}" if marked or by == "in" else "place.and"
        return self.speaker.say(frame if by else "place.and", one=said, other=one)

    # ---- one place

    def where(self, where: Where, together: bool = False, until: bool = True) -> str:
        """One place; `together` for several taken as one ("next 2 sts")."""
        said = self._chosen(where, together)
        if where.of is not None and where.which not in ("same", "top", "base"):
            said = self._of(where, said)
        if where.which == "each" and until:
            said = self._until(where, said)
        return self._marked(where, said)

    def _chosen(self, where: Where, together: bool) -> str:
        sayer = _SAYERS.get(where.which) if not _in_a_gap(where) else _between_two
        if sayer:
            return sayer(self, where)
        if where.which in _COUNTED and not self.speaker.is_one(where.n):
            way = "several" if together or self._one_by_one_is_odd(where) or where.which == "next" and not where.each else "each"
            return self.say(f"place.{where.which}.{way}", where, where.n)
        return self.say(f"place.{where.which}", where)

    @staticmethod
    def _one_by_one_is_odd(where: Where) -> bool:
        return where.of is not None or where.between

    def say(self, frame: str, where: Where, n: Number = ONE, **fields: object) -> str:
        what = self.target(where.target, plural=not self.speaker.is_one(n))
        if where.unworked:
            what = Noun(self.speaker.say("target.unworked", n, what=what), what.gender)
        return self.speaker.say(frame, n, what=what, ordinal=self.speaker.ordinal(where.ordinal, what.gender), **fields)

    def _of(self, where: Where, said: str) -> str:
        assert where.of is not None
        frame = {1: "place.after", -1: "place.before"}.get(where.beyond, "place.of")
        return self.speaker.say(frame, place=said, of=self.within(where.of))

    def within(self, where: Where) -> str:
        """A place that another lies in, is after or goes up to."""
        with self.speaker.cased("of"):
            return self.where(where, together=True)

    def _until(self, where: Where, said: str) -> str:
        endings: dict[str, Callable[[], str]] = {
            "end": lambda: self.speaker.say("place.end", form=self.worked, place=said),
            "last": lambda: self._to(said, Where("last", where.left or Target("any"), n=where.n_left or ONE)),
            "target": lambda: self._to(said, where.stop),
        }
        return endings[where.until]() if where.until in endings else said

    def _to(self, said: str, stop: Where | None) -> str:
        assert stop is not None
        return self.speaker.say("place.until", form=self.worked, place=said, stop=self.within(stop))

    def _marked(self, where: Where, said: str) -> str:
        speaker = self.speaker
        if where.between and not _in_a_gap(where):
            said = speaker.say("place.between", place=said)
        if where.down:
            said = speaker.say("place.down", where.down, place=said)
        if where.alone:
            said = speaker.say("place.alone", place=said)
        if where.row is not None and where.target.kind != "end":
            form = speaker.forms.get(where.part, self.worked) if where.part else self.worked
            said = speaker.say("place.row", where.row, form=form, place=said)
        if where.part:
            said = speaker.say("place.of", place=said, of=speaker.part(where.part))
        if where.post:
            said = speaker.say("place.post", place=said)
        if where.loop:
            said = speaker.say("place.loop", loop=speaker.word("terms_used", where.loop), place=said)
        return said

    def anywhere(self, where: Where) -> str:
        """A place that is not chosen: "any ch-2 sp"."""
        free = where.which == "this" and where.target.kind in ("any", "stitch", "chain", "space", "group")
        return self.say("place.any", where) if free and where.of is None else self.where(where)

    # ---- what is worked into

    def target(self, target: Target, plural: bool = False) -> Noun:
        return _TARGETS[target.kind](self, target, plural)

    def _stitch(self, target: Target, plural: bool) -> Noun:
        if target.stitch is None:
            return self.speaker.word("nouns", "stitch", plural)
        return self.speaker.stitch(target.stitch, plural)

    def _space(self, target: Target, plural: bool) -> Noun:
        what = self.speaker.word("nouns", "corner_space" if target.name == "corner" else "space", plural)
        if target.size is None:
            return what
        return Noun(self.speaker.say("target.space", target.size, what=what), what.gender)

    def _group(self, target: Target, plural: bool) -> Noun:
        if target.name == LOOP_GROUP:
            what, space = self.speaker.word("nouns", "group", plural), self.speaker.word("nouns", "space")
            return Noun(self.speaker.say("target.group.sized", target.size or 2, what=what, stitch=space), what.gender)
        what = self.speaker.own(target.name, plural) if target.name else self.speaker.word("nouns", "group", plural)
        if target.stitch is None:
            return what
        frame = "target.group.sized" if target.size is not None else "target.group"
        stitch = self.speaker.stitch(target.stitch)
        return Noun(self.speaker.say(frame, target.size or 1, what=what, stitch=stitch), what.gender)

    def _by_marker(self, target: Target, plural: bool) -> Noun:
        return self.speaker.word("nouns", {"st": "marked_stitch", "sp": "marked_space"}.get(target.name, "marker"), plural)

    def _turning(self, target: Target, plural: bool) -> Noun:
        if target.name == "sp":
            return self.speaker.word("nouns", "turning_space")
        if target.size is None:
            return self.speaker.word("nouns", "turning_chain")
        gender = self.speaker.language.tables["nouns"]["turning_chain"].gender
        return Noun(self.speaker.say("target.turning", target.size), gender)


def _named(table: str, key: str) -> Callable[[Places, Target, bool], Noun]:
    return lambda places, target, plural: places.speaker.word(table, key, plural)


_TARGETS: dict[str, Callable[[Places, Target, bool], Noun]] = {
    "any": _named("nouns", "stitch"),
    "chain": _named("stitches", "chain"),
    "place": _named("nouns", "place"),
    "end": _named("nouns", "row_end"),
    "join": _named("nouns", "join"),
    "corner": _named("nouns", "corner"),
    "marked": Places._by_marker,
    "stitch": Places._stitch,
    "space": Places._space,
    "group": Places._group,
    "turning": Places._turning,
}


def _same(places: Places, where: Where) -> str:
    if where.of is None:
        return places.say("place.same", where)
    return places.say("place.same.as", where, of=places.where(where.of, together=True))


def _of_something(places: Places, where: Where) -> str:
    of = places.within(where.of) if where.of else ""
    return places.speaker.say(f"place.{where.which}", of=of)


def _these(places: Places, where: Where) -> str:
    one = places.speaker.is_one(where.n)
    what = places.target(where.target, plural=True)
    ordinal = places.speaker.ordinal(where.ordinal, what.gender)
    return places.speaker.say("place.these" if one else "place.these.several", where.n, what=what, ordinal=ordinal)


def _ends(places: Places, where: Where) -> str:
    """The ends of all rows along a side, the next few of them, or that of one row."""
    if where.row is not None or where.target.name:
        return places.speaker.say(f"place.{where.target.name or 'end'} of row", where.row or ONE)
    if where.per is not None and where.until and not places.speaker.is_one(where.per):
        return places.say("place.per", where, where.per)
    if where.target.stitch is not None and where.until == "end":
        return places.speaker.say("place.ends.stitch", what=places.speaker.stitch(where.target.stitch))
    return _plain(places, where) if where.until == "end" else places._chosen(replace(where, which="next"), together=False)


def _in_a_gap(where: Where) -> bool:
    """ "Between 2nd and 3rd dc", "between center 2 dc"."""
    return where.between and where.which in ("nth", "centre")


def _between_two(places: Places, where: Where) -> str:
    if where.which == "centre":
        return places.say("place.between.centre", where, where.n)
    what = places.target(where.target)
    one, other = (places.speaker.ordinal(n, what.gender) for n in (where.ordinal, where.ordinal + 1))
    return places.speaker.say("place.between.nth", what=what, ordinal=one, other=other)


def _plain(places: Places, where: Where) -> str:
    return places.speaker.say(f"place.{where.which}")


_SAYERS: dict[str, Callable[[Places, Where], str]] = {
    "same": _same, "top": _of_something, "base": _of_something, "these": _these,
    "ring": _plain, "ends": _ends,
}
