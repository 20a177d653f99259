"""What is worked into: "st", "ch-2 sp", "dc", "turning ch", "5-sc group", "row ends"."""

from __future__ import annotations

from dataclasses import replace

from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names, plain
from chartgen.notation.words import vocabulary
from chartgen.notation.tree import ONE, Own, Target, Where
from chartgen.problems import near
from chartgen.stitches import StitchKind

GROUP_WORDS = (
    "group",
    "shell",
    "cluster",
    "fan",
    "v",
    "scallop",
    "petal",
    "picot",
    "leaf",
    "corner",
    "mesh",
    "point",
    "cl",
    "pair",
    "loop",
    "bl",
    "pineapple",
)


def _dash_apart(cursor: Cursor, ahead: int = 0) -> bool:
    """ "in last ch - 14 sc": a dash with space on both sides parts what it stands between."""
    return cursor.peek(ahead).text == "-" and not (cursor.peek(ahead).tight or cursor.peek(ahead + 1).tight)


def hyphened(cursor: Cursor) -> bool:
    return cursor.peek(1).text == "-" and cursor.peek(1).tight


def chain_named(cursor: Cursor) -> Where | None:
    """ "top of 3 ch", "3rd of 5 ch": the beginning chain of that many."""
    start = cursor.at
    cursor.skip_filler()
    cursor.take_any("first", "begin", "turn")
    if (
        cursor.peek().kind == "number"
        and cursor.sees("ch", ahead=1)
        and cursor.peek(2).word not in ("sp", "loop", "-")
    ):
        size = cursor.next().value
        cursor.next()
        return Where("this", Target("turning", size=size))
    cursor.at = start
    return None


def ring_named(cursor: Cursor) -> bool:
    return bool(
        cursor.take_any(
            "ring",
            "adjustable ring",
            "magic ring",
            "magic loop",
            "magic circle",
            "mr",
            "centre ring",
            "circle",
            "chain ring",
            "ch ring",
            "mc",
        )
    )


def target_ahead(cursor: Cursor, names: Names) -> bool:
    start = cursor.at
    try:
        return _target(cursor, names) is not None
    except Unreadable:
        return False
    finally:
        cursor.at = start


SIDES = (
    "side",
    "left",
    "right",
    "short",
    "long",
    "row",
    "rows",
    "first",
    "second",
    "other",
    "next",
    "each",
    "armhole",
    "neck",
    "front",
    "back",
    "outer",
    "same",
    "this",
    "opposite",
    "remaining",
)


EDGES = ("edge", "edges", "side", "sides", "end", "ends")


def row_ends(cursor: Cursor, names: Names) -> Where | None:
    """ "row ends", "left side edge", "end of each row", "ends of rows": the sides of a piece."""
    start = cursor.at
    cursor.skip_filler()
    if (named := _ends_of_rows(cursor, names)) is not None:
        return named
    words = 0
    while cursor.peek().text in SIDES or cursor.peek().text == "-":
        words += cursor.peek().text in ("side", "row", "rows")
        cursor.next()
    bare = cursor.peek().text in ("end", "ends") and not words
    if cursor.peek().text in EDGES and not bare or words and cursor.peek(-1).text in ("side", "sides"):
        if cursor.peek().text in EDGES:
            cursor.next()
        _of_the_work(cursor)
        return Where("ends", Target("end"), until="end")
    cursor.at = start
    return None


def _ends_of_rows(cursor: Cursor, names: Names) -> Where | None:
    """ "end of each row", "ends of rows", "end of each of next 23 rows", "end of next row", "end of same row", "end of brim
    row", "bar at end of each row"; "end of each sc row" is that of the rows in that stitch."""
    start = cursor.at
    if cursor.take_any("bar at", "loop at"):
        cursor.skip_filler()
    if cursor.peek().text not in ("end", "ends", "side", "sides") or cursor.peek(1).word != "of":
        cursor.at = start
        return None
    cursor.at += 2
    cursor.skip_filler()
    each = cursor.take("each")
    cursor.skip_filler()
    some = cursor.take_any("next", "first", "same", "this", "last")
    number = cursor.number()
    stitch = names.take(cursor)
    if cursor.peek(1).word == "row" and cursor.peek().text in vocabulary()["garment"]:
        some = cursor.next().text
    if not cursor.take("row"):
        cursor.at = start
        return None
    end = Target("end", stitch=stitch if isinstance(stitch, StitchKind) else None)
    if number is None and (each or not some):
        return Where("ends", end, until="end")
    return Where("ends", end, n=number or ONE, each=number is not None)


