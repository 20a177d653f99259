"""The grammar of a row's body, by recursive descent. `grammar.ebnf` holds it written out.

Each function reads one production and returns a node of the tree. Words that cannot
be read raise `Unreadable`; `body` notes the problem and goes on after the next comma,
semicolon or bracket, so that one run shows every fault.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace

from chartgen.notation import (
    asides,
    chain_words,
    changes,
    counting,
    endings,
    even_words,
    filet,
    joining,
    last_row,
    likeness,
    made_here,
    one_place,
    passed_over,
    place_first,
    repeats,
    shared,
    signs,
    starting,
    stitch_words,
    working,
)
from chartgen.notation.ahead import INTO, closes, only_closes, place_ahead, sentence
from chartgen.notation.by_turns import by_turns
from chartgen.notation.corner_runs import meet_in_corners
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names, take_loop
from chartgen.notation.places import wheres
from chartgen.notation.told_here import told_here
from chartgen.notation.told_in_brackets import told_in_brackets
from chartgen.notation.tree import (
    Chain,
    Colour,
    Count,
    Counting,
    Even,
    Group,
    Item,
    LikeRow,
    Loops,
    Made,
    Note,
    Number,
    Own,
    Repeat,
    Sign,
    Skip,
    Where,
    Work,
)
from chartgen.notation.words import vocabulary
from chartgen.problems import Problem, Span
from chartgen.stitches import StitchKind, registry


@dataclass
class Body:
    """What `body` has read so far of one row."""

    items: list[Item] = field(default_factory=list)
    counts: tuple[Count, ...] = ()
    counts_span: Span = Span(0, 0)
    counts_at: int | None = None
    problems: list[Problem] = field(default_factory=list)
    marks: list[repeats.Mark] = field(default_factory=list)
    held: int | None = None
    pair: tuple[Item, ...] = ()
    end_mark: int | None = None  # the item of the repeat read last before which its ** stands
    start: Where | None = None
    by_and: int = -1  # the item that "and" led to
    clause: int = 0  # the item that a new clause begins with
    spread: tuple[Number, int] | None = None


class RowReader:
    """Reads bodies with one pattern's names and yarns."""

    def __init__(self, names: Names, yarns: dict[str, str], sizes: int) -> None:
        self.names, self.yarns, self.sizes = names, yarns, sizes
        self.keywords = tuple(word for word in _BY_WORD if word not in _SO_ON)
        self.recent: StitchKind | None = None  # the stitch named last in this row, for "inc" and "dec"
        self.usual: StitchKind | None = None  # that of the rows before
        self.backwards = False  # this row is worked from left to right
        self.mesh: filet.Mesh | None = None  # a space of filet, as a row has shown it
        self.defined: list[str] = []  # names of the stitches that are defined among the rows

    def usual_stitch(self) -> StitchKind:
        """What is worked where no stitch is named: that of this row, of the rows before, or sc."""
        return self.recent or self.usual or registry().kind("single_crochet")

    def new_row(self) -> None:
        """What was worked so far is the usual stitch of the row that begins."""
        self.recent, self.usual, self.backwards = None, self.recent or self.usual, False

    def as_worked(self, stitch: StitchKind | Own) -> StitchKind | Own:
        """A single crochet worked from left to right is the reverse (crab) stitch."""
        low = isinstance(stitch, StitchKind) and stitch.id == "single_crochet"
        return registry().kind("reverse_single") if self.backwards and low else stitch

    # ---- the body of a row ------------------------------------------------------

    def body(self, cursor: Cursor) -> Body:
        """Everything up to the end of `cursor`."""
        read = Body()
        while not cursor.done:
            if sign := cursor.take_any(",", ";", ".", "and then", "then", "and", ":", "-", "=", "&", *_MANNER):
                read.by_and = len(read.items) if sign in ("and", "&") else read.by_and
                read.clause = len(read.items) if sign in (";", ".", ":") else read.clause
                continue
            try:
                self.one(cursor, read)
            except Unreadable as fault:
                if not (_label(cursor, read, fault) or asides.remark(self, cursor, read.items)):
                    _note_fault(cursor, read, fault)
        repeats.close_marks(read)
        return read

    def one(self, cursor: Cursor, read: Body) -> None:
        """The next clause, put behind what `read` holds. Raises Unreadable."""
        token = cursor.peek()
        if (told := told_here(self, cursor)) is not None:
            return read.items.append(told)
        if made_here.tells(self, cursor, read):
            return None
        if told_in_brackets(self, cursor, read):
            return None
        if (turns := by_turns(self, cursor, read)) is not None:
            return read.items.extend(turns)
        token = cursor.peek()
        if token.text.startswith("*"):
            return repeats.star(self, cursor, read)
        if shared.rate_told(self, cursor, read):
            return None
        if (widened := changes.two_in_every(self, cursor, read)) is not None:
            return read.items.extend(widened)
        if token.word in ("(", "[", "{"):
            return self._bracket(cursor, read)
        if self._sentence_of_counts(cursor, read):
            return None
        if self._loop_for_bracket(cursor, read):
            return None
        reader = _BY_WORD.get(token.word) if token.kind == "word" else likeness.rows_too if token.kind == "ordinal" else None
        if reader:
            found = reader(self, cursor, read)
            if found is not None:
                read.items.extend(found)
                meet_in_corners(read)
                return None
        read.items.extend(self._begun(read, stitch_words.worked(self, cursor)))
        meet_in_corners(read)
        return None

    def _loop_for_bracket(self, cursor: Cursor, read: Body) -> bool:
        """ "FLO (sc 3, inc) x 3": the loop holds for all in the bracket; "FLO: …" for the row."""
        start = cursor.at
        loop = take_loop(cursor)
        if loop and ((lasts := signs.from_now_on(cursor)) or cursor.take(":")):
            read.items.append(Loops(loop, lasts, span=cursor.span_from(start)))
            return True
        if not loop or cursor.peek().word not in ("(", "["):
            cursor.at = start
            return False
        read.items.append(Loops(loop, span=cursor.span_from(start)))
        self._bracket(cursor, read)
        read.items.append(Loops("", span=cursor.span_from(start)))
        return True

    @staticmethod
    def _begun(read: Body, items: list[Item]) -> list[Item]:
        """ "starting in 2nd ch from hook, sc in each ch": the stitch begins there."""
        if items and made_here.begun_already(items[0], read.items):
            read.items.pop()
        if items:
            items[0] = starting.on_its_chain(items[0], read.items)
        if read.start is not None and items and isinstance(items[0], Work):
            items[0] = starting.from_there(items[0], read.start)
            read.start = None
        if read.spread is not None and items and isinstance(items[0], Work):
            items[0] = replace(items[0], change=read.spread[0], by=read.spread[1])
            read.spread = None
        return items

    def _sentence_of_counts(self, cursor: Cursor, read: Body) -> bool:
        """A last sentence that only counts: "… turn. 30 sts."""
        lead = cursor.peek().text in ("you", "making", "there", "this", "total", "in")
        if not read.items or not (lead or cursor.peek().kind == "number"):
            return False
        whole = cursor.peek(-1).word == "," and isinstance(read.items[-1], (Even, LikeRow))      # "Dec 1 sc at each end, 36 sc."
        if not lead and not whole and cursor.peek(-1).word not in (".", "-", "=", ")", "]", ":"):
            return False
        said = sentence(cursor)
        aside = next((k for k, t in enumerate(said) if k and t.word == "(" and said[k - 1].kind != "number"), len(said))
        rest = Cursor(said[:aside], self.sizes)
        past = cursor.at + len(rest.tokens)
        found = counting.counts(rest, self.names)
        if not found or any(c.what == "other" for c in found[0]) or not only_closes(cursor.tokens[past:]):
            return False
        _keep_counts(read, found, Span(cursor.peek().start, cursor.tokens[past - 1].end))
        cursor.at = past
        return True

    # ---- brackets ---------------------------------------------------------------

    def _bracket(self, cursor: Cursor, read: Body) -> None:
        start, opener = cursor.at, cursor.peek()
        end = cursor.matching()
        if end is None:
            self._counts_at_end(cursor, read)
            raise Unreadable(
                opener,
                f'the bracket "{opener.text}" is never closed',
                f'write "{ {"(": ")", "[": "]", "{": "}"}[opener.word] }" where it ends',
                "N202",
            )
        inner = cursor.inside(end)
        one_place.all_in_one(cursor)
        if repeats.times_ahead(cursor) or place_ahead(cursor):
            read.items.append(self._worked_bracket(cursor, inner, read, start))
            meet_in_corners(read)
            return
        if len(inner.tokens) > 3 and inner.tokens[-1].word == "times" and inner.tokens[-2].kind == "number":
            read.items.append(self._counted_inside(inner, read, cursor.span_from(start)))
            return
        if (name := made_here.named_inside(inner.tokens))[0]:
            return self._made_inside(inner, name, read)
        self._said(inner, read, cursor.span_from(start), cursor)

    def repeated(self, cursor: Cursor, read: Body) -> Item | None:
        """A bracket with how often it is worked; None, and nothing gone past, for any other."""
        start, end = cursor.at, cursor.matching()
        inner = cursor.inside(end) if end is not None else None
        if inner is None or not repeats.times_ahead(cursor):
            cursor.at = start
            return None
        return self._worked_bracket(cursor, inner, read, start)

    def _made_inside(self, inner: Cursor, name: tuple[int, str], read: Body) -> None:
        """ "(ch 3, sl st in 3rd ch from hook: picot made)": worked here, and known by that name from here on."""
        content = self.body(Cursor(inner.tokens[: name[0]], self.sizes))
        read.problems.extend(content.problems)
        read.items.extend(content.items)
        made_here.note(self.names, name[1], content.items)
        read.items.append(Made(name[1]))

    def _counts_at_end(self, cursor: Cursor, read: Body) -> None:
        """A row whose bracket is left open still says its count at its end."""
        tokens = cursor.tokens
        while tokens and tokens[-1].word in (".", "turn", ","):
            tokens = tokens[:-1]
        opener = next(
            (i for i in range(len(tokens) - 1, cursor.at, -1) if tokens[i].word in ("(", "[", "{")), None
        )
        if opener is None or not tokens[-1].word in (")", "]", "}"):
            return
        found = counting.counts(Cursor(tokens[opener + 1 : -1], self.sizes), self.names)
        if found:
            _keep_counts(read, found, Span(tokens[opener].start, tokens[-1].end))

    def _worked_bracket(self, cursor: Cursor, inner: Cursor, read: Body, start: int) -> Item:
        content = self.body(inner)
        read.problems.extend(content.problems)
        items = tuple(content.items)
        if repeats.times_ahead(cursor):
            repeat = repeats.bracket(self, cursor, items, start)
            if any(getattr(i, "where", ()) for i in items) or not place_ahead(cursor):
                return repeat
            items = (repeat,)                                # "(dc, ch 1) 7 times in next sp"
            one_place.all_in_one(cursor)
        cursor.take_any(*INTO)
        places = wheres(cursor, self.names)
        return Group(items, places, cursor.span_from(start))

    def _counted_inside(self, inner: Cursor, read: Body, span: Span) -> Item:
        """ "(3 ch, skip 2, 1 sc 5 times)": the count stands inside the bracket."""
        times = Number((inner.tokens[-2].value,), inner.tokens[-2].span)
        content = self.body(Cursor(inner.tokens[:-2], self.sizes))
        read.problems.extend(content.problems)
        return Repeat(tuple(content.items), times, span=span, times_span=times.span)

    def _said(self, inner: Cursor, read: Body, span: Span, outer: Cursor) -> None:
        """A bracket that says something: a count, what a chain counts as, a note."""
        for part in (parts := counting.parted(inner, self.names)):
            self._said(part, read, span, outer)
        if parts:
            return
        said = counting.counting(inner, self.names)
        if said:
            self._attach_counting(read, replace(said, span=span))
            return
        inner.at = 0
        if len(inner.tokens) == 1 and inner.peek().word in ("right_side", "wrong_side"):
            return
        while inner.tokens and inner.tokens[-1].word == ".":
            inner.tokens.pop()
        named = inner.tokens[-1:] and inner.tokens[-1].text == "made" or made_here.names_one(inner.tokens)
        on_the_way = named and not only_closes(outer.tokens[outer.at :])
        found = None if on_the_way else counting.counts(inner, self.names)      # "(1 cluster made), ch 7, …"
        if found and (read.items or read.problems):
            _keep_counts(read, found, span)
            if counting.counts_chain(inner):
                _chain_counts(read, found[0][0])
            return
        inner.at = 0
        if inner.peek().word == "leave":
            read.items.extend(signs.leave(self, inner, read))
            return
        if made := made_here.made_said(inner.tokens):
            made_here.note(self.names, made, read.items)
            read.items.append(Made(made, span, " ".join(t.text for t in inner.tokens)))
            return
        if closes(outer) or any(t.kind == "word" for t in inner.tokens):
            read.items.append(Note(" ".join(t.text for t in inner.tokens), span))

    @staticmethod
    def _attach_counting(read: Body, said: counting.Counting) -> None:
        last = read.items[-1] if read.items else None
        if isinstance(last, Chain) and last.said is None:
            read.items[-1] = replace(last, said=said)
        elif isinstance(last, Skip) or isinstance(last, Work) and any(w.which == "hook" for w in last.where):
            read.items[-1] = (
                replace(
                    last,
                    counts_said=said.counts,
                    chains_said=said.chains if said.counts or said.chains else None,
                )
                if isinstance(last, Work)
                else replace(last, counts_said=said.counts)
            )
        else:
            read.items.append(said)


