"""Stitches defined where they are first worked: "5 dc in next ch (shell made)", later "shell in next sc"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from chartgen.notation.cursor import Cursor
from chartgen.notation.names import Names, is_called, plain
from chartgen.notation.tree import ONE, Attach, Chain, Count, Counting, Group, Held, Item, Join, Made, Number, Own, Repeat, Sign, Target, Where, Work
from chartgen.notation.words import Token, vocabulary
from chartgen.stitches import StitchKind, registry

if TYPE_CHECKING:
    from chartgen.notation.parse import Body, RowReader

_LONGEST = 3
_HERE = (Where("same", Target("any")),)


def note(names: Names, name: str, before: Sequence[Item]) -> None:
    """Keep what the words before "(shell made)" have worked in one place, under that name; before
    "(picot made)" the chains and what closes them."""
    last = before[-1] if before else None
    if names.own.get(name) is not None:
        return
    if (first := _first_of_round(name, before[-2:])) is not None:
        names.made.setdefault(name, first)
    elif len(listed := _one_after_another(before)) > 1 and name != "increase":
        names.made.setdefault(name, Own(ONE, name, (Group(tuple(listed), _HERE, last.span),), (), last.span, None))
    elif isinstance(last, (Work, Group)) and _in_one_place(last):
        names.made.setdefault(name, _as_own(name, _begun_by_chain(last, before[:-1])))
    elif isinstance(last, Held) and _held_in_one_place(last):
        names.made.setdefault(name, Own(ONE, name, (_held_here(_leg_by_chain(last, before[:-1])),), (), last.span, None))
    elif isinstance(last, Work) and _closes_chain(before[-2:]):
        names.made.setdefault(name, Own(ONE, name, tuple(before[-2:]), (), last.span, None))


def named_too(items: Sequence[Item], ending: tuple[Item, ...]) -> tuple[Item, ...]:
    """ "*3 sc in next ch (point), …; rep from * across, ending 3 sc in next ch": the last is a point as well."""
    at = next((k for k, item in enumerate(items) if isinstance(item, Made)), 0)
    one = items[at - 1] if at else None
    if not isinstance(one, Work) or any(isinstance(item, Made) for item in ending):
        return ending
    alike = next((k for k, i in enumerate(ending) if isinstance(i, Work) and (i.stitch, i.count.values) == (one.stitch, one.count.values)), None)
    return ending if alike is None else (*ending[: alike + 1], items[at], *ending[alike + 1 :])


def named_throughout(items: Sequence[Item], counts: Sequence[Count]) -> list[Item]:
    """ "3 dc in next ch (point made), …, * skip 2 ch, …, 3 dc in next ch, …; rep from * across. (3 points)": where the row
    counts what is named once, every later one of its stitches is one as well."""
    at = next((k for k, item in enumerate(items) if isinstance(item, Made) and k and isinstance(items[k - 1], Work)), 0)
    named = items[at] if items else None
    if not at or not isinstance(named, Made) or sum(isinstance(i, Made) for i in items) > 1 or not any(named.name in (c.name, f"{c.name}s") for c in counts):
        return list(items)
    return [*items[: at + 1], *_named_each(items[at + 1 :], items[at - 1], replace(named, text=""))]


def _named_each(items: Sequence[Item], one: Item, named: Made) -> list[Item]:
    found: list[Item] = []
    for item in items:
        found.append(replace(item, items=tuple(_named_each(item.items, one, named))) if isinstance(item, Repeat) else item)
        alike = isinstance(item, Work) and isinstance(one, Work) and (item.stitch, item.count.values) == (one.stitch, one.count.values)
        found += [named] * (alike and len(item.where) == 1 and item.where[0].which == "next" and item.where[0].n == ONE)
    return found


def tells(reader: RowReader, cursor: Cursor, read: Body) -> bool:
    """What "shell of", "make a shell as follows:" tells, known by that name from here on: the next stitch, or all up to ";"."""
    name = made_of(reader.names, cursor)
    if not name:
        return False
    if (told := _up_to_semicolon(cursor)) is None:
        reader.one(cursor, read)
    else:
        content = reader.body(told)
        read.problems.extend(content.problems)
        read.items.extend(content.items)
    note(reader.names, name, read.items)
    read.items.append(Made(name))
    return True


def made_of(names: Names, cursor: Cursor) -> str:
    """ "shell" of "shell of 5 dc in next ch" and of "make a shell as follows: 5 dc in next ch", gone past up to its
    stitches; "" for other words, and for a name that is known already, of which the stitches are worked as they stand."""
    if name := _as_follows(cursor):
        return "" if names.at(name)[0] is not None else plain(" ".join(t.word or t.text for t in name.tokens))
    name = cursor.peek().word
    told = cursor.sees("of", ahead=1) and (cursor.peek(2).kind == "number" or cursor.peek(2).word in ("(", "["))
    if name not in vocabulary()["made_of"] or not told or name in names.own or isinstance(names.at(cursor)[0], StitchKind):
        return ""
    cursor.at += 2
    return name


def _up_to_semicolon(cursor: Cursor) -> Cursor | None:
    """The words told "as follows:", gone past, where a semicolon ends them before the sentence does."""
    if cursor.peek(-2).text != "follows":
        return None
    rest = cursor.tokens[cursor.at :]
    end = next((k for k, t in enumerate(rest) if t.text in (";", ".", "*")), len(rest))
    if end == len(rest) or rest[end].text != ";":
        return None
    cursor.at += end
    return Cursor(rest[:end], cursor.sizes)


def _as_follows(cursor: Cursor) -> Cursor | None:
    """The name of "make a popcorn as follows:" and of "make a popcorn in next dc as follows:", where the stitches told
    say their place again, gone past; None for other words."""
    start = cursor.at
    cursor.take("working")
    cursor.skip_filler()
    ahead = cursor.tokens[cursor.at : cursor.at + _LONGEST + _PLACE]
    past = next((k for k, t in enumerate(ahead[:-1]) if t.text == "as" and ahead[k + 1].text == "follows"), 0)
    end = next((k for k, t in enumerate(ahead[:past]) if t.word == "in"), past)
    if 0 < end <= _LONGEST and all(t.kind == "word" or t.text == "-" for t in ahead[:end]) and (end == past or _says_place(cursor, past)):
        cursor.at += past + 2
        cursor.take_any(":", ",", "-")
        return Cursor(list(ahead[:end]), cursor.sizes)
    cursor.at = start
    return None


_PLACE = 7                                                  # "in center st of next shell as"


def _says_place(cursor: Cursor, past: int) -> bool:
    """Do the stitches told after "as follows" say where they are worked?"""
    told = cursor.tokens[cursor.at + past + 2 :]
    end = next((k for k, t in enumerate(told) if t.word in (",", ";", ".") and k), len(told))
    return any(t.word == "in" for t in told[:end])


def _one_after_another(before: Sequence[Item]) -> list[Item]:
    """ "3 dc in next sp, ch 2, 3 dc in same sp (shell made)", "ch 3, dc in ring, ch 2, 2 dc in ring (shell made)": what
    stands in that place, a chain it begins with as the stitch it is as high as; none where the last is all of it."""
    run: list[Item] = []
    for item in reversed(before):
        where = item.where[0] if isinstance(item, Work) and len(item.where) == 1 else None
        if where is None and not isinstance(item, Chain) or isinstance(item, Work) and item.stitch.is_slip and run[:1] != []:
            break
        run.insert(0, item)
        if where is not None and where.which not in ("same", "ring"):
            break
    first = next((item for item in run if isinstance(item, Work)), None)
    if first is None or not run or not isinstance(run[-1], Work):
        return []
    lead, rest = run[: run.index(first)], run[run.index(first) :]
    head = _stands_for(lead[-1], first) if lead and first.where[0].which in ("same", "ring") else []
    if sum(isinstance(i, Work) for i in run) < 2 and len(head) < 2:
        return []
    return [*head, *(replace(i, where=()) if isinstance(i, Work) else i for i in rest)]


def _stands_for(lead: Chain, first: Work) -> list[Item]:
    """What a beginning chain is: the stitch it is as high as; of "ch 4, dc in same st (first V-st made)" that and ch 1."""
    further = lead.count.values[0] - first.stitch.turning_chain
    said = lead.said is None or lead.said.counts
    if not 0 <= further <= 3 or first.stitch.turning_chain < 2 or not said:
        return []
    across = [Chain(Number((further,)), lead.span)] if further else []
    return [replace(first, count=ONE, where=()), *across]


def named_inside(tokens: Sequence[Token]) -> tuple[int, str]:
    """ "(ch 3, sl st in 3rd ch from hook: picot made)": where the words of the name begin, and it; (0, "") for others."""
    at = next((i for i, t in enumerate(tokens) if t.word == ":"), 0)
    said = [t.text for t in tokens[at + 1 :]]
    return (at, plain(" ".join(said[:-1]))) if at and len(said) in (2, 3) and said[-1] == "made" else (0, "")


def made_said(tokens: Sequence[Token]) -> str:
    """ "picot" of "(first picot made)" and of "(picot)", as a pattern would call it later; "" for other words."""
    made = next((i for i, t in enumerate(tokens) if t.text in ("made", "formed")), 0)
    if not made and names_one(tokens):
        made = len(tokens)
    words = (t.word or t.text for t in tokens[:made] if t.kind == "word" and t.word not in ("first", "the", "a"))     # "1 shell" too
    return plain(" ".join(words)) if made <= 4 else ""


def names_one(tokens: Sequence[Token]) -> bool:
    """ "(shell)", "(1 shell)", "(V-st)": the name of a group, said where it is first worked."""
    named = tokens[1:] if tokens and tokens[0].text in ("1", "one") else tokens
    groups = [name.replace("-", " ") for name in vocabulary()["made_here"]]
    said = " ".join(t.word for t in named if t.text != "-")
    return all(t.kind == "word" or t.text == "-" for t in named) and any(said == name or said.endswith(f" {name}") for name in groups)


def picot_said(names: Names, cursor: Cursor, items: Sequence[Item]) -> Made | None:
    """ "(picot made)", "(picot)" amid a list, right behind the stitch that closes it; None for other words."""
    start, end = cursor.at, cursor.matching() if cursor.sees("(") else None
    inside = cursor.tokens[start + 1 : end]
    bare = inside[-1].word if len(inside) == 1 and inside[0].word == "picot" else ""
    name = made_said(inside) or bare if end is not None and _closes_chain(items[-2:]) else ""
    if end is None or not name:
        return None
    cursor.at = end + 1
    note(names, name, items)
    return Made(name, cursor.span_from(start), " ".join(t.text for t in cursor.tokens[start + 1 : end]))


def for_picot(names: Names, cursor: Cursor, items: Sequence[Item]) -> Made | None:
    """ "Ch 4, sl st in 4th ch from hook for picot", right behind what closes it; None for other words."""
    start = cursor.at
    cursor.take("for")
    cursor.skip_filler()
    if not _closes_chain(items[-2:]) or not cursor.take("picot"):
        cursor.at = start
        return None
    note(names, "picot", items)
    return Made("picot", cursor.span_from(start), "picot made")


def _closes_chain(items: Sequence[Item]) -> bool:
    """Chains, and one stitch in one of them, counted from the hook, or a slip stitch back into the stitch below: a picot."""
    if len(items) != 2 or not isinstance(items[0], Chain) or not isinstance(items[1], Work):
        return False
    where = items[1].where[0] if len(items[1].where) == 1 else None
    back = where is not None and items[1].stitch.is_slip and (where.which == "made" or where.of is not None and where.of.which in ("made", "last"))
    return where is not None and (where.which == "hook" or back)


def take(names: Names, cursor: Cursor) -> Own | None:
    """The stitch of that name, from here on one of the pattern's own; None for other words."""
    for length in range(_LONGEST + 1, 0, -1):               # "beg V-st"
        words = [cursor.peek(k) for k in range(length)]
        name = plain(" ".join(word.word for word in words if word.text != "-"))
        if name in names.made and words[-1].kind == "word":
            cursor.at += length
            return names.own.setdefault(name, names.made[name])
    return None


