"""The commands about sizes: `sizes`, `plan`, `grade`, `yarn`, `set`. Options in, text out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

import click

SPEC = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
_TERMS = click.option("--terms", type=click.Choice(("US", "UK", "old")), default="US", show_default=True)


def _refuse(fault: Exception) -> NoReturn:
    click.echo(f"error: {fault}", err=True)
    raise SystemExit(2) from None


def _planned(make: Callable[[], str]) -> None:
    """Prints what `make` plans, or why it cannot be planned."""
    from chartgen.sizing.crown import NotPlanned

    try:
        click.echo(make(), nl=False)
    except NotPlanned as fault:
        _refuse(fault)


@click.command()
@click.argument("table", required=False)
@click.option("--inches", is_flag=True, help="Inches instead of cm.")
def sizes(table: str | None, inches: bool) -> None:
    """The body tables; with TABLE, that table, its sources and how sure each cell is."""
    from chartgen.sizing.body import find_table, nearest_tables, tables
    from chartgen.sizing.report import table_text, tables_text

    if table is None:
        click.echo(tables_text(tables().values()), nl=False)
        return
    found = find_table(table)
    if found is None:
        _refuse(LookupError(f"there is no body table {table!r}; there are {', '.join(nearest_tables(table))}"))
    click.echo(table_text(found, inches), nl=False)


@click.group()
def plan() -> None:
    """Rows worked out from measures: crowns, shaping, armholes, edgings."""


@plan.command()
@click.option("--gauge", required=True, help='As in a spec: "hdc: 14 sts and 10.5 rows = 10 cm".')
@click.option("--around", help="Finished circumference: 51.5 cm.")
@click.option("--count", type=click.IntRange(1, 10000), help="Stitches around, instead of --around.")
@click.option("--depth", help="Centre to edge along the fabric: 22 cm. The crown alone without it.")
@click.option("--multiple", type=click.IntRange(1, 1000), default=1, help="The count is a multiple of this.")
@click.option("--start", type=click.IntRange(3, 60), help="Stitches of the first round; by gauge without it.")
@_TERMS
def crown(gauge: str, around: str | None, count: int | None, depth: str | None, multiple: int, start: int | None, terms: str) -> None:
    """A hat's crown or a disc that lands on a size, and straight rounds to a depth."""
    if (around is None) == (count is None):
        raise click.UsageError("give one of --around and --count")
    _planned(lambda: _crown(gauge, around, count, depth, multiple, start, terms))


def _crown(gauge: str, around: str | None, count: int | None, depth: str | None, multiple: int, start: int | None, terms: str) -> str:
    from chartgen.sizing import asked
    from chartgen.sizing.crown import as_text
    from chartgen.sizing.crown import crown as make
    from chartgen.sizing.gauged import Allowed

    given = asked.gauge(gauge, terms)
    wide, high = asked.width(given), asked.height(given)
    target = count or Allowed(multiple, multiple).nearest(asked.length(around or "") / wide) or multiple
    return as_text(make(asked.stitch(given.stitch.value, terms), wide, high, target,
                        depth=asked.length(depth) if depth else None, start=start, terms=terms))


@plan.command()
@click.option("--stitch", default="sc", show_default=True, help="The stitch, in the terms given.")
@click.option("--from", "before", type=click.IntRange(1, 10000), required=True, help="Stitches at the start.")
@click.option("--to", "after", type=click.IntRange(1, 10000), required=True, help="Stitches at the end.")
@click.option("--rows", type=click.IntRange(1, 10000), required=True, help="Rows to do it in, after Row 1.")
@click.option("--every", type=click.IntRange(1, 100), default=1, help="Shape only on each row of this number: 2 for one side.")
@click.option("--one-end", is_flag=True, help="At the beginning of the rows only.")
@_TERMS
def shape(stitch: str, before: int, after: int, rows: int, every: int, one_end: bool, terms: str) -> None:
    """Increases or decreases spread evenly over the rows of a flat piece."""
    def make() -> str:
        from chartgen.sizing import asked
        from chartgen.sizing.shaping import panel, said, shaping

        found = shaping(before, after, rows, ends=1 if one_end else 2, every=every)
        return "\n".join([*panel(asked.stitch(stitch, terms), found, terms), "", said(found)]) + "\n"

    _planned(make)


@plan.command()
@click.option("--gauge", required=True, help='As in a spec: "sc: 18 sts and 20 rows = 10 cm".')
@click.option("--chest", type=click.IntRange(4, 10000), required=True, help="Stitches of the front or back at the chest.")
@click.option("--back", type=click.IntRange(2, 10000), required=True, help="Stitches of the cross back.")
@click.option("--depth", required=True, help="Armhole depth: 19 cm.")
@click.option("--every", type=click.IntRange(1, 10), default=2, show_default=True, help="Decrease on each row of this number.")
@click.option("--sleeve", type=click.IntRange(4, 10000), help="Stitches of the upper arm: plans the cap too.")
@click.option("--row", "first", type=click.IntRange(2, 10000), default=2, show_default=True, help="Number of the first row.")
@_TERMS
def armhole(gauge: str, chest: int, back: int, depth: str, every: int, sleeve: int | None, first: int, terms: str) -> None:
    """An armhole from chest to cross back, and the sleeve cap whose edge is as long."""
    def make() -> str:
        from chartgen.sizing import asked
        from chartgen.sizing.garment import armhole_text

        given = asked.gauge(gauge, terms)
        return armhole_text(asked.stitch(given.stitch.value, terms), terms, asked.width(given), asked.height(given),
                            chest, back, asked.length(depth), every, sleeve, first)

    _planned(make)