def _of_the_work(cursor: Cursor) -> None:
    """ "of rows", "of the piece", which says no more; the name of a part is left to be read."""
    start = cursor.at
    if cursor.take("of"):
        cursor.skip_filler()
        if not cursor.take_any("row", "piece", "square", "panel", "work"):
            cursor.at = start


def row_itself(cursor: Cursor, ahead: int = 0) -> bool:
    """ "Row 8" as what is worked along: every stitch of it."""
    return cursor.peek(ahead).word in ("row", "round") and cursor.peek(ahead + 1).kind == "number"


_STOPS = ("", ",", ".", ";", "(", "[")


def on_foundation(cursor: Cursor) -> bool:
    """ "of foundation ch", "along opposite side of ch": the free side of a chain. Gone past if it is named."""
    start = cursor.at
    if word := cursor.take_any("of", "along", "across", "down", "on", "in"):
        cursor.skip_filler()
        along = word in ("along", "across", "down")
        side = cursor.peek().text in ("opposite", "other", "unworked", "free") and cursor.peek(1).text == "side"
        if side:
            cursor.at += 2
            cursor.take("of")
            cursor.skip_filler()
        lower = along and cursor.peek(1).text == "edge" and cursor.take_any("lower", "bottom")
        named = lower or cursor.take_any("foundation", "starting", "beginning") if side or along else cursor.take("foundation")
        in_chains = start > 0 and cursor.tokens[start - 1].word == "ch"      # "sc in each of 23 ch on other side"
        if (side or named) and cursor.take_any("ch", "edge") or side and in_chains and cursor.peek().word in _STOPS:
            return True
        if cursor.sees("starting", "ch") and cursor.peek(2).word not in ("-", "of") and cursor.peek(2).kind != "number" and _first_or_last_chain(cursor, start):
            cursor.at += 2
            return True
    cursor.at = start
    return False


def _first_or_last_chain(cursor: Cursor, here: int) -> bool:
    """ "In first ch of starting chain": whose first is a chain like the others, not the one that stands for a stitch."""
    said = [t.word for t in cursor.tokens[max(here - 2, 0) : here]]
    return said[-1:] == ["ch"] and said[0] in ("first", "last", "each")


def target(cursor: Cursor, names: Names) -> Target:
    """What is worked into: "st", "ch-2 sp", "dc", "turning ch", "5-sc group". Raises Unreadable."""
    found = _target(cursor, names)
    if found is None:
        token = cursor.peek()
        raise Unreadable(token, *unknown_place(token.text, names))
    return found


def _target(cursor: Cursor, names: Names) -> Target | None:
    """The same; None where the words are no place."""
    cursor.skip_filler()
    cursor.take("unworked")
    said = cursor.peek().text
    cursor.at += (said in _ALONE or said in vocabulary()["garment"]) and _stitch_follows(cursor, names)
    if (special := corner_target(cursor, names) or marked_target(cursor, names)) is not None:
        return special
    for reader in (turning_target, space_target, group_target, simple_target, stitch_target):
        found = reader(cursor, names)
        if found:
            return found
    return None


_ALONE = ("single", "free", "unused", "raised")              # "raised dc": one made round a post


def _stitch_follows(cursor: Cursor, names: Names) -> bool:
    """ "single dc", one that stands alone; "free dc", "free sts"; "single crochet" and "single" are a stitch."""
    ahead = Cursor(cursor.tokens[cursor.at + 1 :], cursor.sizes)
    return ahead.sees("st") or ahead.peek().kind == "word" and names.at(ahead)[0] is not None


def corner_target(cursor: Cursor, names: Names) -> Target | None:
    """ "corner", "corner st", "corner group", "corner sp"; None for a pattern's own stitch of that name."""
    _which_corner(cursor)
    if not cursor.sees("corner") or isinstance(names.at(cursor)[0], Own):
        return None
    cursor.take("corner")
    cursor.take("-")
    if cursor.peek().word in ("sp", "loop", "ch") or cursor.peek().kind == "number" and hyphened(cursor):
        space = space_target(cursor, names)
        return replace(space, name="corner") if space is not None else None
    cursor.take_any("st", "group") or names.take(cursor)
    return Target("corner")


