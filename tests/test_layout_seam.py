"""The seam of a round, judged on the finished chart: nothing laps, and chains read at print size.

Aims are those of the audit: no ink on ink that is not joined, a stroke of paper between, ovals
of 2 mm (what readers need). The rows themselves are made up.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from patterns import spec, worked
from test_layout_figures import judged

from chartgen import chart
from chartgen.audit import Audit, audit, read_chart
from chartgen.layout import lay_out

CHAINS = {"sc": 1, "hdc": 2, "dc": 3, "tr": 4}
FLAT = {"sc": 6, "hdc": 8, "dc": 12, "tr": 16}


def clear(found: Audit) -> None:
    for key in ("misdrawn", "overlap", "fans", "cross", "close", "feet", "adrift"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


def chains(found: Audit, but: str = "-") -> float:
    """The smallest oval over 2 mm, rows of this number left out."""
    return min(value for value, who in found["size"].entries if who.endswith(" ch") and f" {but}:" not in who)


@pytest.mark.parametrize("kind", CHAINS)
@pytest.mark.parametrize("begun", ["Make an adjustable ring.", "Ch 4, join with sl st to form a ring."])
def test_a_chain_that_does_not_count_has_its_place_in_a_disc(kind: str, begun: str, tmp_path: Path) -> None:
    first = f"Ch {CHAINS[kind]} (does not count as a st)"
    n, last = FLAT[kind], f"join with sl st in first {kind}"
    found = judged(
        f"{begun}\n"
        f"Rnd 1: {first}, {n} {kind} in ring; {last}. ({n} {kind})\n"
        f"Rnd 2: {first}, 2 {kind} in each st around; {last}. ({2 * n} {kind})\n"
        f"Rnd 3: {first}, *2 {kind} in next st, {kind} in next st; rep from * around; {last}. ({3 * n} {kind})\n"
        f"Rnd 4: {first}, {kind} in each st around; {last}. ({3 * n} {kind})",
        tmp_path,
    )
    clear(found)
    assert found["even"].value() < 2 and found["round"].value() < 2 and found["symm"].value() < 0.5
    assert chains(found, but="1") >= 1.0 and chains(found) > 0.75


@pytest.mark.parametrize("kind", CHAINS)
def test_a_chain_that_does_not_count_has_its_place_beside_a_strip(kind: str, tmp_path: Path) -> None:
    first, last = f"Ch {CHAINS[kind]} (does not count as a st)", f"join with sl st in first {kind}"
    found = judged(
        f"Ch 24, join with sl st to form a ring.\n"
        f"Rnd 1: {first}, {kind} in each ch around; {last}. (24 {kind})\n"
        f"Rnds 2-4: {first}, {kind} in each st around; {last}. (24 {kind})",
        tmp_path,
    )
    clear(found)
    assert chains(found) >= 1.0


def test_a_rib_of_posts_on_a_long_ring_is_a_strip_and_every_hook_is_on_its_post(tmp_path: Path) -> None:
    found = judged(
        "Ch 80, join with sl st to form a ring.\n"
        "Rnd 1: Ch 3 (counts as dc), dc in each of next 79 chs; join with sl st in top of ch-3. (80 dc)\n"
        "Rnds 2-4: Ch 2 (does not count as a st), *fpdc around next st, bpdc around next st; rep from * around; "
        "join with sl st in first fpdc. (40 fpdc, 40 bpdc)",
        tmp_path,
    )
    clear(found)
    assert found["straight"].value() < 0.05 and found["foot"].value() < 0.1 * 2.8


def test_posts_on_a_disc_pass_the_dot_of_the_join(tmp_path: Path) -> None:
    found = judged(
        "Make an adjustable ring.\n"
        "Rnd 1: Ch 3 (does not count as a st), 12 dc in ring; join with sl st in first dc. (12 dc)\n"
        "Rnd 2: Ch 2 (does not count as a st), *fpdc around next st, dc in same st; rep from * around; "
        "join with sl st in first fpdc. (12 fpdc, 12 dc)",
        tmp_path,
    )
    assert found["foot"].value() < 0.1 * 2.8 and found["overlap"].value() == found["cross"].value() == 0
    assert found["adrift"].value() == 0 and found["misdrawn"].value() == 0


def test_a_chain_at_the_corner_of_a_square_stands_between_its_stitches(tmp_path: Path) -> None:
    found = judged(
        "Ch 4, join with sl st to form a ring.\n"
        "Rnd 1: Ch 1 (does not count as a st), [3 sc in next ch] 4 times; join with sl st in first sc. (12 sc)\n"
        "Rnd 2: Ch 1, sc in first st, *3 sc in next st, sc in each of next 2 sts; rep from * 2 more times, "
        "3 sc in next st, sc in next st; join. (20 sc)",
        tmp_path,
    )
    clear(found)
    assert chains(found) >= 1.0


@pytest.mark.parametrize("kind", ["hdc", "dc"])
def test_a_hook_round_the_first_post_of_a_strip_keeps_clear_of_the_chain_beside_it(kind: str, tmp_path: Path) -> None:
    """Of a rib on plain rounds: the hook reaches out half way up the post, where the chain stands."""
    first, last = f"Ch {CHAINS[kind]} (does not count as a st)", f"join with sl st in first {kind}"
    found = judged(
        "Ch 24, join with sl st to form a ring.\n"
        f"Rnd 1: {first}, {kind} in each ch around; {last}. (24 {kind})\n"
        f"Rnds 2-4: {first}, {kind} in each st around; {last}. (24 {kind})\n"
        "Rnds 5-6: Ch 2 (does not count as a st), *fpdc around next st, bpdc around next st; rep from * around; "
        "join with sl st in first fpdc. (12 fpdc, 12 bpdc)",
        tmp_path,
    )
    clear(found)


def test_a_chain_between_two_stitches_in_one_place_keeps_clear_of_both(tmp_path: Path) -> None:
    """A square begun and ended in its corner, round by round."""
    found = judged(
        "Ch 4, join with sl st to form a ring.\n"
        "Rnd 1: Ch 1 (does not count as a st here or throughout), 2 sc in first ch, 3 sc in each of next 3 chs, "
        "sc in same ch as first 2 sc; join with sl st in first sc. (12 sc)\n"
        "Rnd 2: Ch 1, 2 sc in same st as join, sc in each of next 2 sc, *3 sc in next sc, sc in each of next 2 sc; "
        "rep from * twice more, sc in same st as first 2 sc; join. (20 sc)",
        tmp_path,
    )
    clear(found)


@pytest.mark.parametrize("kind", CHAINS)
def test_a_chain_stands_beside_a_first_stitch_that_leans_out(kind: str, tmp_path: Path) -> None:
    """At a growing edge: along the stem, on its outer side, not under it."""
    first = f"Ch {CHAINS[kind]} (does not count as a st), turn"
    file = tmp_path / "rows.yaml"
    file.write_text(spec(
        f"Ch 8.\nRow 1: Skip 1 ch, sc in each of next 7 ch. (7 sc)\n"
        f"Row 2: {first}, 2 {kind} in first st, {kind} in each st across to last st, 2 {kind} in last st. (9 {kind})\n"
        f"Row 3: {first}, 3 {kind} in first st, {kind} in each st across to last st, 3 {kind} in last st. (13 {kind})",
        "rows",
    ))
    found = audit(read_chart(chart(file), "rows"))
    for key in ("overlap", "deep", "close", "cross", "feet", "misdrawn"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


def test_a_chain_that_does_not_count_stands_clear_of_a_wide_first_stitch(tmp_path: Path) -> None:
    """A first dc2tog stands on two legs, a puff is as wide as two stitches: the chain stands beside all of it."""
    words = """Ch 20.
    Row 1: Dc in 4th ch from hook and in each ch across, turn. (18 dc)
    Row 2: Ch 3 (does not count as a st), *(dc2tog over next 2 sts) twice, (2 dc in next st) 4 times; rep from * once more, dc2tog over last 2 sts, turn.
    Row 3: Ch 2 (does not count as a st), *3-hdc puff in next st, dc in next st; rep from * to last st, dc in last st."""
    file = tmp_path / "figure.yaml"
    file.write_text(spec(words, "rows"))
    found = audit(read_chart(chart(file), "figure"))
    assert found["overlap"].value() == found["cross"].value() == 0


@pytest.mark.parametrize(("kind", "chains_made", "more"), [("dc", 4, 11), ("dc", 4, 9), ("hdc", 3, 7), ("tr", 5, 15)])
def test_skipped_chains_stand_as_the_first_stitch_of_a_disc_in_one_chain(kind: str, chains_made: int, more: int, tmp_path: Path) -> None:
    """ "Ch 4, 11 dc in 4th ch from hook; join in top of ch-3": a disc of 12 places like any other (common practice, no source)."""
    places = more + 1
    found = judged(
        f"Rnd 1: Ch {chains_made}, {more} {kind} in {chains_made}th ch from hook; "
        f"join with sl st in top of ch-{chains_made - 1}. ({places} {kind})\n"
        f"Rnd 2: Ch {chains_made - 1} (counts as {kind}), {kind} in same st, 2 {kind} in each st around; "
        f"join in top of ch-{chains_made - 1}. ({2 * places} {kind})".replace("3th", "3rd"),
        tmp_path,
    )
    for key in ("misdrawn", "overlap", "fans", "cross", "feet", "adrift", "recount"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    assert found["uneven"].value() < 2 and found["stretch"].value() < 1.3 and found["squeeze"].value() > 0.7


def test_twelve_places_lie_evenly_round_the_one_chain() -> None:
    """Places of a twelfth of a turn each, by plane geometry; the skipped chains stand in the first, the join beside their top."""
    fabric, _ = worked("Rnd 1: Ch 4, 11 dc in 4th ch from hook; join with sl st in top of ch-3. (12 dc)")
    laid = lay_out(fabric)
    heads = laid.head @ np.array([1, 1j])
    middle, line = heads[0], list(fabric.rows[1].line)
    spokes = heads[line] - middle
    assert np.allclose(np.abs(np.diff(np.unwrap(np.angle(spokes)))), np.pi / 6, atol=1e-6)
    assert np.allclose(np.abs(spokes), np.abs(spokes).mean(), rtol=1e-6)
    column = heads[[1, 2, 3]] - middle
    assert line[0] == 3 and np.allclose(np.angle(column), np.angle(spokes[0]))
    join = fabric.rows[1].stitches[-1]
    assert fabric.stitches[join].feet[0].stitches == (3,) and abs(heads[join] - heads[3]) < 0.6


def test_skipped_chains_that_do_not_count_stand_beside_the_first_stitch_of_a_disc(tmp_path: Path) -> None:
    found = judged(
        "Rnd 1: Ch 3, 10 dc in 3rd ch from hook (skipped chs do not count); join with sl st in first dc. (10 dc)\n"
        "Rnd 2: Ch 2 (does not count as a st), 2 dc in each st around; join with sl st in first dc. (20 dc)",
        tmp_path,
    )
    for key in ("misdrawn", "overlap", "fans", "cross", "feet", "adrift", "recount"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    assert found["uneven"].value() < 2 and chains(found) >= 1.0


_MEDALLION = """Ch 5, join with sl st to form a ring.
Rnd 1: Ch 3, 2-dc cluster in ring, (ch 4, 3-dc cluster in ring) 5 times, ch 4; join with sl st in first cluster.
Rnd 2: Sl st in next ch-4 sp, ch 3, (2-dc cluster, ch 3, 3-dc cluster) in same sp, *ch 3, (3-dc cluster, ch 3, 3-dc cluster) in next sp; rep from * around, ch 3; join.
Rnd 3: Sl st in next sp, ch 3, (2-dc cluster, ch 3, 3-dc cluster) in same sp, *ch 3, sc in next sp, ch 3, (3-dc cluster, ch 3, 3-dc cluster) in next sp; rep from * around, ch 3, sc in next sp, ch 3; join."""
_SPOKES = """Make an adjustable ring.
Rnd 1: Ch 3 (counts as dc), 4 dc in ring, (ch 3, 5 dc in ring) 3 times, ch 3; join in top of ch-3. (20 dc)
Rnd 2: Ch 2, dc4tog over next 4 dc, *ch 4, sc in next ch-3 sp, ch 4, dc5tog over next 5 dc; rep from * around, ch 4, sc in next ch-3 sp, ch 4; join in top of first cluster."""


@pytest.mark.parametrize("words", [_MEDALLION, _SPOKES])
def test_a_beginning_chain_that_is_a_leg_of_a_cluster_reads_and_keeps_clear_of_the_other_legs(words: str, tmp_path: Path) -> None:
    found = judged(words, tmp_path)
    for key in ("misdrawn", "overlap", "cross", "feet", "recount"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    begun = {f"{row}:{n}" for row in (1, 2, 3) for n in (1, 2, 3, 4)}
    close = [entry for entry in found["close"].entries if any(f" {who} ch" in entry[1] for who in begun) and entry[0] < 0.15]
    assert chains(found) >= 1.0 and not close


_JOINS = {
    "into the cluster after a chain that counts": """Make an adjustable ring.
