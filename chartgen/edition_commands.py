"""The commands `booklet` and `cards`. Options in, files out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

SPEC = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
FOLDER = click.Path(path_type=Path)


def _wording(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in (
        click.option("--style", default="leaflet", show_default=True, help="A house style."),
        click.option("--size", help="One size of the pattern, as it is named there."),
        click.option("--language", default="", help="A language by its code: en-US, en-UK, …"),
        click.option("--left-handed", is_flag=True, help="Charts as left-handers work them; the words are the same."),
        click.option("--terms", type=click.Choice(("US", "UK")), help="English in these terms."),
        click.option("-o", "--output", type=FOLDER, default="out", show_default=True, help="Folder."),
    ):
        command = option(command)
    return command


@click.command()
@click.argument("spec", type=SPEC)
@_wording
@click.option("--paper", type=click.Choice(("a4", "letter")), default="a4", show_default=True)
@click.option("--edition", default="", metavar="NAME", help="large, full, quick, ticks, testers: as for words.")
def booklet(spec: Path, output: Path, terms: str | None, **asked: Any) -> None:
    """The written pattern of SPEC with its drawings, as a PDF booklet (needs typst)."""
    from chartgen import edition_api

    def files(compiled: Any) -> tuple[dict[Path, str], dict[Path, bytes]]:
        made = edition_api.booklet_of(compiled, terms or "", **asked)
        _remark(compiled, terms, asked)
        name = ".".join(filter(None, (spec.stem, asked["edition"] or "booklet", _edition(asked, terms), asked["paper"], "pdf")))
        return {}, {output / name: made} if made else {}

    _write(spec, files, ())


@click.command()
@click.argument("spec", type=SPEC)
@_wording
@click.option("--shape", type=click.Choice(("video", "print")), default="video", show_default=True, help="16:9, or A6.")
@click.option("--format", "form", type=click.Choice(("svg", "png")), default="svg", show_default=True)
def cards(spec: Path, output: Path, terms: str | None, form: str, **asked: Any) -> None:
    """A card for each row of SPEC: its words large, its count, its row of the chart strong."""
    from chartgen import edition_api

    def files(compiled: Any) -> tuple[dict[Path, str], dict[Path, bytes]]:
        stem = ".".join(filter(None, (spec.stem, "card", _edition(asked, terms), asked["shape"])))
        _remark(compiled, terms, asked)
        return {output / f"{stem}.{row}": svg for row, svg in edition_api.row_cards(compiled, terms or "", **asked)}, {}

    _write(spec, files, (form,))


def _remark(compiled: Any, terms: str | None, asked: dict[str, Any]) -> None:
    """What whoever sells this edition must know: untranslated words, terms not vouched for."""
    from chartgen import edition_api
    from chartgen.wording.editions import remarks

    page = edition_api.written(compiled, terms or "", asked["language"], asked["size"], asked["style"])
    for remark in remarks(page) if page else ():
        click.echo(f"note: {remark}", err=True)


def _edition(asked: dict[str, Any], terms: str | None) -> str:
    from chartgen.sheets import size_slug

    size = size_slug((asked["size"],), 0) if asked["size"] else ""
    hand = "left-handed" if asked["left_handed"] else ""
    return ".".join(filter(None, (asked["language"] or (f"en-{terms}" if terms else ""), size, hand)))


def _write(spec: Path, files: Callable[[Any], tuple[dict[Path, str], dict[Path, bytes]]], formats: tuple[str, ...]) -> None:
    """Compiles, tells the problems, writes; the exit code of the whole."""
    from chartgen import pipeline

    compiled = pipeline.compile_spec(spec)
    if told := compiled.problems_text():
        click.echo(told, err=True, nl=False)
    try:
        drawn, others = files(compiled)
        built = pipeline.put(drawn, formats, others) if drawn or others else pipeline.Built()
    except pipeline.Refusal as refusal:
        click.echo(f"error: {refusal}", err=True)
        raise SystemExit(refusal.exit_code) from None
    for path in built.written:
        click.echo(path)
    for line in built.missing:
        click.echo(line, err=True)
    raise SystemExit(max(compiled.exit_code, 1 if built.missing or not built.written else 0))


def add_to(main: click.Group) -> None:
    for command in (booklet, cards):
        main.add_command(command)
