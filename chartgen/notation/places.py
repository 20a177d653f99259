"""Places in words: "each of next 3 sts", "2nd ch of next ch-2 sp", "top of ch-3"."""

from __future__ import annotations

from dataclasses import replace

from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.further import but_so_many, not_shared, under_chain
from chartgen.notation.named_end import end_of_a_row
from chartgen.notation.gaps_told import gap_told
from chartgen.notation.names import Names, take_loop
from chartgen.notation.reach import clause_ends, reach, reaches
from chartgen.notation.tails import with_tails
from chartgen.notation.targets import (
    chain_named,
    group_apart,
    hyphened,
    ring_named,
    row_ends,
    row_itself,
    target,
    target_ahead,
)
from chartgen.notation.tree import ONE, Number, Target, Where
from chartgen.stitches.registry import said_in

PREPOSITIONS = ("in", "over", "around", "between", "under", "to", "from", "behind", "across", "of")
SIDES_OF_POST = ("front", "back")
_PLACE_WORDS = ("next", "each", "same", "first", "last", "remaining", "centre", "top", "in", "over")


def wheres(cursor: Cursor, names: Names, around: bool = False) -> tuple[Where, ...]:
    """One or more places joined by "and" ("in 2nd ch from hook and in each of next 8 ch").

    `around` said before a stitch means its post: "sc around next dc".
    """
    found = [where(cursor, names, around)]
    while cursor.sees("and") and (_goes_on(cursor) or found[-1].which == "each" and _chain_alone(cursor)) or _more_free(cursor):
        cursor.take_any(", and", ",", "and")
        cursor.take_any("in", "over", "around")
        if reaches(cursor):                              # "in 2nd ch from hook and across"
            found.append(reach(cursor, names, Where("each", Target("any"))))
            break
        bare = cursor.sees("sp") or cursor.sees("ch")
        found.append(where(cursor, names, around))
        if bare and found[-2].which == "each" and found[-1].which == "this":
            found[-1] = _also_each(cursor, names, found[-1])
    found = _and_the_chains_among(cursor, found)
    return _share_until([_round_its_post(place) for place in found] if around else found)


def _round_its_post(place: Where) -> Where:
    """Round the post of a stitch; "sc around next ch-3" is worked over the chain."""
    kind = place.target.stitch
    stands = place.target.kind == "stitch" and kind is not None and not (kind.is_chain or kind.is_slip)
    return replace(place, post=place.post or "post") if stands and not place.between else _without_side(place)


def _without_side(place: Where) -> Where:
    return replace(place, post="") if place.post in SIDES_OF_POST else place


def _also_each(cursor: Cursor, names: Names, place: Where) -> Where:
    """ "each st and sp around": each of both."""
    place = replace(place, which="each", until="open")
    return reach(cursor, names, place) if reaches(cursor) else place


def _goes_on(cursor: Cursor) -> bool:
    """Does "and" lead on to another place rather than to another stitch?"""
    ahead = cursor.peek(1)
    if ahead.word in ("across", "around") and clause_ends(cursor, 2):
        return True
    if ahead.word in ("in", "over", "each", "top", "sp"):
        return True
    if ahead.word == "around" and cursor.peek(2).word in ("next", "each", "same", "first", "last"):
        return True
    if ahead.word == "ch" and cursor.peek(2).text == "-":
        return True
    return ahead.word in ("next", "last", "same") or ahead.kind == "ordinal"


def _more_free(cursor: Cursor) -> bool:
    """ "in each of 4 free sc of Row 5, 4 free sc of Row 3 and 4 free sc of Row 1": a list of what was left."""
    ahead = 1 + cursor.sees(",", "and")
    return cursor.sees(",") + cursor.sees("and") > 0 and cursor.peek(ahead).kind == "number" and cursor.peek(ahead + 1).text in _FREE


_FREE = ("unworked", "free", "unused")


def _chain_alone(cursor: Cursor) -> bool:
    """ "each st and ch around": the chains are places too; "and ch 1" makes one."""
    return cursor.peek(1).word == "ch" and (cursor.peek(2).word in ("around", "across", "to") or clause_ends(cursor, 2))


def _and_the_chains_among(cursor: Cursor, found: list[Where]) -> list[Where]:
    """ "Dc in each dc and in each of the 6 ch", which lie among them: each of both, to the row's end."""
    first, last = (found[0], found[-1]) if len(found) == 2 else (None, None)
    if first is None or last is None or first.which != "each" or first.until not in ("open", "end") or first.target.kind != "stitch":
        return found
    chains = last.which == "next" and last.target.kind == "chain" and last.each and last.of is None
    ends = cursor.peek().word in (".", "(", "[", "turn") or cursor.done or cursor.sees(",", "turn") or cursor.sees(",", "ch")
    return [replace(first, until="end"), replace(last, which="each", n=ONE, each=False, until="end")] if chains and ends else found


