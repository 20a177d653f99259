"""The table of cautions, row by row, each held against what its source says.

Sources are named in full in `chartgen/checks/cautions.yaml`.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from chartgen.checks.cautions import cautions
from chartgen.checks.table import table
from chartgen.fabric import Fabric, PartInfo, PieceInfo, Place, Row, Stitch
from chartgen.problems import Problem, Source, Span
from chartgen.read import Block, Document, Gauge, Part, Piece, Text
from chartgen.stitches import registry

ROWS = "Rnd 1: 6 sc in ring. (6 sc)"


def pattern(
    title: str,
    wearer: str | tuple[str, ...],
    *words: str,
    sizes: tuple[str, ...] = (),
    part: str = "Main",
    gauge: bool = True,
) -> Document:
    """A spec of one part whose rows are `words`; 20 sts to 10 cm where a gauge is asked for."""
    text = "\n".join(words or (ROWS,))
    starts = [sum(len(line) + 1 for line in text.split("\n")[:i]) for i in range(len(words or (ROWS,)))]
    block = Block(tuple(zip(text.split("\n"), starts, strict=True)), Span(0, len(text)))
    nowhere = Span(0, 0)
    sc = Gauge(Text("sc", nowhere), Fraction(20), Fraction(20), Fraction(10), Fraction(10))
    return Document(
        source=Source("test.yaml", text),
        title=title,
        terms="US",
        wearer=(wearer,) if isinstance(wearer, str) else wearer,
        sizes=sizes,
        gauge=(sc,) if gauge else (),
        pieces=(Piece(Text("Piece", nowhere), (Part(Text(part, nowhere), "rows", block),)),),
    )


def found(document: Document, *fabrics: Fabric) -> dict[str, Problem]:
    """Cautions by code, without the one that is always there."""
    return {p.code: p for p in cautions(document, fabrics) if p.code != "S514"}


def chain_only(chains: int) -> Fabric:
    """A part that is a chain and nothing else, as a tie is written: "Ch 60. Fasten off"."""
    kind = registry().kind("chain")
    stitches = tuple(Stitch(i, kind, 0, 0, 0, i + 1, "RS", role="foundation") for i in range(chains))
    line = tuple(range(chains))
    row = Row(0, 0, 0, "0", "foundation", "RS", False, "off", line, line)
    part = PartInfo("Main", "rows", (0,), begins_anew=True)
    return Fabric(None, (PieceInfo("Piece", (part,)),), (row,), stitches)


def with_space(chains: int) -> Fabric:
    """One row: sc, a run of chains, sc."""
    chain, single = registry().kind("chain"), registry().kind("single_crochet")
    kinds = [chain] * (chains + 2) + [single] + [chain] * chains + [single]
    first = chains + 2
    stitches = tuple(
        Stitch(i, kind, 0, 0, int(i >= first), i + 1, "RS", role="foundation" if i < first else "",
               feet=(Place("stitch", (i - first,)),) if kind is single else ())
        for i, kind in enumerate(kinds)
    )  # fmt: skip
    below, above = tuple(range(first)), tuple(range(first, len(kinds)))
    rows = (
        Row(0, 0, 0, "0", "foundation", "RS", False, "turn", below, below),
        Row(1, 0, 0, "1", "row", "RS", True, "off", above, above),
    )
    part = PartInfo("Main", "rows", (0, 1), begins_anew=True)
    return Fabric(None, (PieceInfo("Piece", (part,)),), rows, stitches)


# ---- cords and drawstrings on clothing


@pytest.mark.parametrize("wearer", ["baby", "child"])
def test_cord_at_the_neck_of_childrens_clothes_is_an_error(wearer: str) -> None:
    """None allowed, sizes 2T-12 (CPSC, Drawstrings FAQ, 2019; 76 FR 42502) or to 7 years (Tukes)."""
    caution = found(pattern("Sage jacket", wearer, "Thread a drawstring through the hood."))["S501"]
    assert caution.severity == "error"
    assert "size 12" in caution.message and "7 years" in caution.message


def test_cord_is_not_the_business_of_adults() -> None:
    """The rules are for children: EN 14682 ends at 14 years (scope, 2014)."""
    assert found(pattern("Sage jacket", "adult", "Thread a drawstring through the hood.")) == {}


@pytest.mark.parametrize("title", ["Thyme bonnet", "Thyme hats", "Dill bib", "Fennel scarf"])
def test_ties_on_a_childs_hat_are_a_warning_not_an_error(title: str) -> None:
    """EN 14682:2014 leaves hats, bonnets and scarves out of its scope; prEN 14682:2023 (abstract)
    asks for a risk assessment by the same zones. So: warn strongly."""
    caution = found(pattern(title, "child", "Make two ties."))["S502"]
    assert caution.severity == "warning"


def test_free_cord_end_at_the_hem_is_a_warning_with_both_limits() -> None:
    """US: 3 in = 76 mm outside the channel (CPSC FAQ, 2019); EU: 140 mm (EN 14682:2007, as
    summarised by a test laboratory, 2011)."""
    caution = found(pattern("Sage jacket", "child", "Thread a cord through the hem."))["S503"]
    assert caution.severity == "warning"
    assert "76 mm" in caution.message and "140 mm" in caution.message
    assert round(3 * 25.4) == 76


@pytest.mark.parametrize(("chains", "caught"), [(15, False), (16, True)])
def test_chain_cord_is_measured_against_the_shorter_limit(chains: int, caught: bool) -> None:
    """At 20 sts to 10 cm a chain is 5 mm wide: 15 make 75 mm, 16 make 80 mm; the limit is 76."""
    assert ("S503" in found(pattern("Sage jacket", "child"), chain_only(chains))) == caught


def test_chain_cord_on_a_bonnet_is_found_without_a_word() -> None:
    """60 chains of 5 mm: 30 cm."""
    caution = found(pattern("Thyme bonnet", "baby"), chain_only(60))["S502"]
    assert "a chain of 60" in caution.message and "30 cm" in caution.message


def test_chain_cord_without_a_gauge_is_named_without_a_length() -> None:
    caution = found(pattern("Thyme bonnet", "baby", gauge=False), chain_only(60))["S502"]
    assert "a chain of 60" in caution.message and "cm" not in caution.message


def test_closed_loop_at_the_neck() -> None:
    """At most 150 mm around, none at the neck (EN 14682:2007 as summarised, 2011)."""
    caution = found(pattern("Sage jacket", "child", "Work a hanging loop."))["S504"]
    assert caution.severity == "warning" and "150 mm" in caution.message


# ---- toys


@pytest.mark.parametrize(("chains", "caught"), [(44, False), (45, True)])
def test_cord_on_a_toy(chains: int, caught: bool) -> None:
    """At most 220 mm free, noose 380 mm (EN 71-1:2005+A8:2009, 5.4). 44 chains of 5 mm are 220 mm."""
    caution = found(pattern("Borage rabbit", "toy"), chain_only(chains)).get("S505")
    assert (caution is not None) == caught
    if caution:
        assert "220 mm" in caution.message and "380 mm" in caution.message


@pytest.mark.parametrize("word", ["button", "Beads", "bells", "safety eyes"])
def test_small_part_on_a_toy_is_an_error(word: str) -> None:
    """Nothing that fits the cylinder, 31.7 mm across and to 57.1 mm deep (16 CFR 1501.4: 1.25 in
    by 1 to 2.25 in); soft toys count as for under 36 months (EN 71-1)."""
    caution = found(pattern("Borage rabbit", "toy", f"Add {word}."))["S506"]
    assert caution.severity == "error" and "embroider" in caution.help
    assert "31.7" in caution.message and "57.1" in caution.message
    assert (1.25 * 25.4, 2.25 * 25.4) == pytest.approx((31.7, 57.1), abs=0.06)


@pytest.mark.parametrize(
    "words",
    [
        "Embroider the eyes in black.", "Eyes: embroidered with yarn.", "Work without buttons.",
        "No beads are used.", "Work in bell stitch.", "Weave in the end with an eye of needle.",
    ],
)  # fmt: skip
def test_words_that_name_no_small_part(words: str) -> None:
    """Yarn that comes off is no small part (16 CFR 1501.4); what is left out cannot come off."""
    assert "S506" not in found(pattern("Borage rabbit", "toy", words))


# ---- small parts and pompoms on garments


def test_button_on_a_babys_garment_is_a_warning() -> None:
    """Children's clothing and its buttons are exempt from the rule: 16 CFR 1501.3(d). Warn only."""
    caution = found(pattern("Sage cardigan", "baby", "Sew on 5 buttons."))["S507"]
    assert caution.severity == "warning"
    assert caution.span == Span(9, 16)