def _keep_counts(read: Body, found: tuple[tuple[Count, ...], int | None], span: Span) -> None:
    read.counts, read.counts_at = found
    read.counts_span = span


def _chain_counts(read: Body, count: Count) -> None:
    """ "(20 dc counting ch-3)": the chain that the row begins with is one of them."""
    at = next((k for k, item in enumerate(read.items) if not isinstance(item, (Sign, Note, Colour))), 0)
    chain = read.items[at] if read.items else None
    if isinstance(chain, Chain) and chain.said is None and count.stitch and chain.count.values[0] == count.stitch.turning_chain > 1:
        read.items[at] = replace(chain, said=Counting(True, count.stitch, span=chain.span))


def _label(cursor: Cursor, read: Body, fault: Unreadable) -> bool:
    """ "Sides:", "Hanger loop: ch 12 …": words that name what follows, at the start of a line; "Rwo:" is a slip."""
    colon = next((k for k, t in enumerate(cursor.tokens[:5]) if t.word == ":"), 0)
    words = cursor.tokens[:colon]
    if read.items or _meant_row(fault.token.text) or fault.token not in words or any(t.kind not in ("word", "ordinal") for t in words):
        return False
    read.items.append(Note(" ".join(t.text for t in words), Span(words[0].start, cursor.tokens[colon].end)))
    cursor.at = colon + 1
    return True