def _share_until(found: list[Where]) -> tuple[Where, ...]:
    """ "each sc and each ch around": the ending belongs to all that are joined."""
    if len(found) > 1 and found[-1].until and all(w.which == "each" for w in found):
        last = found[-1]
        found = [replace(w, until=last.until, n_left=last.n_left, stop=last.stop) for w in found]
    return tuple(found)


def where(cursor: Cursor, names: Names, around: bool = False) -> Where:
    """The place that comes next, its preposition already taken, `around` if that was the preposition. Raises Unreadable."""
    start = cursor.at
    loop = _loop_before(cursor)
    between = bool(cursor.take_any("between", "sp between"))
    if between and cursor.take("each"):
        cursor.number()
        return replace(_between_each(cursor, names), loop=loop, span=cursor.span_from(start))
    if between and (told := gap_told(cursor, names)) is not None:
        return replace(with_tails(cursor, names, told), between=True, loop=loop, span=cursor.span_from(start))
    post = _post_before(cursor)
    free = _said_free(cursor)
    alone = _said_alone(cursor)
    if loop and reaches(cursor):                             # "sc in BLO around"
        return replace(reach(cursor, names, Where("each", Target("any"))), loop=loop, span=cursor.span_from(start))
    place = _chosen(cursor, names)
    if place.target.kind == "end" and place.which in ("next", "first", "each"):
        place = replace(place, which="ends", until="end" if place.which == "each" else "")
    place = replace(place, unworked=free or place.unworked, alone=alone and place.target.kind == "stitch")
    place = with_tails(cursor, names, place)
    post = place.post if post and place.post else post
    place = place if around else _without_side(place)
    if between and place.of is None and place.target.name == "picot" and cursor.take("in"):
        place = replace(place, of=where(cursor, names))      # "between picots in next loop"
    return replace(
        place,
        loop=loop or place.loop,
        between=between or place.between,
        post=(post or place.post) if place.target.kind != "end" else "",
        span=cursor.span_from(start),
    )


def _between_each(cursor: Cursor, names: Names) -> Where:
    """ "sp between each 2 dc around": every gap of the edge."""
    what = target(cursor, names)
    place = Where("each", what, until="open", between=True)
    return reach(cursor, names, place) if reaches(cursor) else replace(place, until="end")


def _said_alone(cursor: Cursor) -> bool:
    """ "the single tr" stands by itself; "next single crochet" is any of them."""
    near = range(max(cursor.at - 1, 0), min(cursor.at + 2, len(cursor.tokens)))
    return any(cursor.tokens[i].text == "single" and cursor.peek(i + 1 - cursor.at).text != "crochet" for i in near)


def _said_free(cursor: Cursor) -> bool:
    """Does the clause speak of unworked stitches? A list of sizes in brackets is gone past."""
    depth = 0
    for token in cursor.tokens[cursor.at : cursor.at + 4 + 3 * cursor.sizes]:
        depth += (token.word in ("(", "[")) - (token.word in (")", "]"))
        if token.text in _FREE:
            return True
        if depth < 0 or token.word in (";", ".") or token.word == "," and not depth:
            return False
    return False


def _loop_before(cursor: Cursor) -> str:
    cursor.skip_filler()
    cursor.take_any(*_FREE)
    cursor.take_any("both loop of", "both loop")
    loop = take_loop(cursor)
    if loop:
        cursor.take_any("of", "in")
    cursor.skip_filler()
    return loop


def _post_before(cursor: Cursor) -> str:
    cursor.skip_filler()
    side = cursor.peek().text if cursor.peek(1).text in ("post", "posts") and cursor.peek().text in SIDES_OF_POST else ""
    if side and cursor.peek(2).word == "of":                # "dc around front post of next dc"
        cursor.at += 3
        return side
    if cursor.take_any("post of", "posts of", "stem of", "bar of", "back of"):
        return "post"
    return ""


def _chosen(cursor: Cursor, names: Names) -> Where:
    cursor.skip_filler()
    token = cursor.peek()
    if (told := under_chain(cursor) or end_of_a_row(cursor)) is not None:
        return told
    if token.word == "end" and cursor.peek(1).text in _LOOPS:
        cursor.at += 2                                      # "7 dc in end loop"
        return Where("this", Target("turning", name="sp"))
    chooser = _CHOOSERS.get(token.word)
    if chooser:
        return chooser(cursor, names)
    if token.kind == "ordinal":
        return _ordinal(cursor, names)
    if token.text == "one" and (side := _one_side(cursor, names)) is not None:
        return side
    if token.kind == "number" and not hyphened(cursor) and not group_apart(cursor, names):
        return _counted(cursor, names)
    if ring_named(cursor):
        return Where("ring", Target("place"))
    if cursor.take_any("bar just made", "bar made", "stem just made"):
        return Where("made", Target("any"), post="post")
    if cursor.take("skipped"):
        kind = target(cursor, names) if target_ahead(cursor, names) else Target("any")
        return Where("skipped", kind)
    if cursor.sees("unworked"):
        return replace(Where("next", target(cursor, names)), unworked=True)
    if (ends := row_ends(cursor, names)) is not None:
        return ends
    if row_itself(cursor):
        cursor.next()
        return Where("each", Target("any"), until="end", row=cursor.number())
    return Where("this", target(cursor, names))


