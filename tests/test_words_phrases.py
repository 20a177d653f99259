"""One fixed phrasing for each thing, whatever way the designer wrote it."""

from __future__ import annotations

from dataclasses import fields

import pytest
from patterns import spec
from written import as_text, lines, texts, worked

from chartgen.notation import tree
from chartgen.wording.language import language as language_of

SIZES = "sizes: [small, medium]\n"
YARNS = 'yarn:\n  A: {name: sage, colour: "#7a8f5a"}\n  B: {name: chalk, colour: "#f4f1e8"}\n'


def said(words: str, worked_in: str = "rounds", terms: str = "US", head: str = "") -> list[str]:
    found = worked(spec(words, worked_in, "US", head))
    assert found.errors == []
    return texts(found, terms)


RING = "Make an adjustable ring.\n"
ROUND_1 = RING + "Rnd 1: Ch 1, 12 sc in ring; join with sl st in first sc. (12 sc)\n"


@pytest.mark.parametrize(
    ("written", "fixed"),
    [
        ("Rnd 2: Ch 1, sc in same st, 11 sc; join.", "sc in same st, sc in each of next 11 sts; join. (12 sc)"),
        ("Rnd 2: Ch 1, sc in same st, sc in next 11 sts; join.", "sc in same st, sc in each of next 11 sts; join. (12 sc)"),
        ("Rnd 2: Ch 1, *2 sc in next st; rep from * around; join.", "*2 sc in next st; rep from * around; join. (24 sc)"),
        ("Rnd 2: Ch 1, [sc, sc inc] 6 times; join.", "[sc in next st, 2 sc in next st] 6 times; join. (18 sc)"),
        ("Rnd 2: Ch 1, (1 sc, sc2tog) x 4; join.", "[sc in next st, sc2tog over next 2 sts] 4 times; join. (4 sc, 4 sc2tog)"),
        ("Rnd 2: Ch 1, *sc in next 2 sts, skip 1; rep from * 3 more times; join.",
         "[sc in each of next 2 sts, skip next st] 4 times; join. (8 sc)"),
        ("Rnd 2: Ch 1, in each st around make 2 sc; sl st in first sc to join.", "2 sc in each st around; join with sl st in first sc. (24 sc)"),
        ("Rnd 2: Ch 1, *shell of 5 dc in next sc, skip next 2 sc; rep from * twice, shell in next sc, skip next 2 sc; join.",
         "[5 dc in next sc (shell made), skip next 2 sc] 3 times, shell in next sc, skip next 2 sc; join. (20 dc)"),
        ("Rnd 2: Sc around; join.", "Sc in each st around; join. (12 sc)"),
        ("Rnd 2: Ch 1, working in BLO, sc in ea st around; join.", "working in back loops only, sc in each st around; join. (12 sc)"),
    ],
)  # fmt: skip
def test_one_way_to_say_it(written: str, fixed: str) -> None:
    assert said(ROUND_1 + written)[2].endswith(fixed)


def test_where_work_begins_and_what_a_label_names_read_back() -> None:
    """The words before a colon keep it; "at crown" alone would be no clause."""
    begun = said("Beginning at crown, ch 4, join with sl st to form a ring.\nRnd 1: Ch 1, 12 sc in ring; join. (12 sc)")
    assert begun[0] == "Beginning at crown. Ch 4; join with sl st to form a ring."
    assert "Sides:" in said(ROUND_1 + "Sides:\nRnd 2: Ch 1, sc in each sc around; join. (12 sc)")


ROWS = "Ch 21.\nRow 1: Sc in 2nd ch from hook and in each ch across. (20 sc)\nRow 2: Ch 1, turn, sc2tog, sc in each sc to last 2 sc, sc2tog. (18 sc)\n"


@pytest.mark.parametrize(
    ("written", "fixed"),
    [
        ("Rep last row twice.", "Rep last row twice. (14 sc at end of Row 4)"),
        ("Rep last row until there are 14 sc on row.", "Rep last row until there are 14 sc. (14 sc at end of Row 4)"),
        ("Rep Row 2 until 6 sts remain.", "Rep Row 2 until there are 6 sts. (6 sc at end of Row 8)"),
        ("Cont dec 2 sts in this manner in every row until 12 sts remain.",
         "Continue, decreasing 2 sts evenly in each row until there are 12 sts. (12 sc at end of Row 5)"),
        ("Edging: Ch 1, work 3 sc for every 2 rows along side.", "Next Row (RS): Ch 1, 3 sc over every 2 row ends. (3 sc)"),
        ("Edging: Join yarn at beg of Row 2, ch 1, 2 sc in same row end.", "Next Row (RS): Join yarn in beginning of Row 2, ch 1, 2 sc in same row end. (2 sc)"),
        ("Edging: Join yarn in side of first row, ch 1, sc in end of each row.", "Next Row (RS): Join yarn in end of Row 1, ch 1, sc in end of each row. (2 sc)"),
        ("Work 4 rows even.", "Work 4 rows even in sc. (18 sc)"),
        ("Work 3 more rows in sc.", "Work 3 rows even in sc. (18 sc)"),
        ("Rep Row 2 every 4th row twice.", "Rep Row 2 every 4 rows twice. (14 sc at end of Row 10)"),
        ("Work even in sc for 4 rows.", "Work 4 rows even in sc. (18 sc)"),
        ("Work even until 6 rows are completed.", "Work even in sc until there are 6 rows. (18 sc)"),
    ],
)
def test_rows_again_are_said_with_their_end_and_their_count(written: str, fixed: str) -> None:
    """Published sheets end such a line with the count of the last row (common practice, no source)."""
    rows = said(ROWS + written, "rows")
    assert rows[3] == fixed
    assert said(ROWS + rows[3], "rows")[3] == fixed


