"""Problems as they are shown, spoken and handed to programs."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from chartgen.problems import Problem, Source, Span
from chartgen.problems.render import (
    LINE_WIDTH,
    as_json,
    in_order,
    merge_sizes,
    render_plain,
    render_text,
    tally,
)

TEXT = """\
title: Thyme hat
rounds: |
  Rnd 1: 6 sc in ring. (6 sc)
  Rnd 2: 2 sc in each st. (11 sc)
"""
SOURCE = Source("specs/thyme-hat.yaml", TEXT)


def at(words: str, text: str = TEXT) -> Span:
    start = text.index(words)
    return Span(start, start + len(words))


COUNT = Problem(
    "F301", "error", "round 2 makes 12 stitches but says 11", at("11 sc"),
    help="write (12 sc)", notes=("round 1 left 6 stitches", "6 times 2 sc make 12"),
)
WHOLE = Problem("R201", "warning", "the spec has no `terms`", help="write `terms: US`")


def test_drawn() -> None:
    """Message, place, line, the very words underlined, the arithmetic, what to write."""
    assert render_text([COUNT, WHOLE], SOURCE) == """\
warning[R201]: the spec has no `terms`
  specs/thyme-hat.yaml
      help: write `terms: US`

error[F301]: round 2 makes 12 stitches but says 11
  specs/thyme-hat.yaml:4:28
    4 | Rnd 2: 2 sc in each st. (11 sc)
      |                          ^^^^^
      = round 1 left 6 stitches
      = 6 times 2 sc make 12
      help: write (12 sc)