def _one_side(cursor: Cursor, names: Names) -> Where | None:
    """ "28 sc evenly around one edge of cuff", "along one long side": the row ends of one of its sides."""
    start = cursor.at
    cursor.next()
    named = any(cursor.peek(k).text in ("edge", "side") for k in range(3))
    if named and (ends := row_ends(cursor, names)) is not None:
        return ends
    cursor.at = start
    return None


_LOOPS = ("loop", "lp", "sp", "space")


def _counted(cursor: Cursor, names: Names) -> Where:
    number = cursor.number() or ONE
    if cursor.take("skipped"):
        return Where("skipped", target(cursor, names), n=number)
    if cursor.take("centre"):                               # "sp between the 2 center sc"
        return Where("centre", target(cursor, names), n=number)
    cursor.take("remaining")                                # "in each of 2 remaining ch"
    return Where("next", target(cursor, names), n=number)


def _uk_space(cursor: Cursor) -> bool:
    """ "next 2 ch sp": one space of 2 chains."""
    return (
        cursor.peek().kind == "number"
        and cursor.sees("ch", ahead=1)
        and cursor.peek(2).text in _LOOPS
    )


def _next(cursor: Cursor, names: Names) -> Where:
    cursor.take("next")
    cursor.skip_filler()
    if cursor.sees("between"):
        return Where("next", Target("space"))
    number = ONE if hyphened(cursor) or _uk_space(cursor) or group_apart(cursor, names) else cursor.number() or ONE
    if cursor.peek().kind == "ordinal":
        return _ordinal(cursor, names)
    if cursor.take_any("skipped", "free", "unused"):
        return replace(Where("next", target(cursor, names), n=number), unworked=True)
    kind = Target("any") if clause_ends(cursor) else target(cursor, names)
    return but_so_many(cursor, Where("next", kind, n=number))


def _each(cursor: Cursor, names: Names) -> Where:
    cursor.take("each")
    if clause_ends(cursor):                                 # "sc in each"
        return Where("each", Target("any"), until="end")
    if cursor.peek().kind == "number" and cursor.peek(1).text in ("ch", "chain") and cursor.peek(2).word not in ("sp", "loop", "-"):
        size = cursor.next().value
        cursor.next()
        return Where("each", Target("space", size=size), until="open")           # "1 double in every 1 chain"
    cursor.skip_filler()
    if cursor.take("other"):
        raise Unreadable(
            cursor.peek(-1),
            '"every other" does not say which is skipped',
            said_in(names.terms, 'write "*skip next st, … in next st; rep from *"'),
        )
    if cursor.sees("next"):
        return replace(_next(cursor, names), each=True)
    if cursor.peek().kind == "ordinal" and cursor.peek().value == 1:
        cursor.next()
        return Where("first", *_number_and_target(cursor, names))
    if cursor.take("last"):
        return Where("last", *_number_and_target(cursor, names))
    if cursor.take("remaining"):
        number = cursor.number()
        place = target(cursor, names)
        return Where("next", place, n=number) if number else Where("each", place, until="end")
    if cursor.peek().kind == "number" and not hyphened(cursor) and not group_apart(cursor, names):
        return not_shared(cursor, names, replace(_counted(cursor, names), each=True))
    if (ends := row_ends(cursor, names)) is not None:
        cursor.take("st") or names.take(cursor)             # "each row-end dc"
        return ends
    place = target(cursor, names)
    if place.kind == "turning" and place.size is not None and not place.name:
        place = Target("space", size=place.size)            # "4 sc in each ch-3"
    if cursor.take("in", "ring"):
        return Where("each", place, until="end")
    return Where("each", place, until="open")


def _number_and_target(cursor: Cursor, names: Names) -> tuple[Target, Number]:
    cursor.skip_filler()
    number = ONE if hyphened(cursor) or _uk_space(cursor) or group_apart(cursor, names) else cursor.number() or ONE
    return target(cursor, names), number