def test_the_second_side_begins_with_words_of_its_own() -> None:
    """A line that skips and joins has no count; the row after it has."""
    rows = said(ROWS + """Row 3: Ch 1, turn, sc in first 6 sc, leave remaining sts unworked. (6 sc)
Fasten off.
Skip next 6 sc of Row 2, join yarn in next sc.
Row 3: Ch 1, sc in same st, sc in each sc across. (6 sc)""", "rows")
    assert [row.endswith("(6 sc)") for row in rows[3:]] == [True, False, False, True]


def test_no_stitch_stands_bare() -> None:
    """"2 dc" never says where: outside a group in brackets every stitch has its place."""
    rows = said(ROUND_1 + "Rnd 2: Ch 3 (counts as dc), 3 dc, *2 dc in next st, dc; rep from * around; join.")
    assert rows[2] == (
        "Rnd 2: Ch 3 (counts as dc), dc in each of next 3 sts, *2 dc in next st, dc in next st; rep from * around; join. (16 dc)"
    )


def test_a_beginning_chain_is_said_to_count_once_and_where_that_changes() -> None:
    rows = said(ROUND_1 + """Rnd 2: Ch 3, dc in each st around; join.
Rnd 3: Ch 3, dc in each st around; join.
Rnd 4: Ch 1, sc in each st around; join.
Rnd 5: Ch 3 (does not count as a st), dc in each st around; join. (12 dc)""")
    said_of = [row.split(",")[0].split(": ")[1] for row in rows[1:]]
    assert said_of == [
        "Ch 1 (does not count as a st here or throughout)", "Ch 3 (counts as dc here and throughout)", "Ch 3", "Ch 1",
        "Ch 3 (does not count as a st)",
    ]  # fmt: skip


def test_turns_sides_and_counts_are_said_each_row() -> None:
    """Rows worked flat say which side faces and that the work is turned, though the designer did not."""
    rows = said("Ch 11.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRow 2: Sc in each st across.\nRows 3-5: Sc in each st across.", "rows")
    assert rows == [
        "Ch 11.",
        "Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (10 sc)",
        "Row 2 (WS): Sc in each st across, turn. (10 sc)",
        "Rows 3-5: Sc in each st across. (10 sc)",
    ]


def test_a_side_named_by_the_designer_is_kept() -> None:
    rows = said("Ch 11.\nRow 1 (WS): Sc in 2nd ch from hook and in each ch across.\nRow 2: Sc in each st across.", "rows")
    assert [r[:10] for r in rows[1:]] == ["Row 1 (WS)", "Row 2 (RS)"]


def test_numbers_per_size_are_listed_as_the_trade_does() -> None:
    rows = said(RING + "Rnd 1: 6 (8) sc in ring.\nRnds 2-4 (5): Sc in each st around.", head=SIZES)
    assert rows[1:] == ["Rnd 1: 6 (8) sc in ring. (6 (8) sc)", "Rnds 2-4 (5): Sc in each st around. (6 (8) sc)"]


def test_a_row_of_one_size_says_so() -> None:
    rows = said(RING + "Rnd 1: 6 sc in ring.\nRnd 2 (size medium): 2 sc in each st around.", head=SIZES)
    assert rows[2] == "Rnd 2 (size medium): 2 sc in each st around. (12 sc)"


def test_n_times_is_settled_by_the_count() -> None:
    """"rep from * 6 times" may be 6 or 7 in all; 12 stitches of two each show that it is 6."""
    rows = said(ROUND_1 + "Rnd 2: Ch 1, *sc in next st, 2 sc in next st; rep from * 6 times; join. (18 sc)")
    assert "[sc in next st, 2 sc in next st] 6 times" in rows[2]


def test_repeated_rows_stay_repeated_with_the_count_of_the_last() -> None:
    rows = said("""Ch 7.
Row 1: Sc in 2nd ch from hook and in each ch across. (6 sc)
Row 2: Ch 1, turn, 2 sc in first st, sc in each st across. (7 sc)
Row 3: Ch 1, turn, sc in each st across. (7 sc)
Rows 4-7: Rep Rows 2 and 3.""", "rows")
    assert rows[4] == "Rows 4-7: Rep Rows 2 and 3. (9 sc at end of Row 7)"


