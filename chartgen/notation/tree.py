"""Instructions: a tree per row, words resolved to stitch kinds and typed places.

Repeats are still repeats and numbers are still one per size, so the tree can be
written out again as words; the hook (`fabric/`) works it, once per size. No number
here depends on the row before: "each st around" has no count until it is worked.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, Union

from chartgen.problems import Problem, Span
from chartgen.stitches import StitchKind

NO_SPAN = Span(0, 0)


@dataclass(frozen=True)
class Number:
    """A count as written: one value, or one per size. `name` is set for a named count."""

    values: tuple[int, ...]
    span: Span = NO_SPAN
    name: str = ""

    def of(self, size_index: int) -> int:
        return self.values[size_index if len(self.values) > 1 else 0]


ONE = Number((1,))

Which = Literal[
    "next",
    "each",
    "same",
    "first",
    "last",
    "nth",
    "hook",
    "remaining",
    "centre",
    "ring",
    "top",
    "base",
    "these",
    "skipped",
    "made",
    "this",
    "ends",
]


@dataclass(frozen=True)
class Target:
    """What is worked into.

    Attributes:
        kind: `any` a stitch of whatever kind, `stitch` one kind, `chain` a chain stitch,
            `space` a chain space or loop, `group` a named or numbered group of stitches,
            `place` "same place", `turning` the turning or beginning chain (its space where
            `name` is "sp"), `end` a row end (`name` is "begin" where
            that row begins, "last" for that of the last row), `join` the joining stitch, `corner` a corner: its
            chain space, or the middle of three or more stitches worked in one place, `marked` what a
            marker was placed in or after: `name` is "st", "sp", or "marker" for the marker itself.
        stitch: for `stitch`.  size: n of ch-n, or of an "n-dc group".
        name: for `group`, its name ("shell"); "" for a plain group.
    """

    kind: Literal["any", "stitch", "chain", "space", "group", "place", "turning", "end", "join", "corner", "marked"]
    stitch: StitchKind | None = None
    size: int | None = None
    name: str = ""


@dataclass(frozen=True)
class Where:
    """A place in words: "next 3 sts", "2nd ch of next ch-2", "each sc around".

    Attributes:
        which: how it is chosen; `nth` takes the `ordinal`-th (of `of`, if given).
        n: how many places ("next 3 sts").
        until: for `each`: "end", "last" (then `n_left` stay, which are `left`), "target" (up to `stop`).
        of: the group, space or place it lies in.
        loop, post: "front", "back", "third" or "".
        down: worked into the row that many rows below.
        row: number of an earlier row it lies in ("next skipped st of Rnd 2").
        part: plain name of the part it lies in ("18 sts of First leg").
        unworked: one of the stitches left unworked earlier.
        each: "each of" was said.
        alone: a single stitch that stands between groups.
        per: the stitches are for so many of these places together: "3 sc over every 2 row ends".
        beyond: 1 past the group `of` ("next dc after shell"), -1 before it.
        between: in the gap before the place, or between it and its neighbour.
        outline: "evenly around", "around entire piece": along every side of a flat piece.
    """

    which: Which
    target: Target
    n: Number = ONE
    ordinal: int = 0
    until: str = ""
    n_left: Number | None = None
    left: Target | None = None
    stop: Where | None = None
    of: Where | None = None
    loop: str = ""
    post: str = ""
    down: int = 0
    between: bool = False
    row: Number | None = None
    part: str = ""
    unworked: bool = False
    each: bool = False
    alone: bool = False
    beyond: int = 0
    per: Number | None = None
    outline: bool = False
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Work:
    """`count` of one stitch in each place of `where`; in the next stitches when that is empty."""

    count: Number
    stitch: StitchKind
    where: tuple[Where, ...] = ()
    span: Span = NO_SPAN
    loop: str = ""
    down: int = 0
    counts_said: bool | None = None  # "(skipped ch count / do not count)" after it
    chains_said: int | None = None  # "(skipped ch count as dc and ch 2)", "(… as ch-3 sp)": these chains
    evenly: bool = False  # `count` spread over the places
    change: Number | None = None  # "increasing 4 sts evenly": that many more (or fewer: `by`)
    by: int = 1
    up_to: bool = False  # "sl st to center of shell": one in each stitch passed on the way as well
    listed: int = field(default=0, compare=False)  # so many items before it may be made in its place: one list


@dataclass(frozen=True)
class Own:
    """A stitch the pattern defines ("shell"), worked `count` times."""

    count: Number
    name: str
    items: tuple[Item, ...]
    where: tuple[Where, ...] = ()
    span: Span = NO_SPAN
    closed: StitchKind | None = None  # the one stitch it counts as, where it is closed to one top


@dataclass(frozen=True)
class Change:
    """Increase (`by` = +1) or decrease (-1) in words: "inc", "dec over next 2 sts"."""

    count: Number
    by: int
    stitch: StitchKind | None
    where: tuple[Where, ...] = ()
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Even:
    """ "Work even": a stitch in each stitch; with `by`, "inc 1 st at each end of row", with as
    much of it at its first and its last stitch as `ends` says ("inc at beginning, dec at end": 1, -1); with `spread` so many more (`by` > 0) or fewer, evenly."""

    stitch: StitchKind | None = None
    by: int = 0
    span: Span = NO_SPAN
    spread: Number | None = None
    ends: tuple[int, int] = (1, 1)


@dataclass(frozen=True)
class Chain:
    """`count` chains. `counts_as` is None where nothing is said, else the kinds they count as:
    () for none, (dc,) or (dc, 2 further chains)."""

    count: Number
    span: Span = NO_SPAN
    said: Counting | None = None


@dataclass(frozen=True)
class Counting:
    """What a beginning chain is said to count as.

    Attributes:
        counts: False for "does not count as a st".
        stitch: the kind it stands for; None where only "a stitch" is said.
        chains: further chains it holds ("counts as dc and ch 2"); those of a space that it
            is and no stitch ("counts as ch-3 sp").
        throughout: holds for later rows too.
        of: the n of the chain it speaks of, where said ("ch 3 counts as dc").
    """

    counts: bool
    stitch: StitchKind | None = None
    chains: int = 0
    throughout: bool = False
    of: int | None = None
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Group:
    """Several things worked in one place: "(2 dc, ch 1, 2 dc) in next sp"."""

    items: tuple[Item, ...]
    where: tuple[Where, ...]
    span: Span = NO_SPAN
    name: str = ""


@dataclass(frozen=True)
class Every:
    """ "Sc in each dc and 3 sc in each sp around": along the edge each place gets the stitches
    whose words name it; a corner or a space is named before the stitches it is made of."""

    items: tuple[Item, ...]
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Held:
    """Stitches held back on the hook and closed to one top; a counting chain before them joins in."""

    items: tuple[Item, ...]
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Skip:
    where: tuple[Where, ...]
    span: Span = NO_SPAN
    counts_said: bool | None = None  # skipped foundation chains: do they count?
    behind: bool = False  # "skip the st behind it"


@dataclass(frozen=True)
class Leave:
    """Stitches said to be left unworked: `n`, or all that remain (None)."""

    n: Number | None
    span: Span = NO_SPAN
    what: Target | None = None


@dataclass(frozen=True)
class Repeat:
    """`items` over and over.

    Attributes:
        times: in all; None for "around", "across", "to end".
        n_left: "to last n sts": stitches that stay; `left` what they are.  until: up to this place.
        unsure: "n times" without "more" or "in all": what the other reading adds to `times`.
        mark: where in `items` the end mark ** stands, for the last pass.
        ending: items that replace the end of the last pass.
        there: what the row has when it stops "until there are 8 loops".
    """

    items: tuple[Item, ...]
    times: Number | None
    n_left: Number | None = None
    until: Where | None = None
    unsure: int = 0
    mark: int | None = None
    ending: tuple[Item, ...] = ()
    span: Span = NO_SPAN
    times_span: Span = NO_SPAN
    left: Target | None = None
    there: tuple[Count, ...] = ()


@dataclass(frozen=True)
class Join:
    """The round closed, by a slip stitch unless said otherwise."""

    place: Where | None = None
    ring: bool = False
    stitch: StitchKind | None = None
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Attach:
    """Yarn joined anew: "join B with sl st in any corner sp"."""

    colour: str | None
    place: Where | None
    stitch: StitchKind | None
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Colour:
    key: str
    span: Span = NO_SPAN


@dataclass(frozen=True)
class Loops:
    """Which loops are worked to the end of the row: "front", "back", or "" for both; `lasts` beyond it; `row`: of the
    row of that number ("working in back loops of Rnd 3")."""

    loop: str
    lasts: bool = False
    span: Span = NO_SPAN
    row: Number | None = None


@dataclass(frozen=True)
class Sign:
    """Turn, do not turn, spiral, ring, far side, fasten off: what is done between stitches."""

    what: Literal["turn", "no turn", "spiral", "off", "far side", "adjustable ring", "no join"]
    span: Span = NO_SPAN
    colour: str = ""  # the yarn fastened off, where it is named


@dataclass(frozen=True)
class Made:
    """ "(picot made)": names what the words before it have made; counts one."""

    name: str
    span: Span = NO_SPAN
    text: str = ""  # as written


@dataclass(frozen=True)
class Note:
    """Words kept for the written pattern and not worked; `facing` is the side that they say faces, or "", `marks`
    where they place a marker: in the last "st" or "sp" made, or "after" the last stitch; or ""."""

    text: str
    span: Span = NO_SPAN
    facing: str = ""
    marks: str = ""


@dataclass(frozen=True)
class Measured:
    """ "until piece measures 20 cm, ending with a WS row, then work 3 more rows".

    Attributes:
        cm: the length, per size.
        side: "RS" or "WS" of the last row, or "".
        like: the row of the pattern that the last one is to be.
        more: rows after that.
    """

    cm: tuple[Fraction, ...]
    side: str = ""
    like: Number | None = None
    more: Number | None = None


@dataclass(frozen=True)
class LikeRow:
    """ "As Row 4", "Rep Rows 2 and 3": rows worked as others are.

    Attributes:
        rows: numbers of the rows to follow, in turn.
        times: how often, where said.
        ending: items that stand in place of the row's closing chain and turn.
        dropping: its closing chain and turn are left out.
        until: "until piece measures …".
        last: "the last 2 rows": so many before this one, in place of `rows`.
        chains: "but with ch 5": its chains between stitches have this many.
        until_rows: "until there are 40 rows": the number of the last.
        until_sts: "until there are 16 sc on row", "until 12 sts remain": worked over and over to there.
        label: "rep inc row": the name of the row to follow, in place of `rows`.
        every: "every 6th row": so many rows to a pass, those before the last of them even.
        even: "work 4 rows even": what is worked where the row before increased or decreased.
        between: "having 2 sc more between increases": so many plain stitches more there, from row to row.
        apart: "having 3 sc between increases": so many plain stitches there.
        fewer: "having 1 loop less on each pineapple": so many loops fewer there, from row to row.
    """

    rows: tuple[Number, ...]
    times: Number | None = None
    ending: tuple[Item, ...] = ()
    dropping: bool = False
    span: Span = NO_SPAN
    until: Measured | None = None
    last: Number | None = None
    chains: Number | None = None
    until_rows: Number | None = None
    until_sts: Count | None = None
    even: Even | None = None
    label: str = ""
    every: Number | None = None
    between: Number | None = None
    apart: Number | None = None
    fewer: Number | None = None

    @property
    def goes_on(self) -> bool:
        """Do the words say how far the rows go on, whatever their number?"""
        return self.until is not None or self.until_rows is not None or self.until_sts is not None


Item = Union[
    Work,
    Own,
    Change,
    Even,
    Chain,
    Counting,
    Group,
    Every,
    Held,
    Skip,
    Leave,
    Repeat,
    Join,
    Attach,
    Colour,
    Loops,
    Sign,
    Made,
    Note,
    LikeRow,
]


@dataclass(frozen=True)
class Count:
    """One count written at a row's end: "24 dc", "12 ch-1 sps", "(36)".

    `what` is "stitch" (a kind), "sts" (all stitches), "ch", "space", "group" or "other".
    """

    n: Number
    what: str
    stitch: StitchKind | None = None
    size: int | None = None
    name: str = ""
    span: Span = NO_SPAN


@dataclass(frozen=True)
class RowText:
    """One row as written: its header, its items, its counts.

    Attributes:
        first, last: row numbers, per size; both None for words without a header
            (a beginning, "Fasten off"). `count` is for "Next 5 rows".
        listed: numbers of a header list ("5th, 7th and 9th rnds").
        side: "RS", "WS" or "".
        readable: False where some words could not be read.
        label: its name ("increase" for "Inc row:"), by which later words may call it.
        form: "rows" or "rounds", in a part that is worked in both; else "".
        counts_at: number of the row its counts are said for; 0 for the last of a range.
    """

    first: Number | None
    last: Number | None
    items: tuple[Item, ...]
    counts: tuple[Count, ...]
    span: Span
    header: Span
    side: str = ""
    next_rows: Number | None = None
    listed: tuple[Number, ...] = ()
    readable: bool = True
    counts_span: Span = NO_SPAN
    counts_at: int | None = None
    label: str = ""
    form: str = ""
    only_sizes: tuple[int, ...] = ()


@dataclass(frozen=True)
class PartText:
    piece: int
    part: int
    worked: Literal["rounds", "rows"]
    rows: tuple[RowText, ...]


@dataclass(frozen=True)
class Instructions:
    """The rows of a pattern, part by part, and what could not be read; `defined` are the names of the stitches that its
    rows define."""

    parts: tuple[PartText, ...]
    terms: str
    own: dict[str, Own] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    defined: tuple[str, ...] = ()