_CORNERS = ("upper", "lower", "top", "bottom", "left", "right", "front", "back", "outer", "outside", "neck", "other", "opposite")


def _which_corner(cursor: Cursor) -> None:
    """ "Lower right corner", "front corner": which of them, gone past."""
    ahead = next((k for k in range(4) if cursor.peek(k).text not in _CORNERS), 0)
    cursor.at += ahead if cursor.sees("corner", ahead=ahead) else 0


def marked_target(cursor: Cursor, names: Names) -> Target | None:
    """ "marker", "marked st", "marked sp": where a marker was placed before."""
    if cursor.take_any("marker", "markers"):
        return Target("marked", name="marker")
    if not cursor.take("marked"):
        return None
    space = cursor.sees("sp") or cursor.sees("ch") or cursor.sees("loop")
    space_target(cursor, names) if space else cursor.take("st") or names.take(cursor)
    return Target("marked", name="sp" if space else "st")


def unknown_place(text: str, names: Names) -> tuple[str, str]:
    if not text:
        return "a place is missing here: into which stitch?", 'write for instance "in next st"'
    close = near(text, [*names.known, "st", "sts", "sp", "ch", "loop", "ring", "next", "each"])
    hint = f'perhaps "{close[0]}"' if close else ""
    return f'"{text}" is no stitch or place that is known here', hint


def turning_target(cursor: Cursor, names: Names) -> Target | None:
    start = cursor.at
    if (named := turning_chain(cursor)) is not None:
        return named
    ahead = 2 if cursor.sees("ch", "-") and not _dash_apart(cursor, 1) else 1
    if cursor.sees("ch") and cursor.peek(ahead).kind == "number" and not space_word(cursor, ahead + 1):
        size = cursor.peek(ahead).value
        cursor.at += ahead + 1
        return Target("turning", size=size)
    cursor.at = start
    return None


_TURNING = ("tch", "t - ch", "turning ch", "turn ch", "beginning ch", "begin ch", "starting ch", "end ch", "first turning ch", "ch first made")


def turning_chain(cursor: Cursor) -> Target | None:
    """ "turning ch", "beg ch-4", "turning ch sp"; None for other words."""
    if cursor.take_any("turn loop", "turn sp", "loop of turn ch", "sp of turn ch"):
        return Target("turning", name="sp")
    if not cursor.take_any(*_TURNING):
        return None
    size = size_after(cursor)
    return Target("turning", size=size, name="sp" if cursor.take_any("sp", "- sp", "loop") else "")


def size_after(cursor: Cursor) -> int | None:
    if _dash_apart(cursor):
        return None
    cursor.take("-")
    if cursor.peek().kind == "number":
        return cursor.next().value
    return None


_BARS = ("bar", "bars")     # of chains, over a lacet in filet


def space_word(cursor: Cursor, ahead: int) -> bool:
    while cursor.peek(ahead).text in ("-", "corner"):
        ahead += 1
    return cursor.peek(ahead).word in ("sp", "loop", *_BARS)


def space_target(cursor: Cursor, names: Names) -> Target | None:
    start = cursor.at
    if not _dash_apart(cursor, 1) and cursor.take("ch"):
        cursor.take("-")
        size = cursor.next().value if cursor.peek().kind == "number" else None
        cursor.take("-")
        if cursor.take_any("corner sp", "corner - sp", "corner loop"):
            return Target("space", size=size, name="corner")
        if cursor.take_any("sp", "loop", *_BARS):
            return Target("space", size=size)
        cursor.at = start
    if cursor.peek().kind == "number" and cursor.sees("-", "ch", ahead=1):
        size = cursor.next().value
        cursor.at += 2
        cursor.take("-")
        if cursor.take_any("sp", "loop"):
            return Target("space", size=size)
        cursor.at = start
    if (
        cursor.peek().kind == "number"
        and cursor.sees("ch", ahead=1)
        and cursor.peek(2).text in ("sp", "space", "loop", "lp")
    ):
        size = cursor.next().value
        cursor.at += 2
        return Target("space", size=size)
    if not isinstance(names.at(cursor)[0], StitchKind) and cursor.take_any("sp", "loop"):
        return Target("space")                              # a "loop st" is a stitch
    if cursor.peek(-1).word != "of" and names.at(cursor)[0] is None and cursor.take_any("buttonhole", "buttonholes"):
        return Target("space")
    if names.at(cursor)[0] is None and (cursor.take("mesh") or not cursor.sees("of", ahead=1) and cursor.take_any(*_BARS)):
        return Target("space")                              # where the pattern does not make meshes of its own
    return None