"""


def test_colour_adds_nothing_but_colour() -> None:
    """Without the colour codes the text is the same, so that no meaning hangs on colour."""
    inked = render_text([COUNT, WHOLE], SOURCE, colour=True)
    assert "\x1b[1;31m" in inked
    assert re.sub(r"\x1b\[[0-9;]*m", "", inked) == render_text([COUNT, WHOLE], SOURCE)


def test_spoken() -> None:
    """One line of full sentences each: no carets, nothing said by place."""
    assert render_plain([COUNT, WHOLE], SOURCE) == (
        "Warning R201 in specs/thyme-hat.yaml: The spec has no `terms`. Help: write `terms: US`.\n"
        "Error F301 in specs/thyme-hat.yaml, line 4, column 28: Round 2 makes 12 stitches but "
        "says 11. The words are: 11 sc. Round 1 left 6 stitches. 6 times 2 sc make 12. "
        "Help: write (12 sc).\n"
    )


def test_for_programs() -> None:
    """Lines and columns from 1, in characters, end exclusive: `11 sc` is line 4, 28 to 33."""
    assert as_json(COUNT, SOURCE) == {
        "code": "F301", "severity": "error", "message": "round 2 makes 12 stitches but says 11",
        "help": "write (12 sc)", "size": None, "file": "specs/thyme-hat.yaml",
        "line": 4, "column": 28, "end_line": 4, "end_column": 33,
        "notes": ["round 1 left 6 stitches", "6 times 2 sc make 12"], "sizes": [],
    }
    places = ("line", "column", "end_line", "end_column")
    assert [as_json(WHOLE, SOURCE)[key] for key in places] == [None, None, None, None]
    over = Problem("R106", "error", "m", Span(at("6 sc in").start, at("2 sc").end))
    assert [as_json(over, SOURCE)[key] for key in places] == [3, 10, 4, 14]


def underlined(text: str, words: str) -> str:
    """What stands above the carets, column by column of a terminal."""
    source = Source("s", text)
    shown = render_text([Problem("R106", "error", "m", at(words, text))], source).splitlines()
    line, carets = shown[2], shown[3]
    return f"{line}\n{carets}"


def test_carets_by_display_width() -> None:
    """A wide character takes two columns, a combining accent none, a tab goes to the next stop."""
    assert underlined("a: 编织 bud\n", "bud") == "    1 | a: 编织 bud\n      |         ^^^"
    accent = underlined("a: cafe\u0301 bud\n", "bud")
    assert accent == "    1 | a: cafe\u0301 bud\n      |         ^^^"
    assert underlined("a:\tbud\n", "bud") == "    1 | a:  bud\n      |     ^^^"
    assert underlined("a: 织\n", "织") == "    1 | a: 织\n      |    ^^"


def test_control_characters_are_not_sent_to_the_terminal() -> None:
    """An escape sequence in a file must not colour or move anything."""
    assert "\x1b" not in underlined("a: \x1b[31mbud\n", "bud")
    quoting = Problem("R208", "error", "not `\x1b[31m\nbud`", Span(0, 5), help="write `\u202ex`")
    for shown in (render_text([quoting], SOURCE), render_plain([quoting], SOURCE)):
        assert "\x1b" not in shown
        assert "\u202e" not in shown
        assert "`\ufffd[31m bud`" in shown


def test_long_lines_are_cut_around_the_words() -> None:
    """The words stay visible; an ellipsis stands where the line goes on."""
    text = "r: " + "sc, " * 60 + "blob, " + "dc, " * 60 + "\n"
    line, carets = underlined(text, "blob").splitlines()
    assert line.index("blob") == carets.index("^^^^")
    assert len(line) <= LINE_WIDTH + 10
    assert line.count("…") == 2


def test_a_span_over_lines_is_underlined_in_its_first() -> None:
    """Carets never run past the line they stand under."""
    over = Problem("R106", "error", "m", Span(at("6 sc in").start, len(TEXT)))
    shown = render_text([over], SOURCE)
    assert shown.splitlines()[3] == "      |        " + "^" * len("6 sc in ring. (6 sc)")


def test_by_place_in_the_file() -> None:
    """The whole file first, then from top to bottom, whatever the order found."""
    late = Problem("N101", "error", "late", Span(50, 52))
    early = Problem("F101", "error", "early", Span(5, 7))
    assert in_order([late, early, WHOLE]) == [WHOLE, early, late]


def test_each_problem_is_said_once() -> None:
    """Shared by all: no size. Shared by some: the first, the others named. One size: that one."""
    some = Problem("F302", "error", "3 stitches left over", Span(1, 2))
    one = Problem("F303", "error", "no stitch to work into", Span(3, 4))
    merged = merge_sizes(
        [[COUNT, one.for_size("short")], [COUNT.for_size("medium"), some], [COUNT, some]],
        ["short", "medium", "tall"],
    )
    assert [(p.code, p.size, p.also) for p in merged] == [
        ("F302", "medium", ("tall",)), ("F303", "short", ()), ("F301", None, ())]
    assert "error[F302]: 3 stitches left over (sizes medium, tall)" in render_text(merged, SOURCE)
    assert "error[F303]: no stitch to work into (size short)" in render_text(merged, SOURCE)
    assert "column 2, sizes medium, tall: 3 stitches" in render_plain(merged, SOURCE).lower()
    assert as_json(merged[0], SOURCE)["sizes"] == ["medium", "tall"]


def test_a_pattern_without_sizes() -> None:
    """One pass, no size to name."""
    assert merge_sizes([[COUNT, COUNT]], [None]) == (COUNT,)


def test_tally() -> None:
    """Counts with their plurals, the gravest first."""
    assert tally([WHOLE, COUNT, COUNT]) == "2 errors, 1 warning"
    assert tally([]) == ""


@given(st.text(max_size=200), st.integers(-3, 220), st.integers(-3, 220))
def test_any_text_and_any_span_can_be_shown(text: str, start: int, end: int) -> None:
    """A span out of the file is drawn at its edge; showing a fault must never fail."""
    source = Source("s", text)
    problem = Problem("R106", "error", "m", Span(start, end))
    assert render_text([problem], source).startswith("error[R106]: m\n  s:")
    assert render_plain([problem], source).endswith("\n")
    assert as_json(problem, source)["line"] >= 1