Rnd 1: Ch 3 (counts as dc), dc in ring, *ch 2, dc2tog in ring; rep from * 4 more times, ch 2; join in top of ch-3.
Rnd 2: Sl st in next ch-2 sp, ch 3 (counts as dc), (dc2tog, ch 3, dc3tog) in same sp, *ch 1, (dc3tog, ch 3, dc3tog) in next ch-2 sp; rep from * around, ch 1; join with sl st in top of first cluster.""",
    "beside a chain that leans from a post": """Make an adjustable ring.
Rnd 1: Ch 1, 8 sc in ring; join with sl st in first sc. (8 sc)
Rnd 2: Ch 2, *3-hdc puff in next sc, ch 2; rep from * around; join with sl st in first puff. (8 puffs)
Rnd 3: Sl st in next ch-2 sp, ch 3 (counts as dc), 3 dc in same sp, *fpsc around next puff, 4 dc in next ch-2 sp; rep from * around, ending with fpsc around last puff; join in top of ch-3.""",
    "on a stitch with a loop's leg beside it": """Ch 6, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), dc in ring, ch 2, (2 dc in ring, ch 2) 5 times; join with sl st to top of ch-3.
Rnd 2: Sl st to ch-2 sp, ch 3 (counts as dc), (dc, ch 3, 2 dc) in same sp, ch 1, *(2 dc, ch 3, 2 dc) in next ch-2 sp, ch 1; rep from * 4 more times; join.
Rnd 3: Sl st to ch-3 sp, ch 1, *(sc, ch 5, sc, ch 7, sc, ch 5, sc) in ch-3 sp, ch 3, sc in ch-1 sp, ch 3; rep from * around; join with sl st to first sc.""",
    "above the chain of the round below": """Make an adjustable ring.