def test_button_on_an_older_childs_garment_is_no_matter() -> None:
    """The limit is 36 months (16 CFR 1501.1)."""
    assert found(pattern("Sage cardigan", "child", "Sew on 5 buttons.")) == {}


@pytest.mark.parametrize("wearer", ["baby", "child", "toy"])
def test_magnet_is_an_error(wearer: str) -> None:
    """From memory, no source: swallowed magnets and button cells injure from within."""
    assert found(pattern("Dill set", wearer, "Sew in a magnet."))["S508"].severity == "error"


def test_button_cell_is_not_a_button() -> None:
    assert "S507" not in found(pattern("Dill set", "baby", "Use one button cell."))


@pytest.mark.parametrize("word", ["pompom", "pom-poms", "pom pom"])
def test_pompom_for_a_baby_is_a_warning(word: str) -> None:
    """Its yarn is exempt in the small-parts test (16 CFR 1501.4); anchoring it is practice."""
    assert found(pattern("Thyme hat", "baby", f"Top with a {word}."))["S509"].severity == "warning"


# ---- sleep, holes, scarves


def test_every_babys_hat_says_off_indoors() -> None:
    """AAP 2022: no hats indoors for infants, as reported by ABC News, 2022."""
    assert found(pattern("Thyme hat", "baby"))["S510"].severity == "note"