def _meant_row(word: str) -> bool:
    """ "Rwo", "roud": the letters of "row" or "round" in another order, or with one left out."""
    letters = Counter(word)
    return any(len(said) - len(word) in (0, 1) and letters <= Counter(said) for said in ("row", "rows", "round", "rounds", "rnd", "rnds"))


def _note_fault(cursor: Cursor, read: Body, fault: Unreadable) -> None:
    if not any(p.code == "N202" for p in read.problems):
        read.problems.append(Problem(fault.code, "error", fault.message, fault.span, fault.help))
    if fault.code == "N202":
        cursor.at += 1
        return
    before = cursor.at
    while not cursor.done and cursor.peek().word not in (",", ";", ".", "(", "["):
        cursor.at += 1
    if cursor.at == before:
        cursor.at += 1


# How the yarn is held; it changes no stitch.
_MANNER = ("very loosely", "loosely", "tightly", "firmly", "snugly", "neatly", "carefully")

_SO_ON = tuple(words.split()[0] for words in repeats.AND_SO_ON)     # no other word is a slip for these

_BY_WORD = {
    **{phrase.split()[0]: asides.kept for phrase in vocabulary()["prose"] if " " not in phrase},
    "ch": chain_words.chain_note,
    "skip": passed_over.skip,
    "join": joining.join,
    "close": joining.closes_with,
    "across": joining.along_foundation,
    "with": joining.colour,
    "change": joining.colour,
    "changing": joining.colour,
    "switch": joining.colour,
    "pick": joining.colour,
    "turn": signs.turn,
    "without": signs.without,
    "do": signs.do_not,
    "don't": signs.do_not,
    "fasten": joining.fasten,
    "tie": joining.fasten,
    "finish": signs.off,
    "break": signs.off,
    "end": signs.off,
    "f": signs.off,
    "fo": signs.off,
    "working": working.working,
    "in": signs.loops,
    "along": signs.far_side,
    "down": signs.far_side,
    "over": place_first.place_first,
    "leave": signs.leave,
    "sl": joining.slip,
    "ss": joining.slip,
    "slip": joining.slip,
    "magic": signs.make_ring,
    "mr": signs.make_ring,
    "adjustable": signs.make_ring,
    "form": signs.make_ring,
    "wind": signs.wound_ring,
    "spiral": signs.spiral,
    "repeat": repeats.repeat,
    **dict.fromkeys(_SO_ON, repeats.repeat),
    "row": likeness.rows_too,
    "round": likeness.rows_too,
    "same": likeness.like,
    "as": likeness.like,
    "like": likeness.like,
    "using": joining.colour,
    "ending": endings.ends_with,
    "being": asides.aside,
    "behind": asides.aside,
    "drop": signs.dropped,
    "remove": signs.dropped,
    "pull": asides.aside,
    "insert": asides.aside,
    "inserting": asides.aside,
    "fold": asides.aside,
    "folding": asides.aside,
    "but": asides.aside,
    "to": asides.purpose,
    "for": asides.sampled,
    "sample": asides.sampled,
    "all": asides.all_worked,
    "having": asides.having,
    "instead": asides.instead,
    "measuring": asides.aside,
    "stuffing": asides.aside,
    "filling": asides.aside,
    "cast": signs.cast,
    "taking": asides.aside,
    "omit": last_row.omitted,
    "omitting": last_row.omitted,
    "place": asides.marker,
    "divide": asides.marker,
    "move": asides.marker,
    "mark": asides.marker,
    "marking": asides.marker,
    "pm": asides.marker,
    "at": asides.at_end,
    "always": working.always,
    "be": asides.kept,
    "the": asides.the_last_one,
    "even": even_words.work_even,
    "pass": passed_over.skip,
    "alternate": repeats.repeat,
    "alternately": repeats.repeat,
    "rotate": working.working,
    "continue": working.working,
    "begin": starting.starting,
    "starting": starting.starting,
    "start": starting.starting,
    "increase": changes.changing,
    "decrease": changes.changing,
    "hold": signs.hold,
    "holding": signs.hold,
    "keeping": signs.hold,
    "leaving": signs.hold,
    "yo": signs.close,
    "thread": signs.over,
    "wool": signs.over,
    "cotton": signs.over,
    "yarn": signs.close,
    "yrh": signs.close,
    "draw": signs.close,
}
