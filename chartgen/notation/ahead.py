"""Looking ahead: what the next words of a clause are about to say."""

from __future__ import annotations

from chartgen.notation.cursor import Cursor
from chartgen.notation.names import Names
from chartgen.notation.reach import whole_piece
from chartgen.notation.targets import row_itself
from chartgen.notation.words import Token, vocabulary

INTO = ("in", "over", "around", "between", "under", "behind")


def closes(cursor: Cursor, ahead: int = 0) -> bool:
    token, after = cursor.peek(ahead), cursor.peek(ahead + 1)
    if token.text == "." and after.kind == "number" and after.tight:
        return False  # "5.5 mm"
    return (
        token.kind == "end"
        or token.text == "-" and not token.tight
        or token.text == "=" and after.kind == "number"     # "join = 12 sc"
        or token.word in (",", ";", ".", ":", "(", "[", "{", ")", "]")
        or token.text.startswith("*")
    )


def place_ahead(cursor: Cursor) -> bool:
    token = cursor.peek()
    if token.word == "across" and (
        cursor.peek(1).word in ("first", "next", "each", "last") or edge_ahead(cursor, 1)
    ):
        return True
    if token.word in ("along", "down", "up", "over") and edge_ahead(cursor, 1):
        return True
    if token.word in ("across", "along") and row_itself(cursor, 1):
        return True
    if token.word == "at" and (_each_row_end(cursor) or _base_of(cursor)):
        return True
    if token.word in ("next", "each") and token.kind == "word":
        return True
    if token.word not in INTO or token.kind != "word":
        return False
    if token.word == "around" and (closes(cursor, 1) or cursor.peek(1).word == "with" or whole_piece(cursor, 1)):
        return False
    return True


def _each_row_end(cursor: Cursor) -> bool:
    """ "Sc at end of each row", "at ends of rows", "at end of every sc row": where stitches go; "at end of row" is when."""
    words = [cursor.peek(k) for k in range(1, 8) if cursor.peek(k).text != "the"]
    ends = words[0].text in ("end", "ends") and words[1].word == "of"
    return ends and (words[2].text == "rows" or words[2].word == "each" and any(t.word == "row" for t in words[3:5]))


def _base_of(cursor: Cursor) -> bool:
    """ "Dc at base of first ch-5", "tr at top of next dc"."""
    words = [cursor.peek(k).word for k in range(1, 4) if cursor.peek(k).text != "the"]
    return words[:2] in (["base", "of"], ["top", "of"])


def edge_ahead(cursor: Cursor, ahead: int) -> bool:
    """Do the next words name a side of the piece ("left side edge", "row ends")?"""
    words = [cursor.peek(i).text for i in range(ahead, ahead + 4)]
    return any(w in ("edge", "edges", "side", "sides", "ends") for w in words) or words[:2] in (
        ["row", "end"],
        ["each", "row"],
    )


def sentence(cursor: Cursor) -> list[Token]:
    """The words from here to the next full stop."""
    rest = cursor.tokens[cursor.at :]
    return rest[: next((i for i, t in enumerate(rest) if t.word == "."), len(rest))]


def only_closes(rest: list[Token]) -> bool:
    """Does nothing follow but "Turn.", "Fasten off." or a remark in brackets?"""
    closing = (".", ",", ";", "turn", "fasten", "off", "break", "yarn", "do", "not", "ch", "join")
    depth, outside = 0, []
    for token in _without_finishing(rest):
        depth += token.word in ("(", "[")
        if not depth:
            outside.append(token)
        depth -= token.word in (")", "]")
    return all(t.word in closing or t.kind == "number" for t in outside)


def _without_finishing(rest: list[Token]) -> list[Token]:
    """The words without sentences such as "Break thread, leaving a 15 cm end, run through sts"."""
    ends = [i for i, t in enumerate(rest) if t.word == "."] + [len(rest)]
    starts = [0, *(i + 1 for i in ends)]
    sentences = [rest[a : b + 1] for a, b in zip(starts, ends, strict=False)]
    prose = {phrase.split()[0] for phrase in vocabulary()["prose"]}
    finishing = {"break", "fasten", "finish"}
    return [t for s in sentences if not s or s[0].word not in finishing and s[0].text not in prose for t in s]


def rest_of_sentence(cursor: Cursor) -> Cursor:
    start = cursor.at
    while not cursor.done and cursor.peek().word not in (".", "(", "["):
        cursor.at += 1
    return Cursor(cursor.tokens[start : cursor.at], cursor.sizes)


def name_has_number(cursor: Cursor, names: Names) -> bool:
    """ "5-dc bobble", "3 dc tog": the number belongs to the name."""
    if cursor.peek().kind != "number":
        return False
    return names.at(cursor)[1] > 1


def times_after_number(cursor: Cursor) -> bool:
    """Whether a number, or one for each size, says how often: "6 times", "5 (6, 7) more times"."""
    start = cursor.at
    cursor.number()
    found = cursor.peek().word in ("times", "more")
    cursor.at = start
    return found


def change_after(cursor: Cursor) -> int:
    if cursor.take("increase"):
        return 1
    if cursor.take("decrease"):
        return -1
    return 0


def prose_clause(clause: list[str]) -> bool:
    return bool(set(clause) & {"ends", "end", "tail", "even", "evenly", "pattern"})