def test_blanket_says_not_in_the_sleep_space() -> None:
    """AAP 2022: under 1 year no blankets, pillows or toys in the sleep space."""
    assert "12 months" in found(pattern("Comfrey blanket", "baby"))["S511"].message
    assert "12 months" in found(pattern("Borage rabbit", "toy"))["S511"].message
    assert found(pattern("Comfrey blanket", "home")) == {}


@pytest.mark.parametrize(("chains", "caught"), [(1, False), (2, True)])
def test_holes_of_lace_mittens(chains: int, caught: bool) -> None:
    """About 8-10 mm, from memory. At 20 sts to 10 cm: ch 1 is 5 mm, ch 2 is 10 mm."""
    caution = found(pattern("Dill mittens", "baby"), with_space(chains)).get("S512")
    assert (caution is not None) == caught


def test_scarf_for_a_small_child() -> None:
    """Practice: a strangulation note under 3 years."""
    assert found(pattern("Fennel scarf", "baby"))["S513"].severity == "note"
    assert found(pattern("Fennel scarf", "child")) == {}


@pytest.mark.parametrize(("wearer", "said"), [("baby", 1), ("child", 1), ("toy", 1), ("adult", 0), ("home", 0)])
def test_local_rules_line(wearer: str, said: int) -> None:
    assert [p.code for p in cautions(pattern("Dill mat", wearer), [])].count("S514") == said


# ---- sizes, words, data


def test_each_size_has_its_own_wearer() -> None:
    """`for: [baby, child, adult]`: the baby's hat is caught, and the size is named."""
    document = pattern("Thyme hat", ("baby", "child", "adult"), sizes=("B", "C", "A"))
    by_code = {p.code: p for p in cautions(document, [])}
    assert (by_code["S510"].size, by_code["S510"].also) == ("B", ())
    assert (by_code["S514"].size, by_code["S514"].also) == ("B", ("C",))


def test_a_caution_all_sizes_share_is_said_once() -> None:
    document = pattern("Thyme hat", "baby", sizes=("S", "M"))
    assert [p.size for p in cautions(document, []) if p.code == "S510"] == [None]


def test_an_age_in_the_size_is_believed() -> None:
    """A child's hat in "6 months" is a baby's hat; a baby's in "2 years" is past 12 months."""
    document = pattern("Thyme hat", ("child", "baby"), sizes=("3-6 months", "2 years"))
    [caution] = [p for p in cautions(document, []) if p.code == "S510"]
    assert (caution.size, caution.also) == ("3-6 months", ())


@pytest.mark.parametrize("word", ["tie off", "eyelet", "belted", "buttoned", "nosegay"])
def test_only_whole_words_count(word: str) -> None:
    assert found(pattern("Dill mat", "baby", f"Then {word}.")) == {}


def test_every_row_of_the_table_names_known_things() -> None:
    """A slip in the data would make a rule that never fires."""
    known = table()
    for rule in known.rules:
        assert set(rule.wearers) <= set(known.ages), rule.code
        assert {*rule.items} <= {*known.items, ""}, rule.code
        assert rule.finds is None or rule.finds in known.finds, rule.code
        assert {rule.zone, rule.not_zone} <= {None, *known.zones}, rule.code
        assert set(rule.source) <= set(known.sources), rule.code
        assert rule.source or "memory" in rule.confidence or "practice" in rule.confidence, rule.code


def test_the_cap_of_a_sleeve_is_no_hat() -> None:
    """Where `item` says what is made, a part's name does not; without it a "Cap" may be one."""
    sleeve = pattern("Sage pullover", "baby")
    piece = sleeve.pieces[0]
    capped = replace(sleeve, pieces=(replace(piece, parts=(replace(piece.parts[0], name=replace(piece.parts[0].name, value="Cap")),)),))
    assert "S510" in found(capped)
    assert "S510" not in found(replace(capped, item=replace(piece.name, value="pullover in pieces")))


@pytest.mark.parametrize("where", ["notions", "finishing", "notes"])
def test_what_hurts_is_found_wherever_it_is_named(where: str) -> None:
    """A button among the notions or in the finishing chokes as one in a row does (16 CFR 1501.4)."""
    words = (Text("Sew on 2 buttons.", Span(0, 0)),)
    assert "S506" in found(replace(pattern("Bear", "toy"), **{where: words}))
