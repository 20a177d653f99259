"""A spec through the stages that count and measure: read -> notation -> fabric and measures per size
-> checks. Stages are imported when they are needed: a check loads nothing that draws."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartgen.problems import Problem, Source, near, worst

if TYPE_CHECKING:
    from chartgen.fabric import Fabric
    from chartgen.measure import Measures
    from chartgen.notation import Instructions
    from chartgen.read import Document
    from chartgen.sizing.counted import Sized


class Refusal(Exception):
    """Something asked for cannot be done; its text says why, in one line."""

    exit_code = 2


class UnknownSize(Refusal, ValueError):
    """A size was asked for that the pattern does not have."""


@dataclass(frozen=True)
class Compiled:
    """A spec after the stages that count and measure; nothing drawn yet.

    Attributes:
        path: the spec as it was named; source: its text, as far as it could be read.
        document: None where there is no pattern to work with.
        fabrics, measures: one per size; `measures` is empty where counting failed.
        faults: what is wrong in reading and counting, every size merged.
        findings: missed measurements, cautions and checks across sizes, every size merged.
        sized: how the named counts were worked out, and for which bodies; None without either.
    """

    path: Path
    source: Source
    document: Document | None = None
    instructions: Instructions | None = None
    fabrics: tuple[Fabric, ...] = ()
    measures: tuple[Measures, ...] = ()
    faults: tuple[Problem, ...] = ()
    findings: tuple[Problem, ...] = ()
    sized: Sized | None = None

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything there is to say, in order of the file."""
        from chartgen.problems.render import in_order

        return tuple(in_order((*self.faults, *self.findings)))

    @property
    def drawable(self) -> bool:
        """Whether every stitch is known, so that a drawing would be true."""
        return self.document is not None and worst(self.faults) != "error"

    @property
    def ok(self) -> bool:
        """No error, and every promised measurement kept."""
        return bool(self.as_json()["ok"])

    @property
    def exit_code(self) -> int:
        return 0 if self.ok else 1

    @property
    def cautions(self) -> tuple[Problem, ...]:
        """The safety cautions among the findings."""
        from chartgen.checks.report import CAUTION

        return tuple(p for p in self.findings if p.code.startswith(CAUTION))

    def as_json(self) -> dict[str, Any]:
        """The check report as a JSON value."""
        from chartgen.checks import report
        from chartgen.problems import render

        problems = [render.as_json(problem, self.source) for problem in self.problems]
        made = report.as_json(str(self.path), self.fabrics, self.measures, problems)
        if self.sized is not None:
            from chartgen.sizing.report import as_json

            made["sizing"] = as_json(self.sized)
        return made

    def as_text(self, arithmetic: bool = False) -> str:
        """The check report as a page of text; empty where nothing could be read."""
        from chartgen.checks import report
        from chartgen.measure import arithmetic as shown

        if self.document is None:
            return ""
        lines = [line for m in self.measures for line in shown(m)] if arithmetic else []
        text = report.as_text(self.document, self.fabrics, self.measures, self.cautions, lines)
        return text + self._sizing_text()

    def _sizing_text(self) -> str:
        if self.sized is None:
            return ""
        from chartgen.sizing.across import three_figures
        from chartgen.sizing.report import as_text

        return as_text(self.sized, three_figures(self.sized, self.measures))

    def problems_text(self, plain: bool = False, colour: bool = False) -> str:
        """Problems for people, without the cautions, which the report holds."""
        from chartgen.problems import render

        told = [problem for problem in self.problems if problem not in self.cautions]
        if plain:
            return render.render_plain(told, self.source)
        return render.render_text(told, self.source, colour)

    def size_index(self, size: str | None) -> int:
        """Position of `size`; 0 for None. Raises UnknownSize, naming near ones."""
        sizes = self.document.sizes if self.document else ()
        if size is None:
            return 0
        for index, name in enumerate(sizes):
            if name.casefold() == size.strip().casefold():
                return index
        raise UnknownSize(_no_such_size(self.path, size, sizes))


def _no_such_size(path: Path, size: str, sizes: tuple[str, ...]) -> str:
    if not sizes:
        return f"{path} has one size only, and none named {size!r}"
    likely = [name for name in sizes if name.lower() in near(size, sizes)]
    meant = f"; did you mean {' or '.join(likely)}?" if likely else ""
    return f"{path} has no size {size!r}; its sizes are {', '.join(sizes)}{meant}"


def compile_spec(spec: str | Path) -> Compiled:
    """Reads, works, measures and checks a spec; every fault is in the result."""
    from chartgen.notation import parse
    from chartgen.read.reader import read

    path = Path(spec)
    document, read_problems = read(path)
    if document is None:
        return Compiled(path, _source(path), faults=tuple(read_problems))
    document, sized = _sized(document)
    instructions = parse(document)
    written = (*read_problems, *(sized.problems if sized else ()), *instructions.problems)
    return _worked(Compiled(path, document.source, document, instructions, faults=written, sized=sized))


def _sized(document: Document) -> tuple[Document, Sized | None]:
    """The document with its counts worked out, where it has any to work out or names a body."""
    if not document.rules and document.fits is None and not document.counts:
        return document, None
    from chartgen.sizing.counted import settle

    sized = settle(document)
    return sized.document, sized


def _across(compiled: Compiled, fabrics: tuple[Fabric, ...], measures: tuple[Measures, ...]) -> list[Problem]:
    """Checks across sizes; none for a pattern of one size that names no body."""
    if compiled.sized is None and len(fabrics) < 2:
        return []
    from chartgen.measure.between_sizes import between_sizes
    from chartgen.sizing.across import across
    from chartgen.sizing.counted import Sized

    sized = compiled.sized or Sized(compiled.document)
    return [*across(sized, fabrics, measures), *between_sizes(compiled.document, measures)]


def _worked(compiled: Compiled) -> Compiled:
    from chartgen.checks.cautions import cautions
    from chartgen.fabric.work import work_sizes
    from chartgen.measure import measure
    from chartgen.problems.render import merge_sizes

    document, indices = compiled.document, range(compiled.document.size_count())
    sizes = document.sizes or (None,)
    fabrics = work_sizes(document, compiled.instructions)
    faults = (*compiled.faults, *merge_sizes([f.problems for f in fabrics], sizes))
    counted = worst(faults) != "error"
    measures = tuple(measure(document, fabrics[i], i) for i in indices if counted)
    missed = merge_sizes([m.problems for m in measures], sizes) if counted else ()
    return Compiled(
        compiled.path, compiled.source, document, compiled.instructions, fabrics, measures,
        faults, (*missed, *cautions(document, fabrics), *(_across(compiled, fabrics, measures) if counted else ())),
        compiled.sized,
    )  # fmt: skip


def _source(path: Path) -> Source:
    """The text of a file that is no pattern, as far as it has one: to underline its faults."""
    from chartgen.read.reader import MOST_BYTES

    try:
        with path.open("rb") as file:
            text = file.read(MOST_BYTES + 1).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        text = ""
    return Source(str(path), text.removeprefix("\ufeff"))


__all__ = ["Compiled", "Refusal", "UnknownSize", "compile_spec"]