def cluster_over(names: Names, held: StitchKind | None, cursor: Cursor) -> StitchKind | None:
    """ "Cluster over next 4 tr", "tr cluster over next 6 tr" that no words define: so many of that stitch, or of the one
    held back before, closed to one."""
    named, length = names.at(cursor)
    words = [cursor.peek(length + k) for k in range(4)]
    said = [t.word for t in words[:3]] in (["cluster", "over", "next"], ["cl", "over", "next"]) and words[3].kind == "number"
    legs = named if length else held
    if not length and words[0].word in names.made or not isinstance(legs, StitchKind) or legs.is_chain or legs.legs > 1 or not said or not 2 <= words[3].value <= 12:
        return None
    cursor.at += length + 1
    return registry().made("together", legs.base, words[3].value)


def increase(names: Names) -> Work | None:
    """What "inc" is after "3 sc in next ch (inc made)", where it is not two in one."""
    made = names.made.get("increase")
    item = made.items[0] if made is not None else None
    return item if isinstance(item, Work) and max(item.count.values) > 2 else None


def _in_one_place(item: Work | Group) -> bool:
    where = item.where[0] if len(item.where) == 1 else None
    one = where is not None and where.which not in ("each", "ends", "remaining") and set(where.n.values) == {1}
    return one and (isinstance(item, Group) or max(item.count.values) > 1 or item.stitch.legs > 1)


