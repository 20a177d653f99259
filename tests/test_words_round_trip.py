"""Patterns written out and read again make the same fabric, in US and in UK terms.

Law 1: text written in US terms, read by the reader, the notation and the fabric, gives the
same fabric: every stitch with its kind, feet, role, colour and loop, every row with its
number, side and counts, in every size. Law 2: US → UK → US gives the same fabric. Law 3: the
tree read again is the settled tree, spans aside. Law 4: writing what was read gives the same
text.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from patterns import spec
from written import Worked, bare, differences, made, rewritten, texts, tree, worked

ROOT = Path(__file__).resolve().parent.parent
PATTERNS = [spec for folder in ("specs", "tests/corpus", "tests/pieces") for spec in sorted((ROOT / folder).glob("*.yaml"))]
WAYS = {"US": ["US"], "UK": ["UK"], "US-UK-US": ["UK", "US"]}


@cache
def pattern(path: Path) -> Worked:
    return worked(path.read_text("utf-8"))


def again(first: Worked, terms: list[str], house: str = "leaflet") -> Worked:
    for one in terms:
        first = worked(rewritten(first, one, house))
    return first


def same_fabric(one: Worked, other: Worked) -> None:
    assert other.errors == []
    assert [differences(made(a), made(b)) for a, b in zip(one.fabrics, other.fabrics, strict=True)] == [[]] * len(one.fabrics)


def sized(path: Path) -> list[int]:
    return list(range(len(pattern(path).document.sizes)))


@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_the_samples_have_no_error(path: Path) -> None:
    """What is written out below is what the pattern means."""
    assert pattern(path).errors == []


@pytest.mark.parametrize("house", ["leaflet", "book"])
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_the_same_fabric(path: Path, way: str, house: str) -> None:
    same_fabric(pattern(path), again(pattern(path), WAYS[way], house))


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("path", [p for p in PATTERNS if sized(p)], ids=lambda p: p.stem)
def test_a_pattern_written_for_one_size_makes_that_size(path: Path, terms: str) -> None:
    first = pattern(path)
    for size in sized(path):
        alone = worked(rewritten(first, terms, size=size))
        assert alone.errors == []
        assert differences(made(first.fabrics[size]), made(alone.fabrics[0])) == []


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_the_same_instructions(path: Path, terms: str) -> None:
    first = pattern(path)
    second = again(first, [terms])
    assert differences(tree(first.settled), tree(second.instructions)) == []
    assert {k: bare(v) for k, v in first.instructions.own.items()} == {k: bare(v) for k, v in second.instructions.own.items()}


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("path", PATTERNS, ids=lambda p: p.stem)
def test_the_same_text(path: Path, terms: str) -> None:
    first = pattern(path)
    assert texts(again(first, [terms]), terms) == texts(first, terms)


def test_a_changed_word_is_seen() -> None:
    """The comparison can fail: one stitch, one place, one number changed in the text."""
    first = pattern(ROOT / "specs" / "thyme-hat.yaml")
    text = rewritten(first, "US")
    for old, new in (("8 hdc in ring", "8 dc in ring"), ("hdc in next st, 2 hdc in next st", "2 hdc in next st, hdc in next st")):
        assert old in text
        other = worked(text.replace(old, new).replace("(8 hdc)", "(8 sts)"))
        assert any(differences(made(a), made(b)) for a, b in zip(first.fabrics, other.fabrics, strict=True))


# Wordings that were lost on the way; the counts by hand stand in the sentence before each.
MET = {
    # 8 clusters, the chain a leg of the first: the next round finds 8 and no chain beside them
    "cluster": "Ch 5, join with sl st to form ring.\nRnd 1: Ch 3, dc2tog in ring, ch 3, (dc3tog in ring, ch 3) 7 times; join in top of first cluster. (8 clusters)\n"
    "Rnd 2: Ch 1, *sc in next cluster, 3 sc in next ch-3 sp; rep from * around; join. (32 sc)",
    # 12 in each of 4 rounds, that begin with the ch 3 of the round before
    "even": "Ch 4, join with sl st to form ring.\nRnd 1: Ch 3 (counts as dc), 11 dc in ring; join. (12 dc)\nRnd 2: Ch 3, dc in next dc and in each dc around; join. (12 dc)\nRnds 3-5: Work even. (12 dc)",
}
CROSSED = "Ch 12.\nRow 1: Dc in 4th ch from hook and in each ch across. (10 dc)\nRow 2: Ch 3 (counts as dc), turn, dc in next 2 dc, skip next 2 dc, fpdc around each of next 2 dc, fpdc around each of 2 skipped sts, dc in last 3 sts. (6 dc, 4 fpdc)"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("words", [*(spec(words) for words in MET.values()), spec(CROSSED, "rows")], ids=[*MET, "crossed"])
def test_what_was_lost_in_words_comes_back(words: str, way: str) -> None:
    first = worked(words)
    assert first.errors == []
    same_fabric(first, again(first, WAYS[way]))


# ---- rows made up at random, that work


CLAUSES = {                     # words, stitches used, stitches made
    "sc in each of next 2 sts": (2, 2), "dc in next st": (1, 1), "2 sc in next st": (1, 2), "hdc2tog over next 2 sts": (2, 1),
    "skip next st": (1, 0), "(dc, ch 1, dc) in next st": (1, 3), "3 tr": (3, 3), "sc inc": (1, 2), "sc BLO in next st": (1, 1),
    "fpdc around next st": (1, 1), "popcorn in next st": (1, 1), "ch 1, skip next st": (1, 1), "with B, sc in next st, with A": (1, 1),
    "[sc in next st, 2 dc in next st] twice": (4, 6), "sc dec": (2, 1),
}  # fmt: skip
HEAD = 'yarn:\n  A: {name: sage, colour: "#7a8f5a"}\n  B: {name: chalk, colour: "#f4f1e8"}\n'


def _round(number: int, clauses: list[str], passes: int, most: bool) -> str:
    repeat = f"*{', '.join(clauses)}; rep from * " + ("around" if most else f"{passes - 1} more times")
    return f"Rnd {number}: Ch 1 (does not count as a st), sc in same st as join, {repeat}; join with sl st in first sc."


@st.composite
def rounds(draw: st.DrawFn) -> str:
    """A first round in a ring, then rounds that come out, whatever they are made of.

    Every round has one stitch and then whole passes: used stitches times passes is what
    the round before left, less the one.
    """
    first = draw(st.lists(st.sampled_from(sorted(CLAUSES)), min_size=1, max_size=4))
    used = sum(CLAUSES[c][0] for c in first)
    passes = draw(st.integers(2, 5))
    words = [f"Rnd 1: Ch 1, {used * passes + 1} sc in ring; join with sl st in first sc."]
    count, clauses = used * passes + 1, first
    for number in range(2, 2 + draw(st.integers(1, 3))):
        words.append(_round(number, clauses, passes, draw(st.booleans())))
        count = 1 + passes * sum(CLAUSES[c][1] for c in clauses)
        fitting = [c for c in sorted(CLAUSES) if (count - 1) % CLAUSES[c][0] == 0 and (count - 1) // CLAUSES[c][0] > 1]
        if not fitting:
            break
        clauses = [draw(st.sampled_from(fitting))]
        passes = (count - 1) // CLAUSES[clauses[0]][0]
    return "\n".join(["With A, make an adjustable ring.", *words, "Fasten off."])


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(rounds(), st.sampled_from(sorted(WAYS)))
def test_rounds_made_up_at_random(words: str, way: str) -> None:
    first = worked(spec(words, head=HEAD))
    if first.errors:                       # a round the notation rightly refuses is no case
        return
    same_fabric(first, again(first, WAYS[way]))


def test_most_rounds_made_up_are_cases() -> None:
    """The property above is about something: of its rounds most are read without error."""
    seen: list[bool] = []

    @settings(max_examples=40, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(rounds())
    def look(words: str) -> None:
        seen.append(not worked(spec(words, head=HEAD)).errors)

    look()
    assert sum(seen) > 0.8 * len(seen)


MOTIONS = {
    "puff": "(yo, insert hook in st, yo and draw up a loop) 4 times in same st, yo and draw through all loops on hook",
    "roll st": "thread over hook 10 times, insert hook in st, draw loop through, thread over and draw through all loops on hook",
}


@pytest.mark.parametrize("name", MOTIONS)
def test_a_stitch_told_by_the_motions_of_the_hook_is_defined_again(name: str) -> None:
    """Twelve of them on twelve sc; the definition written is read as the same stitch."""
    first = worked(f"""format: 1
title: Caraway medallion
terms: US
for: home
stitches:
  {name}: "{MOTIONS[name]}"
pieces:
  - name: Medallion
    parts:
      - name: Medallion
        rounds: |
          Ch 6, join with sl st to form a ring.
          Rnd 1: Ch 1, 12 sc in ring; join with sl st in first sc. (12 sc)
          Rnd 2: Ch 1, *{name} in next sc, ch 2; rep from * around; join with sl st in first {name}.
""")
    assert first.errors == []
    same_fabric(first, again(first, ["US"]))
