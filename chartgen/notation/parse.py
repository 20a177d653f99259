"""The grammar of a row's body, by recursive descent. `grammar.ebnf` holds it written out.

Each function reads one production and returns a node of the tree. Words that cannot
be read raise `Unreadable`; `body` notes the problem and goes on after the next comma,
semicolon or bracket, so that one run shows every fault.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from chartgen.notation import counting, repeats
from chartgen.notation.cursor import Cursor, Unreadable
from chartgen.notation.names import Names, plain, take_loop
from chartgen.notation.places import unsaid, wheres
from chartgen.notation.tree import (
    Attach,
    Chain,
    Change,
    Colour,
    Count,
    Even,
    Group,
    Held,
    Item,
    Join,
    Leave,
    LikeRow,
    Loops,
    Made,
    Note,
    Number,
    ONE,
    Own,
    Repeat,
    Sign,
    Skip,
    Where,
    Work,
)
from chartgen.notation.words import Token, vocabulary
from chartgen.problems import Problem, Span, near
from chartgen.stitches import StitchKind, registry

_TO_DEFINE = {
    "cluster": "3 dc in same st, yo and draw through all loops", "cl": "dc3tog in same st",
    "shell": "5 dc in same st", "fan": "(3 dc, ch 1, 3 dc) in same st", "v": "(dc, ch 1, dc) in same st",
    "picot": "ch 3, sl st in first of these 3 ch", "scallop": "5 dc in same st",
}
_ENDS = (",", ";", ".", ":", "end")
_INTO = ("in", "over", "around", "between", "under", "behind")


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
    start: Where | None = None


class RowReader:
    """Reads bodies with one pattern's names and yarns."""

    def __init__(self, names: Names, yarns: dict[str, str], sizes: int) -> None:
        self.names, self.yarns, self.sizes = names, yarns, sizes

    # ---- the body of a row ------------------------------------------------------

    def body(self, cursor: Cursor) -> Body:
        """Everything up to the end of `cursor`."""
        read = Body()
        while not cursor.done:
            if cursor.take_any(",", ";", ".", "and then", "then", "and", ":", "-", "=", "&"):
                continue
            try:
                self._one(cursor, read)
            except Unreadable as fault:
                _note_fault(cursor, read, fault)
        repeats.close_marks(read)
        return read

    def _one(self, cursor: Cursor, read: Body) -> None:
        token = cursor.peek()
        if token.text.startswith("*"):
            return repeats.star(self, cursor, read)
        if token.word in ("(", "[", "{"):
            return self._bracket(cursor, read)
        if self._sentence_of_counts(cursor, read):
            return None
        if self._loop_for_bracket(cursor, read):
            return None
        reader = _BY_WORD.get(token.word) if token.kind == "word" else None
        if reader:
            found = reader(self, cursor, read)
            if found is not None:
                read.items.extend(found)
                return None
        read.items.extend(self._begun(read, self._worked(cursor)))
        return None

    def _loop_for_bracket(self, cursor: Cursor, read: Body) -> bool:
        """"FLO (sc 3, inc) x 3": the loop holds for all in the bracket."""
        start = cursor.at
        loop = take_loop(cursor)
        if not loop or cursor.peek().word not in ("(", "["):
            cursor.at = start
            return False
        read.items.append(Loops(loop, cursor.span_from(start)))
        self._bracket(cursor, read)
        read.items.append(Loops("", cursor.span_from(start)))
        return True

    @staticmethod
    def _begun(read: Body, items: list[Item]) -> list[Item]:
        """"starting in 2nd ch from hook, sc in each ch": the stitch begins there."""
        if read.start is not None and items and isinstance(items[0], Work):
            items[0] = replace(items[0], where=(read.start, *items[0].where))
            read.start = None
        return items

    def _sentence_of_counts(self, cursor: Cursor, read: Body) -> bool:
        """A last sentence that only counts: "… turn. 30 sts."""
        lead = cursor.peek().text in ("you", "making", "there", "total", "in")
        if not read.items or not (lead or cursor.peek().kind == "number"):
            return False
        if not lead and cursor.peek(-1).word not in (".", "-", ")", "]"):
            return False
        rest = Cursor(_sentence(cursor), self.sizes)
        past = cursor.at + len(rest.tokens)
        found = counting.counts(rest, self.names)
        if not found or any(c.what == "other" for c in found[0]) or not _only_closes(cursor.tokens[past:]):
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
            raise Unreadable(opener, f'the bracket "{opener.text}" is never closed',
                             f'write "{ {"(": ")", "[": "]", "{": "}"}[opener.word] }" where it ends', "N202")
        inner = cursor.inside(end)
        if repeats.times_ahead(cursor) or _place_ahead(cursor):
            read.items.append(self._worked_bracket(cursor, inner, read, start))
            return
        if len(inner.tokens) > 3 and inner.tokens[-1].word == "times" and inner.tokens[-2].kind == "number":
            read.items.append(self._counted_inside(inner, read, cursor.span_from(start)))
            return
        self._said(inner, read, cursor.span_from(start), cursor)

    def _counts_at_end(self, cursor: Cursor, read: Body) -> None:
        """A row whose bracket is left open still says its count at its end."""
        tokens = cursor.tokens
        while tokens and tokens[-1].word in (".", "turn", ","):
            tokens = tokens[:-1]
        opener = next((i for i in range(len(tokens) - 1, cursor.at, -1) if tokens[i].word in ("(", "[", "{")), None)
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
            return repeats.bracket(self, cursor, items, start)
        cursor.take_any(*_INTO)
        places = wheres(cursor, self.names)
        return Group(items, places, cursor.span_from(start))

    def _counted_inside(self, inner: Cursor, read: Body, span: Span) -> Item:
        """"(3 ch, skip 2, 1 sc 5 times)": the count stands inside the bracket."""
        times = Number((inner.tokens[-2].value,), inner.tokens[-2].span)
        content = self.body(Cursor(inner.tokens[:-2], self.sizes))
        read.problems.extend(content.problems)
        return Repeat(tuple(content.items), times, span=span, times_span=times.span)

    def _said(self, inner: Cursor, read: Body, span: Span, outer: Cursor) -> None:
        """A bracket that says something: a count, what a chain counts as, a note."""
        said = counting.counting(inner, self.names)
        if said:
            self._attach_counting(read, replace(said, span=span))
            return
        inner.at = 0
        if len(inner.tokens) == 1 and inner.peek().word in ("right_side", "wrong_side"):
            return
        while inner.tokens and inner.tokens[-1].word == ".":
            inner.tokens.pop()
        found = counting.counts(inner, self.names)
        if found and (read.items or read.problems):
            _keep_counts(read, found, span)
            return
        inner.at = 0
        made = next((i for i, t in enumerate(inner.tokens) if t.text == "made"), None)
        if made is not None and 0 < made <= 4:
            name = " ".join(t.word or t.text for t in inner.tokens[:made] if t.word not in ("first", "the", "a") and t.kind == "word")
            read.items.append(Made(plain(name), span, " ".join(t.text for t in inner.tokens)))
            return
        if _closes(outer) or any(t.kind == "word" for t in inner.tokens):
            read.items.append(Note(" ".join(t.text for t in inner.tokens), span))

    @staticmethod
    def _attach_counting(read: Body, said: counting.Counting) -> None:
        last = read.items[-1] if read.items else None
        if isinstance(last, Chain) and last.said is None:
            read.items[-1] = replace(last, said=said)
        elif isinstance(last, Skip) or isinstance(last, Work) and any(w.which == "hook" for w in last.where):
            read.items[-1] = replace(last, counts_said=said.counts, chains_said=said.chains if said.counts and isinstance(last, Work) else None) if isinstance(last, Work) else replace(last, counts_said=said.counts)
        else:
            read.items.append(said)

    # ---- stitches ---------------------------------------------------------------

    def _worked(self, cursor: Cursor) -> list[Item]:
        """[number] stitch [place]; or "in next sp make …" with the place first."""
        start = cursor.at
        cursor.skip_filler()
        loop = take_loop(cursor)
        if cursor.sees("last") and self._names_stitch(cursor, 1):
            cursor.take("last")
        count = None if _name_has_number(cursor, self.names) else cursor.number()
        cursor.take("-")
        cursor.skip_filler()
        loop = loop or take_loop(cursor)
        cursor.take_any("long", "spike", "complete", "standing")
        if cursor.sees("ch") and count is not None:
            cursor.take("ch")
            return [Chain(count, cursor.span_from(start))]
        stitch = self._stitch(cursor, count)
        if isinstance(stitch, Change):
            return [self._change(cursor, stitch, count, start)]
        loop = loop or take_loop(cursor)
        if count is None and cursor.peek().kind == "number" and not _times_after_number(cursor):
            count = cursor.number()
        if count is None:
            count = repeats.times_word(cursor)
        loop = loop or take_loop(cursor)
        if change := _change_after(cursor):
            return [self._change(cursor, Change(ONE, change, None if isinstance(stitch, Own) else stitch), count, start)]
        if (closed := self._next_together(cursor, stitch, start)) is not None:
            return [closed]
        return [self._placed(cursor, stitch, count or ONE, start, loop, said=count is not None)]

    def _next_together(self, cursor: Cursor, stitch, start: int) -> Item | None:
        """"sc next 2 sts tog": a decrease."""
        at = cursor.at
        cursor.take("in")
        if isinstance(stitch, StitchKind) and cursor.take("next"):
            number = cursor.number()
            cursor.take("st") or self.names.take(cursor)
            if number is not None and cursor.take("together") and 2 <= number.values[0] <= 12:
                kind = registry().made("together", stitch.base, number.values[0])
                span = cursor.span_from(start)
                return Work(ONE, kind, (Where("next", _ANY, n=number, span=span),), span)
        cursor.at = at
        return None

    def _names_stitch(self, cursor: Cursor, ahead: int) -> bool:
        cursor.at += ahead
        found = self.names.at(cursor)[0]
        cursor.at -= ahead
        return found is not None

    def _stitch(self, cursor: Cursor, count: Number | None):
        if change := _change_after(cursor):
            return Change(ONE, change, None)
        if cursor.sees("st") and count is not None:
            raise Unreadable(cursor.peek(), f'which stitch is meant by "{cursor.peek(-1).text} {cursor.peek().text}"?',
                             'name the stitch: "dc in each of next 3 sts"')
        found = self.names.take(cursor)
        if found is None:
            raise self._unknown(cursor)
        return found

    def _unknown(self, cursor: Cursor) -> Unreadable:
        token = cursor.peek()
        if token.kind == "end":
            return Unreadable(cursor.peek(-1), "a stitch is missing at the end of the row",
                              'say what is worked, for instance "sc in next st"')
        if token.word in _TO_DEFINE:
            return Unreadable(token, f'"{token.text}" is not defined in this pattern',
                              f'say under "stitches:" how it is made, for instance "{token.text}: {_TO_DEFINE[token.word]}"')
        if other := self.names.other_terms(token.text):
            return Unreadable(token, f'"{token.text}" is no stitch in {self.names.terms} terms; it is one in {other} terms',
                              f'if the rows are written in {other} terms, say "terms: {other}"', "N206")
        close = near(token.text, [*self.names.known, *_BY_WORD, "ch", "skip", "join", "turn"])
        hint = f'perhaps "{close[0]}"' if close else (
            'if it is a stitch of your own, define it under "stitches:"' if token.kind == "word" else ""
        )
        return Unreadable(token, f'"{token.text}" is no stitch or instruction known here', hint, "N201")

    def _placed(self, cursor: Cursor, stitch, count: Number, start: int, loop: str, said: bool) -> Item:
        places: tuple[Where, ...] = ()
        evenly = bool(cursor.take_any("evenly", "even", "evenly spaced"))
        parted = self._parted(cursor)
        if _place_ahead(cursor):
            if not cursor.sees("between"):
                cursor.take_any(*_INTO, "across", "along", "down", "up")
            places = wheres(cursor, self.names)
        elif (each := unsaid(cursor, self.names)) is not None:
            places = (each,)
        evenly = evenly or bool(cursor.take_any("evenly spaced", "evenly"))
        down = max((w.down for w in places), default=0)
        span = cursor.span_from(start)
        if parted is not None and not isinstance(stitch, Own):
            one = Work(ONE, stitch, (), span, loop)
            many = [one, *(x for _ in range(count.values[0] - 1) for x in (parted, one))]
            return Group(tuple(many), places or (Where("next", _ANY),), span)
        if isinstance(stitch, Own):
            return replace(stitch, count=count, where=places, span=span)
        return Work(count, stitch, places, span, loop, down, evenly=evenly)

    def _parted(self, cursor: Cursor) -> Chain | None:
        """"2 dc divided by 3 ch in next st": the chains between."""
        start = cursor.at
        if cursor.take_any("divided by", "separated by", "with"):
            number = cursor.number()
            if number is None and cursor.take("ch"):
                cursor.take("-")
                number = cursor.number()
            elif number is not None and not cursor.take("ch"):
                number = None
            if number is not None and (cursor.take("between") or True):
                return Chain(number, cursor.span_from(start))
        cursor.at = start
        return None

    def _change(self, cursor: Cursor, change: Change, count: Number | None, start: int) -> Item:
        places: tuple[Where, ...] = ()
        if _place_ahead(cursor):
            cursor.take_any(*_INTO)
            places = wheres(cursor, self.names)
        count = count or repeats.times_word(cursor)
        return replace(change, count=count or ONE, where=places, span=cursor.span_from(start))

    # ---- words that are not stitches ---------------------------------------------

    def _chain(self, cursor: Cursor, read: Body) -> list[Item] | None:
        start = cursor.at
        cursor.take("ch")
        cursor.take_any("of", "a", "-")
        count = cursor.number()
        if count is None:
            if _closes(cursor):
                return [Chain(ONE, cursor.span_from(start))]
            cursor.at = start
            return None
        cursor.take_any("ch", "st")
        return [Chain(count, cursor.span_from(start))]

    def _skip(self, cursor: Cursor, read: Body) -> list[Item]:
        start = cursor.at
        if not cursor.take_any("skip", "pass over", "pass"):
            return []
        if _closes(cursor):
            return [Skip((Where("next", _ANY),), cursor.span_from(start))]
        cursor.skip_filler()
        if cursor.peek().kind == "number" and _closes(cursor, 1):
            return [Skip((Where("next", _ANY, n=cursor.number() or ONE),), cursor.span_from(start))]
        places = wheres(cursor, self.names)
        behind = bool(cursor.take_any("behind it", "behind them"))
        if behind:
            pass
        elif cursor.take("behind"):
            wheres(cursor, self.names)
        if cursor.take_any("for", "count", "counts"):
            while not _closes(cursor):
                cursor.next()
        return [Skip(places, cursor.span_from(start), behind=behind)]

    def _join(self, cursor: Cursor, read: Body) -> list[Item]:
        start = cursor.at
        cursor.take("join")
        colour = self._yarn(cursor)
        stitch, place, ring = None, None, False
        anew = bool(cursor.take("yarn")) or bool(colour)
        while not _closes(cursor):
            if cursor.take_any("with", "by", "round"):
                cursor.skip_filler()
                colour = colour or self._yarn(cursor)
                stitch = self.names.take(cursor) or stitch
            elif cursor.take_any("to form", "form", "in a ring", "in ring", "for ring", "into ring"):
                cursor.skip_filler()
                cursor.take("ring")
                ring = True
            elif cursor.take_any("in", "to", "at", "around"):
                places = wheres(cursor, self.names)
                place = places[0]
            elif not cursor.take_any("it", "them", "both ends", "ends", "together", "here"):
                raise self._unknown(cursor)
        span = cursor.span_from(start)
        if isinstance(stitch, Own):
            stitch = stitch.closed
        if anew or colour:
            return [Attach(colour or None, place, stitch, span)]
        return [Join(place, ring, stitch, span)]

    def _yarn(self, cursor: Cursor) -> str:
        """A yarn of the pattern by key or name ("A", "colour B", "sage"), or ""."""
        start = cursor.at
        cursor.take_any("colour", "yarn", "new colour")
        key = self.yarns.get(cursor.peek().text, "")
        if key and cursor.peek().kind == "word":
            cursor.next()
            return key
        cursor.at = start
        return ""

    def _colour(self, cursor: Cursor, read: Body) -> list[Item] | None:
        start = cursor.at
        if any(t.word == "facing" for t in cursor.tokens[start : start + 6]):
            return self._marker(cursor, read)
        cursor.take_any("with", "change to", "change", "changing to", "switch to", "pick up", "using", "in")
        key = self._yarn(cursor)
        if not key:
            cursor.at = start
            if cursor.sees("with") and cursor.peek(1).kind == "word":
                raise Unreadable(cursor.peek(1), f'"{cursor.peek(1).text}" is no yarn of this pattern',
                                 "the yarns are " + ", ".join(sorted(set(self.yarns.values()))) if self.yarns else 'list the yarns under "yarn:"')
            return None
        if cursor.take("in"):
            cursor.take("last")
            cursor.skip_filler()
            self.names.take(cursor)
            cursor.take("st")
        return [Colour(key, cursor.span_from(start))]

    def _turn(self, cursor: Cursor, read: Body) -> list[Item]:
        token = cursor.next()
        if cursor.take("ch"):
            cursor.at -= 1
        return [Sign("turn", token.span)]

    def _without(self, cursor: Cursor, read: Body) -> list[Item] | None:
        start = cursor.at
        cursor.next()
        cursor.take_any("turn", "increase", "decrease", "join")
        word = cursor.peek(-1).word
        while not _closes(cursor):
            cursor.next()
        span = cursor.span_from(start)
        what = {"turn": "no turn", "join": "no join"}.get(word)
        return [Sign(what, span)] if what else [Note("", span)]

    def _do_not(self, cursor: Cursor, read: Body) -> list[Item] | None:
        start = cursor.at
        cursor.next()
        cursor.take("not")
        what = {"turn": "no turn", "join": "no join"}.get(cursor.peek().word)
        if what is None:
            return self._prose(cursor, start)
        cursor.next()
        more = [Sign("no turn", cursor.span_from(start))] if cursor.take_any("or turn", "and turn") else []
        return [Sign(what, cursor.span_from(start)), *more]

    def _off(self, cursor: Cursor, read: Body) -> list[Item] | None:
        start = cursor.at
        if not cursor.take_any("fasten off", "finish off", "end off", "break off", "bind off", "break", "f / o", "fo", "tie off", "cut"):
            return None
        colour = self._yarn(cursor)
        while not _closes(cursor):
            cursor.next()
        return [Sign("off", cursor.span_from(start), colour)]

    def _working(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"working in back loops only", "working down other side of chain", "work in a spiral"."""
        start = cursor.at
        if found := self._work_even(cursor, read):
            return found
        cursor.take("working")
        if cursor.sees("as") or cursor.sees("like"):
            return self._like(cursor, read)
        cursor.skip_filler()
        if cursor.sees("ch") and not cursor.sees("ch", "in"):
            return self._chain(cursor, read)
        cursor.at = start
        cursor.take("working")
        rest = [t.word for t in cursor.tokens[cursor.at :]]
        clause = rest[: next((i for i, w in enumerate(rest) if w in _ENDS or w in "([{"), len(rest))]
        sign = _sign_of(clause)
        if sign is None and clause[:1] and clause[0] in ("along", "down", "up", "across") and {"side", "edge", "ends"} & {t.text for t in cursor.tokens[cursor.at : cursor.at + len(clause)]}:
            cursor.at += len(clause)
            return [Note(" ".join(["working", *clause]), cursor.span_from(start))]
        if sign is None and {"front", "behind", "back"} & set(clause) and "loop" not in clause:
            cursor.at += len(clause)
            return [Note(" ".join(["working", *clause]), cursor.span_from(start))]
        if sign is None:
            cursor.at = start + 1
            if cursor.take_any("last", "first") or not _prose_clause(clause):
                return self._worked(cursor) if cursor.peek(-1).word in ("last", "first") else None
            return self._prose(cursor, start)
        cursor.at += len(clause)
        span = cursor.span_from(start)
        return [replace(sign, span=span)]

    def _starting(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"starting in 2nd ch from hook"; "beg ch-3" is a beginning chain."""
        start = cursor.at
        cursor.next()
        if cursor.sees("ch"):
            return self._chain(cursor, read)
        if cursor.take_any("in", "with"):
            read.start = wheres(cursor, self.names)[0]
            return []
        cursor.at = start
        return None

    def _evenly(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"…, increasing 4 sts evenly across": changes what the words before it work."""
        start = cursor.at
        if found := self._ends_changed(cursor, read):
            return found
        by = 1 if cursor.next().word == "increase" else -1
        number = cursor.number()
        cursor.take("more")
        cursor.take("st")
        last = read.items[-1] if read.items else None
        if number is None or not cursor.take_any("evenly spaced", "evenly") or not isinstance(last, Work):
            cursor.at = start
            return None
        cursor.take_any("across", "around", "spaced")
        read.items[-1] = replace(last, change=number, by=by, span=last.span.to(cursor.span_from(start)))
        return []

    def _loops(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"in back loops only," as a clause of its own; "in next sp make …"."""
        start = cursor.at
        cursor.next()
        cursor.skip_filler()
        if cursor.take_any("both loop", "both"):
            if _closes(cursor):
                return [Loops("", cursor.span_from(start))]
        loop = take_loop(cursor)
        if loop and _closes(cursor):
            return [Loops(loop, cursor.span_from(start))]
        cursor.at = start
        return self._place_first(cursor, read)

    def _place_first(self, cursor: Cursor, read: Body) -> list[Item]:
        start = cursor.at
        cursor.next()
        places = wheres(cursor, self.names)
        last = read.items[-1] if read.items else None
        if _closes(cursor) and isinstance(last, (Work, Own)) and last.where and cursor.peek().word != ":":
            read.items[-1] = replace(last, where=(*last.where, *places))
            return []
        cursor.take_any("working", ",", ":")
        cursor.take("working")
        items = self._list_in_place(cursor, read)
        return [Group(tuple(items), places, cursor.span_from(start))]

    def _list_in_place(self, cursor: Cursor, read: Body) -> list[Item]:
        """"tr, ch 3 and tr": up to "and X", or to the end of the clause."""
        if cursor.peek().word in ("(", "["):
            end = cursor.matching()
            if end is not None:
                content = self.body(cursor.inside(end))
                read.problems.extend(content.problems)
                return content.items
        items: list[Item] = []
        last = False
        while not cursor.done and not last:
            items.extend(self._chain(cursor, read) or [] if cursor.sees("ch") else self._worked(cursor))
            if cursor.sees(",", "and"):
                cursor.take(",")
            last = cursor.take("and")
            if last:
                items.extend(self._chain(cursor, read) or [] if cursor.sees("ch") else self._worked(cursor))
            elif not cursor.take(","):
                break
        return items

    def _leave(self, cursor: Cursor, read: Body) -> list[Item]:
        start = cursor.at
        cursor.next()
        cursor.skip_filler()
        cursor.take_any("remaining", "last", "next", "rest")
        cursor.skip_filler()
        number = cursor.number()
        stitch = self.names.take(cursor)
        while not _closes(cursor):
            cursor.next()
        what = Target("stitch", stitch) if isinstance(stitch, StitchKind) else None
        return [Leave(number, cursor.span_from(start), what)]

    def _slip(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"sl st to form a ring": a join; any other slip stitch is a stitch."""
        start = cursor.at
        found = self.names.take(cursor)
        if not (found and not isinstance(found, Own) and found.is_slip):
            cursor.at = start
            return None
        if cursor.take_any("to form", "together", "to join", "to make", "to close"):
            joined = cursor.peek(-1).word in ("join", "close")
            while not _closes(cursor):
                cursor.next()
            return [Join(None, not joined, None, cursor.span_from(start))]
        if cursor.take_any("to", "across to", "over to"):
            return [self._slipped(cursor, found, start)]
        if cursor.take_any("in", "around"):
            return [self._slipped(cursor, found, start)]
        cursor.at = start
        return None

    def _slipped(self, cursor: Cursor, slip: StitchKind, start: int) -> Item:
        """A slip stitch in a place; "to form a ring" after it makes it a join."""
        places = wheres(cursor, self.names)
        if cursor.take_any("to form", "forming", "to make"):
            while not _closes(cursor):
                cursor.next()
            return Join(places[0], True, None, cursor.span_from(start))
        cursor.take_any("to join", "to close")
        return Work(ONE, slip, places, cursor.span_from(start))

    def _make_ring(self, cursor: Cursor, read: Body) -> list[Item] | None:
        start = cursor.at
        cursor.take_any("working", "form", "begin with", "start with", "with")
        cursor.skip_filler()
        if not cursor.take_any("adjustable ring", "magic ring", "magic loop", "magic circle", "mr", "adjustable loop"):
            cursor.at = start
            return None
        return [Sign("adjustable ring", cursor.span_from(start))]

    def _spiral(self, cursor: Cursor, read: Body) -> list[Item]:
        start = cursor.at
        while not _closes(cursor):
            cursor.next()
        return [Sign("spiral", cursor.span_from(start))]

    def _hold(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"holding back the last loop of each tr": what follows is closed to one top."""
        start = cursor.at
        while not _closes(cursor):
            cursor.next()
        words = [t.word for t in cursor.tokens[start : cursor.at]]
        if "unworked" in words:
            cursor.at = start
            return self._leave(cursor, read)
        if "loop" not in words:
            return [Note(" ".join(words), cursor.span_from(start))]
        read.held = len(read.items)
        return []

    def _close(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"yo and draw through all loops on hook": closes what was held back."""
        start = cursor.at
        while not _closes(cursor):
            cursor.next()
        span = cursor.span_from(start)
        if read.held is None:
            return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), span)]
        held = tuple(read.items[read.held :])
        del read.items[read.held :]
        read.held = None
        return [Held(held, span)] if held else []

    def _repeat(self, cursor: Cursor, read: Body) -> list[Item] | None:
        return repeats.repeat(self, cursor, read)

    def _like(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"Same as 2nd row", "As Row 4", "Like 3rd round"."""
        start = cursor.at
        cursor.take_any("same", "like")
        if not (cursor.take("as") or cursor.peek(-1).word == "like"):
            cursor.at = start
            return None
        return self._row_reference(cursor, read, start)

    def _row_reference(self, cursor: Cursor, read: Body, start: int) -> list[Item] | None:
        rows = repeats.row_numbers(cursor)
        if not rows:
            cursor.at = start
            return None
        cursor.take(",")
        ending: tuple[Item, ...] = ()
        dropping = False
        if cursor.take_any("but end with", "but ending with", "ending with", "but end", "end with"):
            ending = tuple(self.body(_rest_of_sentence(cursor)).items)
        elif cursor.take_any("omitting", "but omit", "omit", "without"):
            dropping = True
            _rest_of_sentence(cursor)
        chains = self.other_chains(cursor)
        times = repeats.times_word(cursor)
        return [LikeRow(rows, times, ending, dropping, cursor.span_from(start), chains=chains)]

    def other_chains(self, cursor: Cursor) -> Number | None:
        """"but with ch 5 between", "having ch 4 between": the chains of the row told otherwise."""
        start = cursor.at
        cursor.take("but")
        if cursor.take_any("with", "having", "working"):
            cursor.take("ch")
            cursor.take("-")
            number = cursor.number()
            cursor.take("ch")
            if number is not None:
                while not _closes(cursor):
                    cursor.next()
                return number
        cursor.at = start
        return None

    def _prose(self, cursor: Cursor, start: int) -> list[Item]:
        while not cursor.done and cursor.peek().word not in (".", ";"):
            cursor.next()
        span = cursor.span_from(start)
        return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), span)]

    def _kept(self, cursor: Cursor, read: Body) -> list[Item] | None:
        return self._prose(cursor, cursor.at)

    def _marker(self, cursor: Cursor, read: Body) -> list[Item]:
        """"place marker" ends at the next comma; the row goes on after it."""
        start = cursor.at
        while not _closes(cursor):
            cursor.next()
        return [Note(" ".join(t.text for t in cursor.tokens[start : cursor.at]), cursor.span_from(start))]

    def _at_end(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"At end of last row, do not turn": kept as a note."""
        if cursor.sees("at", "end") or cursor.sees("at", "the", "end"):
            return self._prose(cursor, cursor.at)
        return None

    def _ends_changed(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"inc 1 st at each end of row", "dec 1 sc at beginning and end of row"."""
        start = cursor.at
        by = 1 if cursor.next().word == "increase" else -1
        number = cursor.number()
        stitch = None if cursor.take("st") else self.names.take(cursor)
        both = cursor.take_any("at each end", "each end", "at both ends", "at both end", "at begin and end", "at the begin and end", "at each side")
        if not both or number is None and stitch is None:
            cursor.at = start
            return None
        while not _closes(cursor):
            cursor.next()
        last = read.items[-1] if read.items else None
        if isinstance(last, Work) and last.where and last.where[0].which == "each":
            read.items.pop()
            stitch = stitch or last.stitch
        return [Even(stitch if isinstance(stitch, StitchKind) else None, by * (number.values[0] if number else 1), cursor.span_from(start))]

    def _work_even(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"work even", "work even in sc"."""
        start = cursor.at
        if not cursor.take_any("working even", "even"):
            return None
        stitch = None
        if cursor.take("in"):
            found = self.names.take(cursor)
            stitch = found if isinstance(found, StitchKind) else None
        until = repeats.until_measures(cursor)
        rows = repeats.for_rows(cursor)
        if until or rows:
            return [LikeRow((), rows, span=cursor.span_from(start), until_cm=until, last=ONE)]
        while not _closes(cursor):
            cursor.next()
        return [Even(stitch, 0, cursor.span_from(start))]

    def _chain_note(self, cursor: Cursor, read: Body) -> list[Item] | None:
        """"Ch 3 counts as dc throughout." as a sentence."""
        start = cursor.at
        rest = Cursor(cursor.tokens[start:], self.sizes)
        sentence = next((i for i, t in enumerate(rest.tokens) if t.word in (".", ";")), len(rest.tokens))
        rest.tokens = rest.tokens[:sentence]
        if not any(t.word in ("counts", "count") for t in rest.tokens):
            return self._chain(cursor, read)
        if any(t.word in (",", "(", "[") for t in rest.tokens[:4]):
            return self._chain(cursor, read)
        said = counting.counting(rest, self.names)
        if said is None:
            return self._chain(cursor, read)
        cursor.at = start + sentence
        return [said]


from chartgen.notation.tree import Target  # noqa: E402

_ANY = Target("any")


def _sign_of(clause: list[str]) -> Loops | Sign | None:
    words = set(clause)
    if words & {"foundation"} and words & {"unused", "free", "unworked", "remaining"}:
        return Sign("far side")
    if "loop" in words or "back_loop" in words or "front_loop" in words:
        if "both" in words:
            return Loops("")
        return Loops("back" if words & {"back", "back_loop"} else "front")
    if words & {"ch", "foundation"} and words & {"unused", "free", "unworked", "remaining"} and "row" not in words:
        return Sign("far side")
    if "side" in words and words & {"ch", "foundation"} and words & {"other", "opposite", "down", "along"}:
        return Sign("far side")
    if words & {"spiral", "continuous", "continuously", "spirally"}:
        return Sign("spiral")
    if words & {"ring", "loop"} and words & {"adjustable", "magic"}:
        return Sign("adjustable ring")
    return None


def _prose_clause(clause: list[str]) -> bool:
    return bool(set(clause) & {"ends", "end", "tail", "even", "evenly", "pattern"})


def _sentence(cursor: Cursor) -> list[Token]:
    """The words from here to the next full stop."""
    rest = cursor.tokens[cursor.at :]
    return rest[: next((i for i, t in enumerate(rest) if t.word == "."), len(rest))]


def _only_closes(rest: list[Token]) -> bool:
    """Does nothing follow but "Turn." or "Fasten off."?"""
    closing = (".", ",", ";", "turn", "fasten", "off", "break", "yarn", "do", "not", "ch", "join")
    return all(t.word in closing or t.kind == "number" for t in rest)


def _keep_counts(read: Body, found: tuple[tuple[Count, ...], int | None], span: Span) -> None:
    read.counts, read.counts_at = found
    read.counts_span = span


def _place_ahead(cursor: Cursor) -> bool:
    token = cursor.peek()
    if token.word == "across" and (cursor.peek(1).word in ("first", "next", "each", "last") or _edge_ahead(cursor, 1)):
        return True
    if token.word in ("along", "down", "up", "over") and _edge_ahead(cursor, 1):
        return True
    if token.word not in _INTO or token.kind != "word":
        return False
    if token.word == "around" and _closes(cursor, 1):
        return False
    return True


def _edge_ahead(cursor: Cursor, ahead: int) -> bool:
    """Do the next words name a side of the piece ("left side edge", "row ends")?"""
    words = [cursor.peek(i).text for i in range(ahead, ahead + 4)]
    return any(w in ("edge", "edges", "side", "sides", "ends") for w in words) or words[:2] in (["row", "end"], ["each", "row"])


def _closes(cursor: Cursor, ahead: int = 0) -> bool:
    token = cursor.peek(ahead)
    return token.kind == "end" or token.word in (",", ";", ".", ":", "(", "[", "{", ")", "]") or token.text.startswith("*")


def _name_has_number(cursor: Cursor, names: Names) -> bool:
    """"5-dc bobble", "3 dc tog": the number belongs to the name."""
    if cursor.peek().kind != "number":
        return False
    return names.at(cursor)[1] > 1


def _times_after_number(cursor: Cursor) -> bool:
    return cursor.peek(1).word in ("times", "more")


def _change_after(cursor: Cursor) -> int:
    if cursor.take("increase"):
        return 1
    if cursor.take("decrease"):
        return -1
    return 0


def _rest_of_sentence(cursor: Cursor) -> Cursor:
    start = cursor.at
    while not cursor.done and cursor.peek().word not in (".", "(", "["):
        cursor.at += 1
    return Cursor(cursor.tokens[start : cursor.at], cursor.sizes)


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


def _prose_starts() -> dict[str, object]:
    return {phrase.split()[0]: RowReader._kept for phrase in vocabulary()["prose"] if " " not in phrase}


_BY_WORD = {
    **_prose_starts(),
    "ch": RowReader._chain_note,
    "skip": RowReader._skip,
    "join": RowReader._join,
    "with": RowReader._colour,
    "change": RowReader._colour,
    "changing": RowReader._colour,
    "switch": RowReader._colour,
    "pick": RowReader._colour,
    "turn": RowReader._turn,
    "without": RowReader._without,
    "do": RowReader._do_not,
    "don't": RowReader._do_not,
    "fasten": RowReader._off,
    "finish": RowReader._off,
    "break": RowReader._off,
    "end": RowReader._off,
    "f": RowReader._off,
    "fo": RowReader._off,
    "working": RowReader._working,
    "in": RowReader._loops,
    "over": RowReader._place_first,
    "leave": RowReader._leave,
    "sl": RowReader._slip,
    "ss": RowReader._slip,
    "slip": RowReader._slip,
    "magic": RowReader._make_ring,
    "mr": RowReader._make_ring,
    "adjustable": RowReader._make_ring,
    "form": RowReader._make_ring,
    "spiral": RowReader._spiral,
    "repeat": RowReader._repeat,
    "same": RowReader._like,
    "as": RowReader._like,
    "like": RowReader._like,
    "place": RowReader._marker,
    "move": RowReader._marker,
    "mark": RowReader._marker,
    "pm": RowReader._marker,
    "at": RowReader._at_end,
    "even": RowReader._work_even,
    "pass": RowReader._skip,
    "alternate": RowReader._repeat,
    "alternately": RowReader._repeat,
    "rotate": RowReader._working,
    "continue": RowReader._working,
    "begin": RowReader._starting,
    "starting": RowReader._starting,
    "increase": RowReader._evenly,
    "decrease": RowReader._evenly,
    "holding": RowReader._hold,
    "keeping": RowReader._hold,
    "leaving": RowReader._hold,
    "yo": RowReader._close,
    "yarn": RowReader._close,
    "yrh": RowReader._close,
    "draw": RowReader._close,
}