def _first_of_round(name: str, items: Sequence[Item]) -> Own | None:
    """ "Ch 3, (dc, ch 2, 2 dc) in same sp (starting shell made)": the chain is part of it; None for other words."""
    if not is_called(name, name.partition(" ")[2]) or len(items) != 2 or not isinstance(items[0], Chain):
        return None
    last = items[1]
    if not isinstance(last, (Work, Group, Held)) or not isinstance(last, Held) and not _in_one_place(last):
        return None
    rest = last.items if isinstance(last, Group) else (replace(last, where=()),) if isinstance(last, Work) else (_held_here(last),)
    return Own(ONE, name, (items[0], *rest), (), last.span, None)


def _begun_by_chain(item: Work | Group, before: Sequence[Item]) -> Work | Group:
    """ "Ch 3, in same sp make dc, ch 2 and 2 dc (shell made)", where a row begins: with the stitch that the chain stands for."""
    led = [i for i in before if not (isinstance(i, Work) and i.stitch.is_slip or isinstance(i, (Sign, Attach, Join, Counting)))]
    first = item.items[0] if isinstance(item, Group) else item
    if len(led) != 1 or not isinstance(led[0], Chain) or not isinstance(first, Work) or first.stitch.legs > 1:
        return item
    said = led[0].said is None or led[0].said.counts
    stands = said and set(led[0].count.values) == {first.stitch.turning_chain}
    if not stands or isinstance(item, Group) and not _lacks_one(item.items):
        return item
    one_more = replace(first, count=replace(first.count, values=tuple(n + 1 for n in first.count.values), name=""))
    return replace(item, items=(one_more, *item.items[1:])) if isinstance(item, Group) else one_more