@plan.command()
@click.option("--gauge", required=True, help='Of the fabric: "dc: 14 sts and 8 rows = 10 cm".')
@click.option("--edge", required=True, help='Of the edging: "sc: 16 sts = 10 cm".')
@click.option("--rows", type=click.IntRange(1, 10000), required=True, help="Rows along the edge.")
@click.option("--multiple", type=click.IntRange(1, 1000), default=1, help="The count is a multiple of this.")
@click.option("--plus", type=click.IntRange(0, 1000), default=0, help="And so many more.")
@_TERMS
def edge(gauge: str, edge: str, rows: int, multiple: int, plus: int, terms: str) -> None:
    """An edging along row ends: how many stitches, and where they go."""
    def make() -> str:
        from chartgen.sizing import asked
        from chartgen.sizing.edging import edging, shared_out, words

        fabric, edged = asked.gauge(gauge, terms), asked.gauge(edge, terms)
        found = edging(rows, asked.height(fabric), asked.width(edged), multiple, plus)
        kind = asked.stitch(edged.stitch.value, terms)
        return (f"{words(found, kind, terms)}. ({found.stitches} {kind.abbreviation(terms)})\n\n"
                f"{rows} rows are {float(rows * asked.height(fabric)):.1f} cm: {float(found.exact):.1f} sts\n{shared_out(found)}\n")

    _planned(make)


@click.command()
@click.argument("spec", type=SPEC)
@click.option("--sizes", "wanted", required=True, help='"child = 45.5 cm, adult, large = adult survey / man P95"; a name alone keeps the written size.')
@click.option("--from", "base", help="The size to grade from, where the spec has several.")
@click.option("--depth", help='Finished depths or lengths: "20 (22, 23) cm".')
@click.option("--measure", default="head", show_default=True, help="The body measure that goes around or across.")
@click.option("--fits", "own", help="The body the written size fits, as `Table / row`: its ease is kept.")
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write the proposed spec here; standard output without it.")
def grade(spec: Path, wanted: str, base: str | None, depth: str | None, measure: str, own: str | None, output: Path | None) -> None:
    """SPEC proposed in further sizes, with a report of what changed and what is left to decide."""
    from chartgen.sizing.crown import NotPlanned
    from chartgen.sizing.regrade import regrade, report

    try:
        text = spec.read_text("utf-8")
        found = regrade(text, str(spec), _targets(text, str(spec), wanted, base, depth, measure, own), base)
    except (NotPlanned, UnicodeDecodeError) as fault:
        _refuse(fault)
    if output is None:
        click.echo(found.text, nl=False)
    else:
        output.write_text(found.text, "utf-8")
        click.echo(output)
    click.echo(report(found), err=True, nl=False)
    raise SystemExit(1 if found.faults else 0)


def _targets(text: str, name: str, wanted: str, base: str | None, depth: str | None, measure: str, own: str | None) -> list[Any]:
    from chartgen.sizing.targets import targets

    return targets(text, name, wanted, base, depth, measure, own)


@click.command()
@click.argument("spec", type=SPEC)
@click.option("--weighed", multiple=True, required=True, help='"hdc: 20 sts and 12 rows = 8.2 g", "15 by 12 cm = 9 g" or "adult = 92 g"; may be repeated.')
@click.option("--spare", default=10, show_default=True, type=click.IntRange(0, 100), help="Percent more than is worked in.")
def yarn(spec: Path, weighed: tuple[str, ...], spare: int) -> None:
    """Yarn per colour and size of SPEC from a weighed swatch or sample."""
    def make() -> str:
        from fractions import Fraction

        from chartgen.sizing.yarn import as_text, needs
        from chartgen.sizing.yarn import weighed as read

        tried = _sound(spec)
        found = [read(words, tried.document.terms) for words in weighed]
        return as_text(needs(tried.document, tried.fabrics, tried.measures, found), Fraction(spare, 100))

    _planned(make)


def _sound(spec: Path) -> Any:
    """A spec compiled as far as measures. Raises NotPlanned for one with errors."""
    from chartgen.sizing.crown import NotPlanned
    from chartgen.sizing.regrade import compiled

    tried = compiled(spec.read_text("utf-8"), str(spec))
    if tried.document is None or tried.faults:
        raise NotPlanned(f"{spec} has errors to mend first: {(tried.faults or tried.problems)[0].message}")
    return tried


@click.command("set")
@click.argument("specs", metavar="SPEC...", nargs=-1, required=True, type=SPEC)
def set_(specs: tuple[Path, ...]) -> None:
    """Several SPECs checked and printed as one set: sizes, gauge and bodies must agree."""
    from chartgen.sizing.regrade import compiled
    from chartgen.sizing.sets import as_text, differences

    found = [compiled(spec.read_text("utf-8"), str(spec)) for spec in specs]
    click.echo(as_text(found), nl=False)
    bad = any(t.document is None or t.faults for t in found) or differences([t.document for t in found if t.document])
    raise SystemExit(1 if bad else 0)


def add_to(group: click.Group) -> None:
    """Puts the commands about sizes among those of the program."""
    for command in COMMANDS:
        group.add_command(command)


COMMANDS: tuple[Any, ...] = (sizes, plan, grade, yarn, set_)