def _same(cursor: Cursor, names: Names) -> Where:
    cursor.take("same")
    cursor.skip_filler()
    kind = target(cursor, names) if target_ahead(cursor, names) else Target("place")
    if kind.kind == "place":
        cursor.take("tip")
    place = Where("same", kind)
    if cursor.take_any("as", "with"):                       # "in same ch with first 2 sc"
        cursor.skip_filler()
        cursor.take_any("in")
        begun = cursor.sees("begin") and clause_ends(cursor, 1) and cursor.next()      # "same sp as beginning"
        return replace(place, of=Where("this", Target("join")) if begun else _chosen(cursor, names))
    return place


def _this_one(cursor: Cursor, names: Names) -> Where:
    """ "This group", "this loop": the one being worked."""
    cursor.next()
    return Where("ring", Target("place")) if ring_named(cursor) else Where("same", target(cursor, names))


def _first(cursor: Cursor, names: Names) -> Where:
    cursor.next()
    one_of = cursor.sees("of") and cursor.peek(1).kind == "number"
    cursor.skip_filler()
    number = ONE if hyphened(cursor) else cursor.number() or ONE
    if one_of:
        return Where("next", target(cursor, names))          # "sc in first of 8 dc": one of them
    if cursor.take("these"):
        return _of_these(cursor, names, 1)
    free = bool(cursor.take("skipped"))
    return replace(Where("first", target(cursor, names), n=number), unworked=free)


def _last(cursor: Cursor, names: Names) -> Where:
    cursor.take("last")
    return Where("last", *_number_and_target(cursor, names))


def _remaining(cursor: Cursor, names: Names) -> Where:
    cursor.take("remaining")
    number = cursor.number()
    place = target(cursor, names)
    one = cursor.peek(-1).text in _ONE_PLACE                # "sc in remaining loop", of which one is left
    return Where("next", place, n=number or ONE) if number or one else Where("each", place, until="end")


_ONE_PLACE = ("loop", "lp", "sp", "space", "arch")


def _centre(cursor: Cursor, names: Names) -> Where:
    cursor.take("centre")
    if cursor.take("of"):
        return Where("centre", Target("any"), of=where(cursor, names))
    cursor.skip_filler()
    kind = target(cursor, names) if target_ahead(cursor, names) else Target("any")
    return Where("centre", kind)


def _top(cursor: Cursor, names: Names) -> Where:
    which = "base" if cursor.peek().word == "base" else "top"
    cursor.next()
    cursor.take("st")
    if not cursor.take("of"):
        raise Unreadable(cursor.peek(), f'"{cursor.peek(-1).text}" wants "of" and a stitch after it')
    of = chain_named(cursor) or _chosen(cursor, names)
    if cursor.take_any("just made", "made"):
        of = replace(of, which="made")
    cursor.take_any("first made")
    return Where(which, Target("place"), of=of)


def _ordinal(cursor: Cursor, names: Names) -> Where:
    value = cursor.next().value
    if cursor.sees("of") and not cursor.sees("of", "these"):
        return Where("nth", Target("chain"), ordinal=value)
    cursor.skip_filler()
    if cursor.take("these"):
        return _of_these(cursor, names, value)
    if value == 1 and cursor.peek().kind == "number":
        return Where("first", *_number_and_target(cursor, names))       # "1st 2 sc"
    place = target(cursor, names) if target_ahead(cursor, names) else Target("any")
    if cursor.take_any("from hook", "from the hook", "from your hook"):
        return Where("hook", place, ordinal=value)
    if value == 1 and place.kind in ("any", "stitch", "space", "group") and not cursor.sees("of"):
        return Where("first", place)                        # "1st sc", "1st ch-2 sp"
    return Where("nth", place, ordinal=value)


def _of_these(cursor: Cursor, names: Names, value: int) -> Where:
    number = cursor.number() or ONE
    kind = target(cursor, names) if target_ahead(cursor, names) else Target("any")
    return Where("these", kind, n=number, ordinal=value)


def _beginning(cursor: Cursor, names: Names) -> Where:
    """ "beg sc" is the first sc; "beg ch-3" the beginning chain."""
    start = cursor.at
    cursor.take("begin")
    if not cursor.sees("ch") and names.at(cursor)[0] is not None:
        return Where("first", target(cursor, names))
    cursor.at = start
    return Where("this", target(cursor, names))


_CHOOSERS = {
    "begin": _beginning,
    "next": _next,
    "each": _each,
    "same": _same,
    "this": _this_one,
    "first": _first,
    "last": _last,
    "remaining": _remaining,
    "centre": _centre,
    "top": _top,
    "base": _top,
    "tip": _top,
    "eye": _top,
}


def unsaid(cursor: Cursor, names: Names) -> Where | None:
    """ "sc around", "sc across to last 2 sts", "sc to end": each stitch, though none is named."""
    if not reaches(cursor):
        return None
    start = cursor.at
    place = reach(cursor, names, Where("each", Target("any")))
    return replace(place, span=cursor.span_from(start))
