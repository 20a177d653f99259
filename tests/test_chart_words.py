"""What a spec says under `chart` is what its charts, and its key, are drawn by."""

from __future__ import annotations

from pathlib import Path

import pytest

from chartgen.pipeline import build, chart

SPEC = """\
format: 1
title: Dill mat
terms: US
yarn:
  A: {{name: dill, colour: "#5a7a3a"}}
  B: {{name: chalk, colour: "#f4f1e8"}}
{chart}
pieces:
  - name: Mat
    parts:
      - name: Mat
        rows: |
          With A, ch 8.
          Row 1 (RS): Sc in 2nd ch from hook and in each ch across. (7 sc)
          Row 2: Ch 1, turn, sc in front loop only of each st across; change to B. (7 sc)
          Row 3: Ch 1, turn, sc in each st across. (7 sc)
"""


def spec(folder: Path, words: str = "") -> Path:
    path = folder / "dill.yaml"
    path.write_text(SPEC.format(chart=f"chart: {words}" if words else ""), encoding="utf-8")
    return path


def test_a_single_crochet_is_a_plus_unless_an_x_is_asked_for(tmp_path: Path) -> None:
    """Both signs are published; one stands in the chart, and the same in its key."""
    assert "single-crochet-x" not in chart(spec(tmp_path))
    path = spec(tmp_path, "{sc: x}")
    drawn = chart(path)
    assert "single-crochet-x" in drawn and "sign.single-crochet-middle" not in drawn
    build(path, tmp_path / "out")
    assert "single-crochet-x" in (tmp_path / "out" / "dill.key.svg").read_text("utf-8")


@pytest.mark.parametrize(("words", "sign"), [("", "back-loop"), ("{loops: as worked}", "front-loop")])
def test_loops_of_a_wrong_side_row(tmp_path: Path, words: str, sign: str) -> None:
    """The front loop of a wrong-side row is the back loop seen from the right side."""
    drawn = chart(spec(tmp_path, words))
    assert f"sign.{sign}-foot" in drawn
    other = {"back-loop": "front-loop", "front-loop": "back-loop"}[sign]
    assert f"sign.{other}-foot" not in drawn


def test_signs_in_the_inks_of_their_yarns(tmp_path: Path) -> None:
    """Sage green reads on white as it is (4.9:1), so it is the ink of rows in A."""
    assert "#5a7a3a" in chart(spec(tmp_path, "{inks: by yarn}")).split('id="mat"')[1].split('id="layer')[0]
    assert "#5a7a3a" not in chart(spec(tmp_path)).split('id="mat"')[1].split('id="layer')[0]


def test_a_piece_made_more_than_once_says_so(tmp_path: Path) -> None:
    path = spec(tmp_path)
    path.write_text(path.read_text("utf-8").replace("- name: Mat\n    parts", "- name: Mat\n    make: 6\n    parts"), "utf-8")
    assert "Mat (make 6)" in chart(path)


def test_the_other_hand_sees_a_raised_decrease_hooked_the_other_way() -> None:
    """Two raised from the front close in a mirror with their hooks to the left (the house's signs)."""
    from chartgen.stitches import registry
    from chartgen.wording.language import language
    from chartgen.wording.signs import sign_said

    front, back = (registry().made(f"{way}_post_together", "double_crochet", 2) for way in ("front", "back"))
    english = language("en-US")
    assert sign_said(front, english, left_handed=True) == sign_said(back, english) != sign_said(front, english)
