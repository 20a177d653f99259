"""The stages in order, and what comes out of them. The only module that knows them all.

    compile_spec   read -> notation -> fabric and measures per size -> checks (compiling.py)
    drawings       layout -> draw -> export, for what is asked
    write          every output of a spec, put in place whole or not at all

The commands are here as functions of the same names. Stages are imported when they are
needed: a check loads nothing that draws.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartgen.compiling import Compiled, Refusal, compile_spec
from chartgen.compiling import UnknownSize as UnknownSize
from chartgen.problems import near
from chartgen.sheets import OUTPUTS, Asked, Progress, Sheets, size_slug

if TYPE_CHECKING:
    from chartgen.draw.drawing import Drawing
    from chartgen.read import Document


class UnknownRows(Refusal, ValueError):
    """A view was asked for of rows that the pattern does not have."""


class UnknownLanguage(Refusal, ValueError):
    """A language was asked for that there is none of."""


class UnknownCode(Refusal, ValueError):
    """A code was asked about that the program never gives."""


class CannotWrite(Refusal, OSError):
    """A file or folder cannot be written."""


class CannotDraw(Refusal):
    """A file in `symbols/` cannot be used."""

    exit_code = 1


class CannotRender(Refusal):
    """A PNG or PDF cannot be made here: the message says what to install."""

    exit_code = 1


def drawings(
    compiled: Compiled, what: Iterable[str], asked: Asked = Asked(), progress: Progress = str
) -> dict[str, str]:
    """SVG by the ending of its file name: "chart.medium", "key", "schematic".

    Empty where the pattern has faults that would make a drawing untrue. Raises UnknownSize.
    """
    chosen = compiled.size_index(asked.size)
    if not compiled.drawable or compiled.document is None:
        return {}
    from chartgen.export.svg import to_svg

    sheets = Sheets(
        compiled.path.stem,
        compiled.document,
        compiled.fabrics,
        compiled.measures,
        compiled.findings,
        asked,
        tuple(range(len(compiled.fabrics))) if asked.size is None else (chosen,),
        progress,
    )
    with _symbols_at_fault(), _speaking(compiled.document, asked.language):
        return {
            ending: to_svg(_outlined(drawing) if asked.outlined else drawing)
            for name in what for ending, drawing in sheets.named(name)
        }


def _outlined(drawing: Drawing) -> Drawing:
    """Its words as shapes. Raises CannotRender."""
    from chartgen.export import outlines, raster

    try:
        return outlines.outlined(drawing)
    except raster.CannotRender as lack:
        raise CannotRender(f"{lack.problem.message}; {lack.problem.help}") from None


def _speaking(document: Document, code: str) -> AbstractContextManager[None]:
    """Drawings meanwhile are in this language. Raises UnknownLanguage."""
    from chartgen.wording.drawn import speaking
    from chartgen.wording.language import languages

    if code and code not in languages():
        raise UnknownLanguage(f"no language {code!r}; choose from {', '.join(languages())}")
    return speaking(code, document.translations)


@contextmanager
def _symbols_at_fault() -> Iterator[None]:
    """Turns a fault of a symbol file, or rows that are not there, into a refusal that says so."""
    from chartgen.draw.portion import NoSuchRows
    from chartgen.draw.symbols import SymbolFault

    try:
        yield
    except SymbolFault as fault:
        raise CannotDraw(fault.problem.message) from None
    except NoSuchRows as fault:
        raise UnknownRows(str(fault)) from None


# ---- outputs


@dataclass(frozen=True)
class Built:
    """What was written, and what could not be made: a line for each.

    Attributes:
        written: in order of writing.
        missing: why a format was left out, with what to install.
    """

    written: tuple[Path, ...] = ()
    missing: tuple[str, ...] = ()


def write(
    compiled: Compiled,
    folder: Path,
    formats: Iterable[str] = ("svg",),
    asked: Asked = Asked(),
    progress: Progress = str,
) -> Built:
    """Every output of a spec into `folder`, all or none.

    Nothing is written for a spec that cannot be drawn; earlier outputs stay as they were.
    Raises UnknownSize and CannotWrite.
    """
    drawn = drawings(compiled, OUTPUTS, replace(asked, readable=True), progress)
    if not drawn:
        return Built()
    stem = compiled.path.stem
    report = json.dumps(compiled.as_json(), ensure_ascii=False, indent=1) + "\n"
    files = {folder / f"{stem}.{ending}": svg for ending, svg in drawn.items()}
    return put(files, formats, {folder / f"{stem}.check.json": report.encode()}, progress)


def put(
    drawn: Mapping[Path, str],
    formats: Iterable[str] = ("svg",),
    others: Mapping[Path, bytes] | None = None,
    progress: Progress = str,
) -> Built:
    """Drawings (path without the format's ending: SVG) and other files, put in place whole.

    A format whose library is missing is left out and said once; the rest is written.
    """
    from chartgen.export.write import write_all

    contents: dict[Path, bytes] = {}
    missing: dict[str, None] = {}
    for form in formats:
        for path, svg in drawn.items():
            progress(f"{path.name}.{form}")
            try:
                contents[path.with_name(f"{path.name}.{form}")] = in_format(svg, form)
            except CannotRender as lack:
                missing[str(lack)] = None
    contents |= others or {}
    try:
        return Built(write_all(contents), tuple(missing))
    except OSError as fault:
        raise CannotWrite(_not_written(fault)) from None


def _not_written(fault: OSError) -> str:
    reason = (fault.strerror or str(fault)).lower()
    return f"{fault.filename}: cannot be written: {reason}" if fault.filename else reason


def in_format(svg: str, form: str) -> bytes:
    """A drawing as the bytes of an svg, png or pdf file. Raises CannotRender."""
    if form == "svg":
        return svg.encode()
    from chartgen.export import raster

    try:
        return {"png": raster.to_png, "pdf": raster.to_pdf}[form](svg)
    except raster.CannotRender as lack:
        said = f"{form} not made: {lack.problem.message}; {lack.problem.help}"
        raise CannotRender(said) from None


# ---- the commands


def build(
    spec: str | Path,
    output: str | Path = "out",
    *,
    formats: Iterable[str] = ("svg",),
    size: str | None = None,
    view: str = "whole",
    page: str = "free",
    left_handed: bool = False,
    mono: bool = False,
    large: bool = False,
    yarn_colours: bool = False,
    as_worked: bool = False,
    outlined: bool = False,
    language: str = "",
) -> Built:
    """Every output of `spec` in the folder `output`: the `build` command."""
    asked = Asked(size, view, left_handed, mono, large, yarn_colours, as_worked, outlined, page, language=language)
    return write(compile_spec(spec), Path(output), formats, asked)


def check(spec: str | Path) -> dict[str, Any]:
    """The report that `check --json` prints."""
    return compile_spec(spec).as_json()


def chart(
    spec: str | Path,
    *,
    size: str | None = None,
    view: str = "whole",
    left_handed: bool = False,
    mono: bool = False,
    large: bool = False,
    yarn_colours: bool = False,
    as_worked: bool = False,
    outlined: bool = False,
    language: str = "",
) -> str:
    """The chart of one size as SVG, the first unless `size` is given; "" for a faulty spec."""
    asked = Asked(size, view, left_handed, mono, large, yarn_colours, as_worked, outlined, language=language)
    return one_drawing(compile_spec(spec), "chart", asked)[1]


def schematic(spec: str | Path, *, size: str | None = None, language: str = "") -> str:
    """The schematic as SVG, drawn in the first size unless `size` is given; "" for a faulty spec."""
    return one_drawing(compile_spec(spec), "schematic", Asked(size, language=language))[1]


def one_drawing(compiled: Compiled, what: str, asked: Asked) -> tuple[str, str]:
    """The ending of its name and the SVG of one drawing, of the first size unless asked."""
    if compiled.drawable and asked.size is None and what == "chart":
        asked = replace(asked, size=compiled.fabrics[0].size)
    drawn = drawings(compiled, (what,), asked)
    return next(iter(drawn.items()), (what, ""))


def key(terms: str = "US") -> str:
    """Every stitch the program knows, as SVG, named in `terms` (US, UK, old)."""
    from chartgen.draw.wholekey import draw_key
    from chartgen.export.svg import to_svg

    with _symbols_at_fault():
        return to_svg(draw_key(terms=terms))


def show(stage: str, spec: str | Path, size: str | None = None) -> str:
    """What `stage` made of a spec: document, instructions, fabric, measures or layout."""
    return shown(compile_spec(spec), stage, size)


def shown(compiled: Compiled, stage: str, size: str | None = None) -> str:
    """What `stage` made of a compiled spec, as text; "" where it was not reached."""
    from chartgen import stages as text

    index = compiled.size_index(size)
    whole = {"document": compiled.document, "instructions": compiled.instructions}
    if stage in whole:
        return text.as_text(whole[stage]) if whole[stage] is not None else ""
    per_size = {"measures": compiled.measures}.get(stage, compiled.fabrics)
    if index >= len(per_size):
        return ""
    if stage == "measures":
        return text.as_text(compiled.measures[index])
    if stage == "fabric":
        return text.fabric_text(compiled.fabrics[index])
    from chartgen.layout.lay_out import lay_out

    return text.layout_text(compiled.fabrics[index], lay_out(compiled.fabrics[index]))


def compare(before: str | Path, after: str | Path) -> list[str]:
    """What changed in the measures between two versions of a pattern, a line each.

    Sizes are matched by name; nothing is told of a version that cannot be measured.
    """
    return compared(compile_spec(before), compile_spec(after))


def compared(before: Compiled, after: Compiled) -> list[str]:
    """`compare` for versions already compiled."""
    from chartgen.measure.changes import changes, sizes_changed

    old, new = before.measures, after.measures
    return [*sizes_changed(old, new), *map(str, changes(old, new))]


def schematics(compiled: Compiled) -> dict[str, str]:
    """The schematic of all sizes, and one of each size, as SVG by the ending of its name."""
    sizes = compiled.document.sizes if compiled.document else ()
    drawn = drawings(compiled, ("schematic",))
    for index, size in enumerate(sizes if drawn else ()):
        made = drawings(compiled, ("schematic",), Asked(size))
        drawn[f"schematic.{size_slug(sizes, index)}"] = made["schematic"]
    return drawn


def explain(code: str) -> str:
    """What a problem's code means, why it matters at the hook, and what to write instead."""
    from chartgen.checks.explained import explained
    from chartgen.problems.codes import explanation, explanations

    found = explanation(code) or explained(code)
    if found is None:
        likely = near(code.upper(), explanations())
        meant = f"; did you mean {' or '.join(c.upper() for c in likely)}?" if likely else ""
        raise UnknownCode(f"no problem has the code {code!r}{meant}")
    return str(found)


def schema() -> dict[str, Any]:
    """The JSON Schema of a spec."""
    from chartgen.read.schema import schema as made

    return made()
