"""The key of every stitch: complete, named in both terms, drawn with the same signs as charts."""

from __future__ import annotations

from pathlib import Path

import pytest
from patterns import spec

from chartgen import chart
from chartgen.draw.chartkey import MARK_WORDS, draw_chart_key
from chartgen.draw.drawing import Label, walk
from chartgen.draw.key import in_order, mark_entry, note_entry, set_under
from chartgen.draw.wholekey import all_kinds, draw_key
from chartgen.stitches import registry
from draw_samples import disc, document


def words(drawing) -> str:
    return "\n".join(i.text for i in walk(drawing.items) if isinstance(i, Label))


def test_every_stitch_is_there_in_us_and_uk_terms() -> None:
    said = words(draw_key())
    for kind in registry().simple.values():
        for terms in ("US", "UK"):
            assert f"{kind.name(terms)} ({terms})" in said
    families = {kind.family for kind in all_kinds()} - {""}
    assert families == set(registry().families)


def test_forms_made_of_several_signs_are_there() -> None:
    """What the notation reads beyond single stitches, in the words of the trade; UK names where UK is asked."""
    said = words(draw_key(terms="UK"))
    for form in ("2 tr in one stitch", "shell", "a V", "in a space", "crossed", "long dc", "picot", "ring of chains"):
        assert form in said


def test_names_in_one_set_of_terms() -> None:
    """A chart's key in UK terms never says single crochet."""
    said = words(draw_key(terms="UK"))
    assert "single crochet" not in said and "half treble crochet" in said


def test_entries_do_not_run_into_each_other() -> None:
    """Lines of words in one column are at least a type size apart."""
    labels = [i for i in walk(draw_key().items) if isinstance(i, Label) and i.classes == ""]
    columns: dict[float, set[float]] = {}
    for label in labels:
        columns.setdefault(round(label.x), set()).add(label.y)
    for ys in columns.values():
        ordered = sorted(ys)
        assert all(b - a >= 2.8 for a, b in zip(ordered, ordered[1:]))


def test_a_patterns_key_holds_what_its_sizes_use() -> None:
    said = words(draw_chart_key(document(), [disc(2)[0]]))
    assert "double crochet" in said and "treble" not in said and "Sorrel coaster" in said


def test_a_key_goes_from_the_plain_to_what_is_made_of_it() -> None:
    """As the trade's lists do: a stitch, then worked round the post, front before back; closed together last."""
    made, simple = registry().made, registry().simple
    wanted = [
        simple["chain"], simple["slip_stitch"], simple["single_crochet"], simple["reverse_single"], simple["double_crochet"],
        made("front_post", "double_crochet", 1), made("back_post", "double_crochet", 1), simple["treble"],
        made("together", "double_crochet", 2), made("together", "double_crochet", 3),
        made("cluster", "double_crochet", 3), made("bobble", "double_crochet", 3), made("popcorn", "double_crochet", 5),
    ]
    assert sorted(reversed(wanted), key=in_order) == wanted


def test_marks_are_called_alike_in_every_key() -> None:
    """The arrow was the way of working beside a chart and the direction of work in the key of every stitch."""
    said = words(draw_key())
    assert all(name in said for _, name in MARK_WORDS.values())


def test_the_key_of_every_stitch_prints_on_one_page() -> None:
    """A4 on its side, 297 x 210 mm (ISO 216), in whatever terms."""
    for terms in ("US", "UK", "old"):
        sheet = draw_key(terms=terms)
        assert sheet.width <= 297 and sheet.height <= 210


def test_chains_that_count_in_one_round_and_not_in_another_are_told_apart_by_number(tmp_path: Path) -> None:
    """"3 ch: not counted" beside "3 ch: stand for 1 dc" is no help without the rounds."""
    file = tmp_path / "key.yaml"
    file.write_text(spec("""Ch 6, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 3 (does not count as a st), 2 dc in each st around; join with sl st in first dc. (24 dc)
Rnd 3: Ch 1, sc in each st around; join with sl st in first sc. (24 sc)"""))
    said = chart(file)
    assert "3 ch at the start of a round: stand for 1 dc (round 1)" in said
    assert "3 ch at the start of a round: not counted (round 2)" in said
    assert ">1 ch at the start of a round: not counted<" in said


@pytest.mark.parametrize("width", [90.0, 130.0, 180.0, 260.0])
@pytest.mark.parametrize("signs", [2, 5, 9])
def test_notes_stand_together_beside_or_below_the_signs(width: float, signs: int) -> None:
    """Under a wide chart one note stood at the foot of a column of signs, farther left than they, the rest beside it."""
    notes = ["3 ch at the start of a round: stand for 1 dc", "1 ch at the start of a row: not counted", "the chart shows the right side"]
    entries = [*[mark_entry("start", f"sign {n}") for n in range(signs)], *map(note_entry, notes)]
    items, across, _ = set_under(entries, 0.0, 0.0, width)
    placed = {label.text: label for label in walk(items) if isinstance(label, Label)}
    those, these = [placed[f"sign {n}"] for n in range(signs)], [placed[note] for note in notes]
    assert across <= width and len(placed) == len(entries)
    assert min(n.x for n in these) > max(s.x for s in those) or min(n.y for n in these) > max(s.y for s in those)