def _held_in_one_place(item: Held) -> bool:
    """ "3 dc in next sp keeping last loop of each on hook, …": all its legs stand there."""
    legs = [i for i in item.items if isinstance(i, Work)]
    return len(legs) == len(item.items) == 1 and len(legs[0].where) == 1 and _in_one_place(legs[0])


def _leg_by_chain(item: Held, before: Sequence[Item]) -> Held:
    """ "Ch 4, 2 tr in same sp keeping last loop of each on hook, … (first cluster made)": every later one has 3 legs."""
    legs = item.items[0]
    whole = _begun_by_chain(legs, before) if isinstance(legs, Work) else legs
    return replace(item, items=(whole,))


def _lacks_one(items: Sequence[Item]) -> bool:
    """One stitch fewer before its first chain than after its last: "dc, ch 2 and 2 dc"."""
    first, last = items[0], items[-1]
    alike = len(items) > 2 and isinstance(first, Work) and isinstance(last, Work) and first.stitch == last.stitch
    return alike and last.count.values[0] == first.count.values[0] + 1


def completed(item: Item) -> Item:
    """ "Ch 3 and complete a shell in same sp": the chain is its first stitch, the others follow."""
    inside = item.items if isinstance(item, Own) and item.closed is None else ()
    inside = inside[0].items if len(inside) == 1 and isinstance(inside[0], Group) else inside
    first = inside[0] if inside else None
    if not isinstance(first, Work) or first.stitch.turning_chain < 2 or set(item.count.values) != {1}:
        return item
    fewer = replace(first, count=replace(first.count, values=tuple(n - 1 for n in first.count.values), name=""))
    kept = (fewer,) if min(fewer.count.values) else ()
    return Group(tuple(replace(i, where=()) if isinstance(i, Work) else i for i in (*kept, *inside[1:])), item.where or _HERE, item.span, item.name)


def begun_already(item: Item, before: Sequence[Item]) -> bool:
    """ "Ch 3 and make a beginning cluster", where the cluster was told with its chain: it is worked once."""
    first = item.items[0] if isinstance(item, Own) and item.items else None
    chain = before[-1] if before else None
    same = isinstance(first, Chain) and isinstance(chain, Chain) and chain.count.values == first.count.values and chain.said is None
    return same and is_called(item.name, item.name.partition(" ")[2])


def _held_here(item: Held) -> Held:
    return replace(item, items=tuple(replace(i, where=()) if isinstance(i, Work) else i for i in item.items))


def _as_own(name: str, item: Work | Group) -> Own:
    closed = registry().own(item.stitch, name) if isinstance(item, Work) and item.stitch.legs > 1 else None
    return Own(ONE, name, (replace(item, where=_HERE),), (), item.span, closed)


__all__ = ["begun_already", "cluster_over", "completed", "for_picot", "increase", "made_of", "made_said", "named_inside", "note", "picot_said", "take", "tells"]
