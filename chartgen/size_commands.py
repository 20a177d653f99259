"""The commands about sizes: `sizes`, `plan`, `grade`, `yarn`, `sets`. Options in, text out."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NoReturn

import click

SPEC = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
_TERMS = click.option("--terms", type=click.Choice(("US", "UK", "old")), default="US", show_default=True)


def _refuse(fault: Exception) -> NoReturn:
    click.echo(f"error: {fault}", err=True)
    raise SystemExit(2) from None


def _call(name: str, *words: Any, **asked: Any) -> Any:
    """What a function of `size_api` gives; exit 2 with its reason where it refuses."""
    from chartgen import size_api
    from chartgen.sizing.crown import NotPlanned

    try:
        return getattr(size_api, name)(*words, **asked)
    except NotPlanned as fault:
        _refuse(fault)


@click.command()
@click.argument("table", required=False)
@click.option("--inches", is_flag=True, help="Inches instead of cm.")
def sizes(table: str | None, inches: bool) -> None:
    """The body tables; with TABLE, that table, its sources and how sure each cell is."""
    click.echo(_call("sizes", table, inches=inches), nl=False)


@click.group()
def plan() -> None:
    """Rows worked out from measures: crowns, shaping, armholes, necklines, edgings."""


@plan.command()
@click.option("--gauge", required=True, help='As in a spec: "hdc: 14 sts and 10.5 rows = 10 cm".')
@click.option("--around", help="Finished circumference: 51.5 cm.")
@click.option("--count", type=click.IntRange(1, 10000), help="Stitches around, instead of --around.")
@click.option("--depth", help="Centre to edge along the fabric: 22 cm. The crown alone without it.")
@click.option("--multiple", type=click.IntRange(1, 1000), default=1, help="The count is a multiple of this.")
@click.option("--start", type=click.IntRange(3, 60), help="Stitches of the first round; by gauge without it.")
@_TERMS
def crown(**asked: Any) -> None:
    """A hat's crown or a disc that lands on a size, and straight rounds to a depth."""
    click.echo(_call("plan", "crown", **asked), nl=False)


@plan.command()
@click.option("--stitch", default="sc", show_default=True, help="The stitch, in the terms given.")
@click.option("--from", "before", type=click.IntRange(1, 10000), required=True, help="Stitches at the start.")
@click.option("--to", "after", type=click.IntRange(1, 10000), required=True, help="Stitches at the end.")
@click.option("--rows", type=click.IntRange(1, 10000), required=True, help="Rows to do it in, after Row 1.")
@click.option("--every", type=click.IntRange(1, 100), default=1, help="Shape only on each row of this number: 2 for one side.")
@click.option("--one-end", is_flag=True, help="At the beginning of the rows only.")
@_TERMS
def shape(**asked: Any) -> None:
    """Increases or decreases spread evenly over the rows of a flat piece."""
    click.echo(_call("plan", "shape", **asked), nl=False)


@plan.command()
@click.option("--gauge", required=True, help='As in a spec: "sc: 18 sts and 20 rows = 10 cm".')
@click.option("--chest", type=click.IntRange(4, 10000), required=True, help="Stitches of the front or back at the chest.")
@click.option("--back", type=click.IntRange(2, 10000), required=True, help="Stitches of the cross back.")
@click.option("--depth", required=True, help="Armhole depth: 19 cm.")
@click.option("--every", type=click.IntRange(1, 10), default=2, show_default=True, help="Decrease on each row of this number.")
@click.option("--sleeve", type=click.IntRange(4, 10000), help="Stitches of the upper arm: plans the cap too.")
@click.option("--row", "first", type=click.IntRange(2, 10000), default=2, show_default=True, help="Number of the first row.")
@_TERMS
def armhole(**asked: Any) -> None:
    """An armhole from chest to cross back, and the sleeve cap whose edge is as long."""
    click.echo(_call("plan", "armhole", **asked), nl=False)


