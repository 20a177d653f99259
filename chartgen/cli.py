"""The command line. No logic: options in, `pipeline` called, text and exit codes out.

Exit codes: 0 no error and no missed measurement; 1 otherwise, and when a PNG or PDF could
not be made; 2 a bad option or a file that cannot be read. Several specs: the highest.

Nothing of the pipeline is imported until a command runs, so that `--help` is at once.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from chartgen import __version__, edition_commands, size_commands

if TYPE_CHECKING:
    from chartgen.pipeline import Built, Compiled, Refusal
    from chartgen.wording.page import Page

SPEC = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
FOLDER = click.Path(path_type=Path)
FORMATS = ("svg", "png", "pdf")
PAGES = ("free", "a4", "letter")
STAGES = ("document", "instructions", "fabric", "measures", "layout")


class Formats(click.ParamType[tuple[str, ...]]):
    """`svg,png`: one or more output formats."""

    name = "formats"
    known = FORMATS

    def convert(self, value: Any, param: Any, ctx: Any) -> tuple[str, ...]:
        if isinstance(value, tuple):
            return value
        asked = tuple(dict.fromkeys(word.strip().lower() for word in value.split(",")))
        for word in asked:
            if word not in self.known:
                self.fail(f"{word!r} is not a format; choose from {', '.join(self.known)}", param, ctx)
        return asked


class WordFormats(Formats):
    """`md,txt`: one or more formats of the written pattern."""

    known = ("md", "txt", "html")


class View(click.ParamType[str]):
    """`whole`, `repeat`, `wedge`, `strip`, `rows:3-8`, `row:5`, `row:brim/5`."""

    name = "view"

    def convert(self, value: Any, param: Any, ctx: Any) -> str:
        from chartgen.sheets import is_view

        if not is_view(value):
            self.fail(f"{value!r} is not a view; write whole, repeat, wedge, strip, rows:3-8 or row:5", param, ctx)
        return str(value)


_ONE_OUTPUT = click.option(
    "-o", "--output", default="out", show_default=True, help="Folder, file, or - for standard output."
)
_FORMAT = click.option(
    "--format", "formats", type=Formats(), default="svg", help="svg, png, pdf; several with commas."
)


_EDITION_HELP = "large, aloud, full, rows, quick, ticks, testers: for whom it is set."
_VIEW_HELP = "whole, repeat, wedge, strip, rows:3-8, or row:5 strong and the rest pale."


def _drawing_options(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in (
        click.option("--outlined", is_flag=True, help="Words as shapes, for programs without the font."),
        click.option("--as-worked", is_flag=True, help="Loops and posts of WS rows as the hand works them."),
        click.option("--yarn-colours", is_flag=True, help="Signs in the colour of their yarn."),
        click.option("--large", is_flag=True, help="Large print: everything 3.1 times as large."),
        click.option("--mono", is_flag=True, help="Solid black, rows told apart by thickness."),
        click.option("--left-handed", is_flag=True, help="Redrawn for left-handed makers."),
        click.option("--view", type=View(), default="whole", help=_VIEW_HELP),
        click.option("--language", default="", help="A language by its code: es-ES, fr, …"),
        _FORMAT,
        click.option("--size", help="One size of the pattern, as it is named there."),
    ):
        command = option(command)
    return command


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="chartgen")
def main() -> None:
    """Compile written crochet patterns into charts, schematics and check reports."""


@main.command()
@click.argument("specs", metavar="SPEC...", nargs=-1, required=True, type=SPEC)
@click.option("-o", "--output", type=FOLDER, default="out", show_default=True, help="Folder.")
@click.option("--page", type=click.Choice(PAGES), default="free", help="One sheet, or pages to join.")
@_drawing_options
def build(specs: tuple[Path, ...], output: Path, formats: tuple[str, ...], **asked: Any) -> None:
    """Charts, key, schematic and check report of each SPEC."""
    _refuse_twins(specs)
    _exit(_build(spec, output, formats, asked) for spec in specs)


def _build(spec: Path, output: Path, formats: tuple[str, ...], asked: dict[str, Any]) -> int:
    from chartgen import pipeline

    compiled = _compiled(spec)
    _tell(compiled)
    try:
        built = pipeline.write(compiled, output, formats, pipeline.Asked(**asked), _progress())
    except pipeline.Refusal as refusal:
        return _refusal(refusal)
    finally:
        _clear_progress()
    if not built.written:
        click.echo(f"{spec}: nothing drawn; earlier outputs are as they were", err=True)
    return max(compiled.exit_code, _say(built))


def _say(built: Built) -> int:
    """Names what was written, and what could not be."""
    for path in built.written:
        click.echo(path)
    for line in built.missing:
        click.echo(line, err=True)
    return 1 if built.missing else 0


@main.command()
@click.argument("specs", metavar="SPEC...", nargs=-1, required=True, type=SPEC)
@click.option("--json", "as_json", is_flag=True, help="One object per spec, one a line when several.")
@click.option("--arithmetic", is_flag=True, help="How each figure came about.")
@click.option("--plain", is_flag=True, help="Whole sentences, no underlining: for reading aloud.")
def check(specs: tuple[Path, ...], as_json: bool, arithmetic: bool, plain: bool) -> None:
    """Counts, repeats, measurements and cautions of each SPEC."""
    _exit(_check(spec, as_json, arithmetic, plain) for spec in specs)


def _check(spec: Path, as_json: bool, arithmetic: bool, plain: bool) -> int:
    compiled = _compiled(spec)
    if as_json:
        click.echo(json.dumps(compiled.as_json(), ensure_ascii=False))
        return compiled.exit_code
    _tell(compiled, plain)
    click.echo(compiled.as_text(arithmetic), nl=False)
    return compiled.exit_code


@main.command()
@click.argument("spec", type=SPEC)
@_ONE_OUTPUT
@_drawing_options
def chart(spec: Path, output: str, formats: tuple[str, ...], **asked: Any) -> None:
    """The stitch chart of SPEC, first size unless --size."""
    _one_drawing("chart", spec, output, formats, asked)


@main.command()
@click.argument("spec", type=SPEC)
@_ONE_OUTPUT
@_drawing_options
def schematic(spec: Path, output: str, formats: tuple[str, ...], **asked: Any) -> None:
    """The measured schematic of SPEC, all sizes unless --size."""
    _one_drawing("schematic", spec, output, formats, asked)


@main.command()
@click.argument("spec", type=SPEC)
@_ONE_OUTPUT
@click.option("--terms", type=click.Choice(("US", "UK")), help="English in these terms.")
@click.option("--language", default="", help="A language by its code: en-US, en-UK, …")
@click.option("--size", help="One size of the pattern, as it is named there.")
@click.option("--style", default="leaflet", show_default=True, help="A house style.")
@click.option("--edition", default="", metavar="NAME", help=_EDITION_HELP)
@click.option("--left-handed", is_flag=True, help="Charts as left-handers work them; the words are the same.")
@click.option("--format", "formats", type=WordFormats(), default="md", help="md, txt, html; several with commas.")
def words(spec: Path, output: str, terms: str | None, language: str, size: str | None, style: str, edition: str, left_handed: bool, formats: tuple[str, ...]) -> None:
    """The written pattern of SPEC, in its own terms unless asked."""
    from chartgen import edition_api, pipeline
    from chartgen.sheets import size_slug
    from chartgen.wording.editions import remarks

    compiled = _compiled(spec)
    _tell(compiled)
    drawn = "html" in formats or "md" in formats and output != "-"
    try:
        page = edition_api.written(compiled, terms or "", language, size, style, edition, drawn, left_handed)
    except pipeline.Refusal as refusal:
        raise SystemExit(_refusal(refusal)) from None
    if page is None:
        raise SystemExit(1)
    for remark in remarks(page):
        click.echo(f"note: {remark}", err=True)
    stem = ".".join((spec.stem, edition or "words", page.language, *((size_slug((size,), 0),) if size else ()), *(("left-handed",) if left_handed else ())))
    _exit([compiled.exit_code, _put_page(page, formats, stem, output)])


def _put_page(page: Page, formats: tuple[str, ...], stem: str, output: str) -> int:
    """Puts a written pattern in a folder, a file or standard output; drawings beside Markdown."""
    from chartgen import pipeline
    from chartgen.wording.editions import SETTERS, files

    if output == "-":
        if len(formats) > 1:
            raise click.UsageError("standard output takes one format")
        click.echo(SETTERS[formats[0]](page), nl=False)
        return 0
    named = Path(output).suffix.removeprefix(".") in formats and not Path(output).is_dir()
    folder, stem = (Path(output).parent, Path(output).stem) if named else (Path(output), stem)
    made = {folder / name: text.encode() for form in formats for name, text in files(page, form, stem).items()}
    try:
        return _say(pipeline.put({}, (), made))
    except pipeline.Refusal as refusal:
        return _refusal(refusal)


@main.command()
@_ONE_OUTPUT
@click.option("--terms", type=click.Choice(("US", "UK", "old")), default="US", show_default=True)
@_FORMAT
def key(output: str, terms: str, formats: tuple[str, ...]) -> None:
    """Every stitch the program knows, drawn, with its names."""
    from chartgen import pipeline

    try:
        svg = pipeline.key(terms)
    except pipeline.Refusal as refusal:
        raise SystemExit(_refusal(refusal)) from None
    _exit([_put("key", svg, output, formats)])


@main.command()
@click.argument("stage", type=click.Choice(STAGES))
@click.argument("spec", type=SPEC)
@click.option("--size", help="One size of the pattern, as it is named there.")
def show(stage: str, spec: Path, size: str | None) -> None:
    """What STAGE made of SPEC, as text."""
    from chartgen import pipeline

    compiled = _compiled(spec)
    _tell(compiled)
    try:
        click.echo(pipeline.shown(compiled, stage, size), nl=False)
    except pipeline.Refusal as refusal:
        raise SystemExit(_refusal(refusal)) from None
    raise SystemExit(compiled.exit_code)


@main.command()
@click.argument("old", type=SPEC)
@click.argument("new", type=SPEC)
@click.option("-o", "--output", type=FOLDER, default="out", show_default=True, help="Folder.")
@_FORMAT
def compare(old: Path, new: Path, output: Path, formats: tuple[str, ...]) -> None:
    """What changed from OLD to NEW, by dimension and size; redraws every schematic of NEW."""
    from chartgen import pipeline

    before, after = _compiled(old), _compiled(new)
    _tell(after)
    if not (before.measures and after.measures):
        click.echo("error: one of the two cannot be counted, so there is nothing to compare", err=True)
        raise SystemExit(1)
    for line in pipeline.compared(before, after) or ["no dimension has changed"]:
        click.echo(line)
    try:
        svgs = {output / f"{new.stem}.{ending}": svg for ending, svg in pipeline.schematics(after).items()}
        _exit([after.exit_code, _say(pipeline.put(svgs, formats, None, _progress()))])
    except pipeline.Refusal as refusal:
        raise SystemExit(_refusal(refusal)) from None
    finally:
        _clear_progress()


@main.command()
@click.argument("code")
def explain(code: str) -> None:
    """What the problem CODE means, and what to write instead."""
    from chartgen import pipeline

    try:
        click.echo(pipeline.explain(code), nl=False)
    except pipeline.Refusal as refusal:
        raise SystemExit(_refusal(refusal)) from None


@main.command()
def schema() -> None:
    """The JSON Schema of a spec, for editors."""
    from chartgen import pipeline

    click.echo(json.dumps(pipeline.schema(), indent=2, ensure_ascii=False))


size_commands.add_to(main)
edition_commands.add_to(main)


def _compiled(spec: Path) -> Compiled:
    from chartgen import pipeline

    try:
        return pipeline.compile_spec(spec)
    except OSError as fault:
        raise click.UsageError(f"{spec}: cannot be read ({fault.strerror})") from None


def _one_drawing(
    what: str, spec: Path, output: str, formats: tuple[str, ...], asked: dict[str, Any]
) -> None:
    from chartgen import pipeline

    compiled = _compiled(spec)
    _tell(compiled)
    try:
        ending, svg = pipeline.one_drawing(compiled, what, pipeline.Asked(**asked))
    except pipeline.Refusal as refusal:
        raise SystemExit(_refusal(refusal)) from None
    _exit([compiled.exit_code, _put(f"{spec.stem}.{ending}", svg, output, formats) if svg else 1])


def _put(name: str, svg: str, output: str, formats: tuple[str, ...]) -> int:
    """Puts one drawing in a folder, a file or standard output."""
    from chartgen import pipeline

    if output == "-":
        return _to_standard_output(svg, formats)
    target, formats = _target(Path(output), name, formats)
    try:
        return _say(pipeline.put({target: svg}, formats))
    except pipeline.Refusal as refusal:
        return _refusal(refusal)


def _target(output: Path, name: str, formats: tuple[str, ...]) -> tuple[Path, tuple[str, ...]]:
    """Where to write, without the format's ending, and the formats to write there."""
    ending = output.suffix.lower().removeprefix(".")
    if ending in FORMATS and not output.is_dir():
        return output.with_suffix(""), (ending,)
    return output / name, formats