Rnd 1: Ch 1, 12 sc in ring; join with sl st in first sc. (12 sc)
Rnd 2: Ch 1, sc in same st, *skip next sc, (sl st, ch 2, 4 dc, ch 2, sl st) in next sc; rep from * 4 more times, skip last sc; join with sl st in first sc.""",
}


@pytest.mark.parametrize("where", _JOINS)
def test_what_closes_and_begins_a_round_lies_on_no_chain(where: str, tmp_path: Path) -> None:
    found = judged(_JOINS[where], tmp_path)
    for key in ("misdrawn", "overlap", "cross", "feet", "recount"):
        assert found[key].value() == 0, (key, found[key].entries[:3])


def test_a_chain_beside_a_decrease_on_a_strip_stays_beside_it() -> None:
    """No more than a chain's length of 2.8 mm from the nearer foot of the first sc2tog that closes a thumb."""
    found = read_chart(chart(Path(__file__).parent.parent / "specs" / "tarragon-mitten.yaml"), "mitten")
    begun, first = [s for s in found.stitches if s.part[-1] == "thumb" and str(s.row) == "9"][:2]
    assert begun.is_chain and first.kind == "sc2tog"
    assert min(np.hypot(x - begun.head[0], y - begun.head[1]) for x, y in first.feet) < 2.8