def test_colours_by_their_letter() -> None:
    rows = said("With A, ch 4, join with sl st to form a ring.\nRnd 1: Ch 1, 6 sc in ring; join. Fasten off A.\n"
                "Rnd 2: Join chalk with sl st in any sc, ch 1, sc in each st around; join. Fasten off.", head=YARNS)
    assert rows[0] == "With A, ch 4; join with sl st to form a ring."
    assert rows[1].endswith("join. Fasten off A. (6 sc)")
    assert rows[2].startswith("Rnd 2: Join B with sl st in any sc, ch 1")


def test_uk_words_throughout() -> None:
    """miss, ss, htr and yrh, not only the stitch names. "yrh" and "miss": Shawls book, Interweave,
    2015, and the table of ruleofthejewel.blog, 2023; "htr", "ss": conversion table (PDF)."""
    rows = said(ROUND_1 + "Rnd 2: Ch 2, *hdc in next st, skip next st; rep from * around; join with sl st in first hdc. (6 hdc)", terms="UK")
    assert rows[2] == (
        "Rnd 2: Ch 2 (does not count as a st), *htr in next st, miss next st; rep from * around; join with ss in first htr. (6 htr)"
    )


def test_a_list_made_in_one_place_stands_in_brackets() -> None:
    """What the hook found out about the words is said in the written pattern."""
    rows = said(ROUND_1 + "Rnd 2: Ch 3 (counts as hdc and ch 1), *skip next st, hdc in next st, ch 1; rep from * around, skip last st; "
                "join with sl st in 2nd ch of ch-3. (6 hdc, 6 ch-1 sps)\nRnd 3: Ch 1, *sc, dc, sc in next sp; rep from * around; join. (18 sts)")
    assert "*(sc, dc, sc) in next sp; rep from * around" in rows[3]


@pytest.mark.parametrize("end", ["fasten off", "do not turn"])
def test_what_ends_the_last_of_several_rows_is_said_once(end: str) -> None:
    """ "At end of last row fasten off" cuts the yarn too; no second sentence says so."""
    rows = said(f"Ch 11.\nRow 1: Sc in 2nd ch from hook, sc in each ch across. Ch 1, turn. (10 sc)\n"
                f"Rows 2-5: Sc in each sc across. Ch 1, turn. At end of last row {end}.", "rows")
    assert " ".join(rows).lower().count(end) == 1


NODES = {
    "Number": "values span name", "Target": "kind stitch size name", "Counting": "counts stitch chains throughout of span",
    "Where": "which target n ordinal until n_left left stop of loop post down row part unworked each alone beyond per between outline span",
    "Work": "count stitch where span loop down counts_said chains_said evenly change by up_to listed", "Own": "count name items where span closed",
    "Chain": "count span said", "Group": "items where span name", "Every": "items span", "Held": "items span", "Leave": "n span what",
    "Skip": "where span counts_said behind", "Join": "place ring stitch span", "Attach": "colour place stitch span",
    "Repeat": "items times n_left left until unsure mark ending span times_span there", "Colour": "key span",
    "Loops": "loop lasts span row", "Sign": "what span colour", "Made": "name span text", "Note": "text span facing marks",
    "Measured": "cm side like more", "LikeRow": "rows times ending dropping span until last chains until_rows until_sts even label every between apart fewer", "Change": "count by stitch where span",
    "Even": "stitch by span spread ends",
}  # fmt: skip


@pytest.mark.parametrize("node", NODES)
def test_every_field_of_a_node_is_written(node: str) -> None:
    """A field that is new in the tree must be put into words, or the words lose what it says."""
    assert {f.name for f in fields(getattr(tree, node))} == set(NODES[node].split())


def test_every_node_is_written() -> None:
    assert {c.__name__ for c in tree.Item.__args__} <= set(NODES)


@pytest.mark.parametrize(("terms", "name"), [("US", "5-dc bobble"), ("UK", "5-tr bobble")])
def test_a_bobble_keeps_its_number(terms: str, name: str) -> None:
    """How many legs a bobble, popcorn or puff has is part of its name, also where it is the usual number."""
    rows = said(ROUND_1 + "Rnd 2: Ch 1, *5-dc bobble in next st, 5-dc popcorn in next st, sc in next st; rep from * around; join.", terms=terms)
    assert f"*{name} in next st, {name.replace('bobble', 'popcorn')} in next st" in rows[2]


@pytest.mark.parametrize(
    ("language", "words"), [("en-US", "ep last rnd"), ("es-ES", "la última vuelta"), ("fr", "le dernier tour"), ("de", "letzte Runde")]
)
def test_a_round_is_not_called_a_row(language: str, words: str) -> None:
    """ "Rep last rnd twice more": what is worked in rounds is called so in every language."""
    found = worked(spec(ROUND_1 + "Rnd 2: Ch 1, sc in each st around; join.\nRep last rnd twice more."))
    assert words in as_text(lines(found, language_of(language))[0][-1])
