"""Strategies for nodes of the tree: every node as the notation reads it, in many combinations."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from chartgen.notation.corner_runs import goes_along
from chartgen.notation.tree import (
    ONE,
    Attach,
    Chain,
    Colour,
    Counting,
    Every,
    Group,
    Held,
    Join,
    Leave,
    Loops,
    Number,
    Repeat,
    Sign,
    Skip,
    Target,
    Where,
    Work,
)
from chartgen.stitches import StitchKind, registry

SLIP = registry().kind("slip_stitch")
NO_PLACE_BARE = ("this", "centre", "top", "base", "skipped", "these")


def _kinds(*ids: str) -> st.SearchStrategy[StitchKind]:
    return st.sampled_from([registry().kind(i) for i in ids])


def numbers(sizes: int, least: int = 1, most: int = 12) -> st.SearchStrategy[Number]:
    """A count: one value, or one per size and not all the same."""
    value = st.integers(least, most)
    if sizes == 1:
        return value.map(lambda v: Number((v,)))
    several = st.tuples(*[value] * sizes).filter(lambda v: len(set(v)) > 1).map(Number)
    return st.one_of(value.map(lambda v: Number((v,))), several)


SIMPLE = _kinds(
    "single_crochet", "half_double", "double_crochet", "treble", "double_treble", "triple_treble",
    "extended_single", "extended_double",
)  # fmt: skip
MADE = _kinds(
    "front_post:double_crochet:1", "back_post:treble:1", "together:single_crochet:2",
    "together:double_crochet:3", "popcorn:double_crochet:5", "popcorn:double_crochet:4",
    "bobble:double_crochet:5", "puff:half_double:3",
)  # fmt: skip
STITCH = st.one_of(SIMPLE, SIMPLE, MADE)
PLAIN = st.one_of(st.just(Target("any")), STITCH.map(lambda k: Target("stitch", k)), st.just(Target("chain")))
SPACE = st.one_of(st.just(Target("space")), st.integers(1, 9).map(lambda n: Target("space", size=n)))
GROUP = st.one_of(
    st.just(Target("group")),
    st.builds(lambda n, k: Target("group", k, n), st.integers(2, 9), SIMPLE),
    st.sampled_from(["cluster", "picot", "v st"]).map(lambda name: Target("group", name=name)),
    SIMPLE.map(lambda k: Target("group", k)),
)
TURNING = st.one_of(st.just(Target("turning")), st.integers(2, 9).map(lambda n: Target("turning", size=n)))
TARGET = st.one_of(PLAIN, SPACE, GROUP)
SAME = st.one_of(st.just(Target("place")), TARGET)


def _this(target: Target) -> Where:
    return Where("this", target)


def _next(target: Target) -> Where:
    return Where("next", target)


def one_place(sizes: int = 1) -> st.SearchStrategy[Where]:
    """Places but for "each … around"."""
    n, ordinal = numbers(sizes), st.integers(2, 20)
    return st.one_of(
        st.builds(lambda t, n: Where("next", t, n=n, each=n != ONE), TARGET, n),
        st.builds(lambda t, n: Where("first", t, n=n), TARGET, n),
        st.builds(lambda t, n: Where("last", t, n=n), TARGET, n),
        TARGET.map(_this), TURNING.map(_this), TARGET.map(lambda t: Where("centre", t)),
        SAME.map(lambda t: Where("same", t)),
        st.builds(lambda t, of: Where("same", t, of=of), SAME,
                  st.one_of(st.just(_this(Target("join"))), SIMPLE.map(lambda k: Where("last", Target("stitch", k))))),
        st.one_of(TURNING.map(_this), TARGET.map(_next)).map(lambda of: Where("top", Target("place"), of=of)),
        TURNING.map(lambda t: Where("base", Target("place"), of=_this(t))),
        st.builds(lambda o, t: Where("nth", t, ordinal=o), ordinal, TARGET),
        st.builds(lambda o, t, of: Where("nth", t, ordinal=o, of=of), ordinal, st.one_of(PLAIN, SPACE),
                  st.one_of(TURNING.map(_this), GROUP.map(_next))),
        st.builds(lambda o: Where("hook", Target("chain"), ordinal=o), ordinal),
        st.builds(lambda o, t, n: Where("these", t, n=n, ordinal=o), st.integers(1, 9),
                  st.one_of(st.just(Target("chain")), SPACE), numbers(1, 1, 9)),
        TARGET.map(lambda t: Where("skipped", t)),
        st.builds(lambda t, of, past: Where("next", t, of=_this(of), beyond=past), PLAIN, GROUP, st.sampled_from([1, -1])),
        st.builds(lambda t, of: Where("this", t, of=_next(of)), SPACE, GROUP),
    )  # fmt: skip


def _joined_in(place: Where) -> Where:
    """ "Join with sl st in 3rd ch" is read as that of the beginning chain."""
    alone = place.which == "nth" and place.target == Target("chain") and place.of is None
    return replace(place, of=_this(Target("turning"))) if alone else place


def each_place(sizes: int = 1) -> st.SearchStrategy[Where]:
    stop = st.one_of(TARGET.map(lambda t: Where("centre", t)), SPACE.map(lambda t: Where("last", t)))
    return st.one_of(
        TARGET.map(lambda t: Where("each", t, until="end")),
        st.builds(lambda t, n, left: Where("each", t, until="last", n_left=n, left=left), TARGET, numbers(sizes), PLAIN),
        st.builds(lambda t, s: Where("each", t, until="target", stop=s), TARGET, stop),
        st.builds(lambda t, of: Where("each", t, until="of", of=_next(of)), PLAIN, SPACE),
    )


def places(sizes: int = 1) -> st.SearchStrategy[tuple[Where, ...]]:
    """What a stitch is worked into: one place, two, or each of two kinds."""
    loop = st.sampled_from(["", "", "front", "back"])
    one = st.builds(lambda w, l: replace(w, loop=l), st.one_of(one_place(sizes), each_place(sizes)), loop)
    return st.one_of(
        st.just((Where("ring", Target("place")),)),
        one.map(lambda w: (w,)),
        st.tuples(one_place(sizes), st.one_of(one_place(sizes).filter(lambda w: w.which not in NO_PLACE_BARE), each_place(sizes))),
        st.tuples(TARGET, TARGET).map(lambda ts: tuple(Where("each", t, until="end") for t in ts)),
    )


def _work(n: Number, kind: StitchKind, where: tuple[Where, ...], loop: str, evenly: bool) -> Work:
    """A stitch of several legs takes its places together, not one by one; "evenly around" is read along every side."""
    if kind.bases == "apart":
        where = tuple(replace(w, each=False) for w in where)
    if evenly and where == (Where("each", Target("any"), until="end"),):
        where = (replace(where[0], outline=True),)
    return Work(n, kind, where, loop=loop, evenly=evenly)


def works(sizes: int = 1) -> st.SearchStrategy[Work]:
    return st.builds(
        _work,
        numbers(sizes), STITCH, places(sizes), st.sampled_from(["", "", "front", "back"]), st.booleans(),
    )  # fmt: skip


def plain_items(sizes: int = 1) -> st.SearchStrategy:
    """Items without repeats: stitches, chains, groups, skips."""
    inside = st.lists(st.one_of(st.builds(Work, numbers(sizes), STITCH), numbers(sizes).map(Chain)), min_size=1, max_size=4)
    together = one_place(sizes).map(lambda w: replace(w, each=False))
    bare = together.filter(lambda w: w.which not in NO_PLACE_BARE)
    skip = st.one_of(together.map(lambda w: (w,)), st.tuples(together, bare)).map(Skip)
    return st.one_of(
        works(sizes), works(sizes), numbers(sizes, 1, 20).map(Chain), skip,
        st.builds(lambda i, w: Group(tuple(i), w), inside, places(sizes)),
    )  # fmt: skip


def every(sizes: int = 1) -> st.SearchStrategy[Every]:
    """Each stitch and each space along an edge; what has corners is worked "evenly around", along every side."""
    edge = st.builds(_along_edge, numbers(sizes), numbers(sizes), SIMPLE, st.tuples(PLAIN, SPACE))
    return st.one_of(edge, edge, st.builds(_around_piece, numbers(sizes), numbers(sizes), SIMPLE))


def _along_edge(n: Number, m: Number, kind: StitchKind, named: tuple[Target, Target]) -> Every:
    return Every((Work(n, kind, (Where("each", named[0], until="open"),)), Work(m, kind, (Where("each", named[1], until="end"),))))


def _around_piece(n: Number, m: Number, kind: StitchKind) -> Every:
    along = Work(n, kind, (Where("each", Target("any"), until="end", outline=True),), evenly=True)
    return Every((along, Work(m, kind, (Where("each", Target("corner"), until="end"),))))


def apart(items: tuple) -> bool:
    """Two that go along the same edge stand in one `Every`, not side by side."""
    along = [isinstance(item, Every) or goes_along(item) for item in items]
    return not any(a and b for a, b in zip(along, along[1:], strict=False))


def from_hook() -> st.SearchStrategy[Work]:
    """The first stitch on a foundation chain, with what the chains skipped before it count as."""
    said = st.one_of(st.just((None, None)), st.just((False, None)), st.integers(0, 3).map(lambda n: (True, n)))
    return st.builds(
        lambda k, o, c: Work(ONE, k, (Where("hook", Target("chain"), ordinal=o),), counts_said=c[0], chains_said=c[1]),
        SIMPLE, st.integers(2, 9), said,
    )  # fmt: skip


def repeats(items: st.SearchStrategy, sizes: int = 1) -> st.SearchStrategy[Repeat]:
    body = st.lists(items, min_size=1, max_size=4).map(tuple).filter(apart)
    last = st.one_of(SPACE, PLAIN, GROUP).map(lambda t: Where("last", t))
    return st.one_of(
        st.builds(Repeat, body, numbers(sizes, 1, 9)),
        body.map(lambda i: Repeat(i, None)),
        st.builds(lambda i, n, left: Repeat(i, None, n_left=n, left=left), body, numbers(sizes, 2, 9), PLAIN),
        st.builds(lambda i, u: Repeat(i, None, until=u), body, last),
        st.builds(lambda i, m, t: Repeat(i, t, mark=1 + m % (len(i) - 1)),
                  st.lists(items, min_size=2, max_size=5).map(tuple).filter(apart), st.integers(0, 9),
                  st.one_of(st.none(), numbers(sizes, 2, 9))),
        st.builds(lambda i, e: Repeat(i, None, ending=e), body, st.lists(plain_items(), min_size=1, max_size=2).map(tuple)),
    )  # fmt: skip


def others(sizes: int = 1) -> st.SearchStrategy:
    """What is done between stitches."""
    said = st.one_of(
        st.builds(lambda t: Counting(False, throughout=t), st.booleans()),
        st.builds(lambda k, c, t: Counting(True, k, c, t), SIMPLE, st.integers(0, 5), st.booleans()),
        st.just(Counting(True)),
    )
    place = one_place(sizes)
    return st.one_of(
        st.builds(lambda n, s: Chain(n, said=s), numbers(1, 1, 9), said),
        st.sampled_from(["turn", "no turn", "spiral", "off", "far side", "adjustable ring", "no join"]).map(Sign),
        st.sampled_from([Sign("off", colour="B"), Join(), Join(None, True, SLIP), Loops("front"), Loops("back", True), Loops(""), Colour("A"),
                         Attach("B", None, None), Attach(None, None, SLIP)]),
        st.just(Leave(None)) if sizes == 1 else st.just(Join()),
        st.builds(lambda p, r: Join(_joined_in(p), r, SLIP), place, st.booleans()),
        st.builds(lambda c, p, k: Attach(c, p, k), st.sampled_from(["A", "B", None]), place, st.one_of(st.just(SLIP), SIMPLE)),
        st.builds(lambda n, k: Leave(n, what=k and Target("stitch", k)), numbers(1, 1, 40), st.one_of(st.none(), SIMPLE))
        if sizes == 1 else st.just(Sign("off")),
        st.lists(works(sizes), min_size=1, max_size=2).map(lambda i: Held(tuple(i))), from_hook(),
        st.builds(lambda w, n, by: replace(w, change=n, by=by), works(sizes), numbers(sizes), st.sampled_from([1, -1])),
    )  # fmt: skip


def rows(sizes: int = 1) -> st.SearchStrategy[tuple]:
    """The items of a row: repeats in repeats, and all that may stand between."""
    plain = plain_items(sizes)
    inner = repeats(plain, sizes)
    outer = repeats(st.one_of(plain, plain, inner.filter(lambda r: r.times is not None and r.mark is None and not r.ending)), sizes)
    between = st.one_of(plain, plain, others(sizes), inner, outer, every(sizes))
    return st.lists(between, min_size=1, max_size=5).map(tuple).filter(apart)