def test_a_tube_on_an_oval_is_cut_where_its_rounds_start(tmp_path: Path) -> None:
    """The oval's last two stitches stand in the chain of its first: the decreases of the tube lay across the cut."""
    words = """Ch 13.
Rnd 1: 2 sc in 2nd ch from hook, sc in each of next 10 ch, 4 sc in last ch; working along other side of chain, sc in each of next 10 ch, 2 sc in same ch as first 2 sc; join with sl st in first sc. (28 sc)
Rnd 2: Ch 2 (does not count as a st throughout), hdc in same st, hdc in each sc around; join with sl st in first hdc. (28 hdc)
Rnds 3-5: Ch 2, hdc in each hdc around; join. (28 hdc)
Rnd 6: Ch 2, *hdc in each of next 5 hdc, hdc2tog; rep from * around; join. (24 sts)
Rnd 7: Ch 2, *hdc in each of next 4 sts, hdc2tog; rep from * around; join. (20 sts)"""
    found = judged(words, tmp_path)
    for key in ("misdrawn", "overlap", "cross", "feet", "recount", "labels"):
        assert found[key].value() == 0, (key, found[key].entries[:3])
    assert found["stretch"].value() <= 1.3


CROWDED = {
    "a loop behind it": """Ch 6, join with sl st to form a ring.
Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
Rnd 2: Ch 3 (counts as dc), dc in next dc, *ch 5, dc in each of next 2 dc; rep from * around, ending with ch 5; join with sl st in top of ch-3. (6 loops)
Rnd 3: Ch 1, *sc in 3rd ch of next loop, ch 7; rep from * around; join with sl st in first sc. (6 loops)""",
    "loops over petals": """Ch 5, join with sl st to form a ring.
Rnd 1: Ch 1, 8 sc in ring; join with sl st in first sc. (8 sc)
Rnd 2: Ch 1, sc in same st, *ch 3, skip next sc, sc in next sc; rep from * around, omitting last sc; join with sl st in first sc. (4 loops)
Rnd 3: In each loop around make sc, 5 dc and sc; join with sl st in first sc. (4 petals)
Rnd 4: Sl st in each of next 2 sts, ch 1, sc in same st, *ch 5, skip 1 dc, sc in next dc, ch 5, sc in 2nd dc of next petal; rep from * around, ending with ch 5, skip 1 dc, sc in next dc, ch 5; join with sl st in first sc.""",
    "picots beside it": """Ch 5, join with sl st to form a ring.
Rnd 1: Ch 1, 24 sc in ring; join with sl st in first sc. (24 sc)
Rnd 2: Ch 1, sc in same sc, sc in next sc, (ch 3, sl st in 3rd ch from hook: picot made), *sc in each of next 2 sc, picot; rep from * around; join. (24 sc, 12 picots)""",
    "a shell round below": """Ch 5, join with sl st to form a ring.
Rnd 1: Ch 1, 12 sc in ring; join with sl st in first sc. (12 sc)
Rnd 2: Ch 1, 2 sc in each sc around; join with sl st in first sc. (24 sc)
Rnd 3: Ch 1, sc in same st, *skip next sc, 5 dc in next sc, skip next sc, sc in next sc; rep from * around, omitting last sc; join with sl st in first sc. (6 shells)""",
}


@pytest.mark.parametrize("name", CROWDED)
def test_a_chain_that_does_not_count_moves_off_what_it_would_lie_on(name: str, tmp_path: Path) -> None:
    """At a crowded seam it stands where there is paper, no smaller than reads (2 mm), beside its round's beginning."""
    found = judged(CROWDED[name], tmp_path)
    assert (found["overlap"].value(), found["cross"].value(), found["feet"].value(), found["recount"].value()) == (0, 0, 0, 0)
    fabric, _ = worked(CROWDED[name])
    layout = lay_out(fabric)
    chain = next(s.index for s in fabric.stitches if s.row == len(fabric.rows) - 1 and s.role == "begin")
    first = fabric.rows[-1].line[0]
    assert np.hypot(*(layout.head[chain] - layout.head[first])) < 2.5