@plan.command()
@click.option("--gauge", required=True, help='As in a spec: "sc: 18 sts and 20 rows = 10 cm".')
@click.option("--across", type=click.IntRange(4, 10000), required=True, help="Stitches from shoulder to shoulder.")
@click.option("--width", required=True, help="Of the neck between the shoulders: 16.5 cm.")
@click.option("--depth", required=True, help="Of the neck: 5 cm.")
@click.option("--row", "first", type=click.IntRange(2, 10000), default=2, show_default=True, help="Number of the first row.")
@_TERMS
def neck(**asked: Any) -> None:
    """A neckline: both sides, shaped at the neck edge."""
    click.echo(_call("plan", "neck", **asked), nl=False)


@plan.command()
@click.option("--gauge", required=True, help='Of the fabric: "dc: 14 sts and 8 rows = 10 cm".')
@click.option("--edge", required=True, help='Of the edging: "sc: 16 sts = 10 cm".')
@click.option("--rows", type=click.IntRange(1, 10000), required=True, help="Rows along the edge.")
@click.option("--multiple", type=click.IntRange(1, 1000), default=1, help="The count is a multiple of this.")
@click.option("--plus", type=click.IntRange(0, 1000), default=0, help="And so many more.")
@_TERMS
def edge(**asked: Any) -> None:
    """An edging along row ends: how many stitches, and where they go."""
    click.echo(_call("plan", "edge", **asked), nl=False)


@click.command()
@click.argument("spec", type=SPEC)
@click.option("--sizes", "wanted", required=True, help='"child = 45.5 cm, adult, large = adult survey / man P95"; a name alone keeps the written size.')
@click.option("--from", "base", help="The size to grade from, where the spec has several.")
@click.option("--depth", help='Finished depths or lengths: "20 (22, 23) cm".')
@click.option("--measure", default="", help="The body measure that goes around or across; unless said, the one its kind is worn by (head, hand, foot, chest).")
@click.option("--fits", help="The body the written size fits, as `Table / row`, where the pattern does not say: its ease is kept.")
@click.option("--finished", multiple=True, help='A further finished measure: "Sleeve / cuff width: 15 (16.5, 17.5) cm"; may be repeated.')
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write the proposed spec here; standard output without it.")
def grade(spec: Path, wanted: str, base: str | None, depth: str | None, measure: str, fits: str | None, finished: tuple[str, ...], output: Path | None) -> None:
    """SPEC proposed in further sizes, with a report of what changed and what is left to decide."""
    from chartgen.sizing.regraded import report

    found = _call("grade", spec, wanted, base=base, depth=depth, measure=measure, fits=fits, finished=finished)
    if output is None:
        click.echo(found.text, nl=False)
    else:
        _write(output, found.text)
        click.echo(output)
    click.echo(report(found), err=True, nl=False)
    raise SystemExit(1 if found.faults else 0)


def _write(output: Path, text: str) -> None:
    from chartgen.export.write import write_all

    try:
        write_all({output: text.encode()})
    except OSError as fault:
        _refuse(OSError(f"{output} cannot be written: {(fault.strerror or str(fault)).lower()}"))


@click.command()
@click.argument("spec", type=SPEC)
@click.option("--weighed", multiple=True, required=True, help='"hdc: 20 sts and 12 rows = 8.2 g", "15 by 12 cm = 9 g" or "adult = 92 g"; may be repeated.')
@click.option("--spare", default=10, show_default=True, type=click.IntRange(0, 100), help="Percent more than is worked in.")
def yarn(spec: Path, weighed: tuple[str, ...], spare: int) -> None:
    """Yarn per colour and size of SPEC from a weighed swatch or sample."""
    click.echo(_call("yarn", spec, weighed, spare=spare), nl=False)


@click.command()
@click.argument("specs", metavar="SPEC...", nargs=-1, required=True, type=SPEC)
def sets(specs: tuple[Path, ...]) -> None:
    """Several SPECs checked and printed as one set: sizes, gauge and bodies must agree."""
    page, whole = _call("sets", specs)
    click.echo(page, nl=False)
    raise SystemExit(0 if whole else 1)


def add_to(group: click.Group) -> None:
    """Puts the commands about sizes among those of the program."""
    for command in COMMANDS:
        group.add_command(command)


COMMANDS: tuple[Any, ...] = (sizes, plan, grade, yarn, sets)