def group_target(cursor: Cursor, names: Names) -> Target | None:
    start = cursor.at
    if cursor.peek().kind == "number" and (hyphened(cursor) or group_apart(cursor, names)):
        size = cursor.next().value
        cursor.take("-")
        stitch = names.take(cursor)
        cursor.take("-")
        kind, length = (None, 0)
        if cursor.peek().word in GROUP_WORDS and not isinstance(stitch, Own):
            past, cursor.at = cursor.at, start
            kind, length = names.at(cursor)
            cursor.at = past
        if kind is not None and length > 2 and not isinstance(kind, Own):
            cursor.at = start
            return None
        if cursor.take_any("loop group", "sp group"):
            return Target("group", size=size, name="loop group")
        if cursor.peek().word in GROUP_WORDS and not isinstance(stitch, Own):
            name = cursor.next().word
            return Target("group", stitch=stitch, size=size, name="" if name == "group" else name)
        cursor.at = start
    found, length = names.at(cursor)
    if isinstance(found, Own) and not found.closed:
        cursor.at += length
        return Target("group", name=plain(found.name))
    if found is not None:
        if cursor.peek(length).word in ("group", "pair"):
            cursor.at += length + 1
            return Target("group", stitch=found if not isinstance(found, Own) else None)
        return None
    return plain_group(cursor, names)


def group_apart(cursor: Cursor, names: Names) -> bool:
    """ "3 tr group", written without a hyphen: one group of three, where "3 tr groups" are three."""
    if cursor.peek().kind != "number":
        return False
    start = cursor.at
    cursor.next()
    found, length = names.at(cursor)
    cursor.at = start
    return found is not None and cursor.peek(1 + length).text == "group"


def plain_group(cursor: Cursor, names: Names) -> Target | None:
    known = vocabulary()["largeness"]
    if cursor.peek().text in known and cursor.peek(1).word in GROUP_WORDS[1:]:
        large = known[cursor.next().text]                   # "first large petal"
        found = plain_group(cursor, names)
        return replace(found, name=f"{large} {found.name}") if found is not None else None
    if cursor.peek().word not in GROUP_WORDS:
        return None
    name = cursor.next().word
    if name == "v":
        cursor.take("-")
        cursor.take("st")
        name = "v st"
    else:
        cursor.take("st")
    size, stitch = _made_of(cursor, names) if name in ("group", "pair") else (None, None)
    return Target("group", stitch=stitch, size=size, name="" if name == "group" else name)


def _made_of(cursor: Cursor, names: Names) -> tuple[int | None, StitchKind | None]:
    """ "pair of tr", "group of 3 dc": how many of which stitch; the place a group lies in is left to be read."""
    start = cursor.at
    if cursor.take("of"):
        size = cursor.next().value if cursor.peek().kind == "number" else None
        stitch = names.take(cursor)
        if isinstance(stitch, StitchKind):
            return size, stitch
    cursor.at = start
    return None, None


def simple_target(cursor: Cursor, names: Names) -> Target | None:
    if cursor.take("place"):
        return Target("place")
    if cursor.take_any("row end", "row - end"):
        cursor.take("st") or names.take(cursor)             # "each row-end dc"
        return Target("end")
    if cursor.take_any(
        "row ending", "row - ending", "end of row", "end of next row", "row", "edge"
    ):
        return Target("end")
    if cursor.take_any("join", "sl st join"):
        cursor.take_any("sl st", "sl - st", "slip st", "ss", "st") or cursor.peek(-1).text == "joining" and names.take(cursor)
        return Target("join")
    if cursor.take_any("st", "post", "posts"):
        return Target("any")                                # "fpdc around each of next 3 posts"
    if cursor.sees("foundation", "ch"):
        cursor.take("foundation")
    if cursor.sees("ch"):
        cursor.take("ch")
        cursor.take("st")
        return Target("chain")
    return None


def stitch_target(cursor: Cursor, names: Names) -> Target | None:
    found = names.take(cursor)
    if isinstance(found, Own):
        return Target("stitch", stitch=found.closed)
    return Target("stitch", stitch=found) if found else None