def _to_standard_output(svg: str, formats: tuple[str, ...]) -> int:
    from chartgen import pipeline

    if len(formats) > 1:
        raise click.UsageError("standard output takes one format")
    try:
        sys.stdout.buffer.write(pipeline.in_format(svg, formats[0]))
    except pipeline.CannotRender as lack:
        click.echo(lack, err=True)
        return 1
    return 0


def _tell(compiled: Compiled, plain: bool = False) -> None:
    """Problems, in a maker's words, to standard error. Cautions stand in the report."""
    text = compiled.problems_text(plain=plain, colour=_colour())
    if text:
        click.echo(text, err=True, nl=False, color=_colour())


def _refusal(refusal: Refusal) -> int:
    click.echo(f"error: {refusal}", err=True)
    return refusal.exit_code


def _refuse_twins(specs: Iterable[Path]) -> None:
    seen: dict[str, Path] = {}
    for spec in specs:
        twin = seen.setdefault(spec.stem, spec)
        if twin != spec:
            raise click.UsageError(f"{twin} and {spec} would write the same files")


def _exit(codes: Iterable[int]) -> None:
    raise SystemExit(max(list(codes)))


def _colour() -> bool:
    return sys.stderr.isatty() and not os.environ.get("NO_COLOR")


def _shows_progress() -> bool:
    return sys.stderr.isatty() and os.environ.get("TERM") != "dumb"


def _progress() -> Callable[[str], None]:
    """Says what is being done, on one line of a terminal; silent in a pipe."""
    if not _shows_progress():
        return lambda _: None
    return lambda what: click.echo(f"\r\033[K{what} …", err=True, nl=False, color=True)


def _clear_progress() -> None:
    if _shows_progress():
        click.echo("\r\033[K", err=True, nl=False, color=True)
