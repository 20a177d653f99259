"""Written patterns as specs again: what a round trip through words is made of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

import yaml

from chartgen.fabric import Fabric
from chartgen.fabric.work import work_sizes
from chartgen.notation import parse
from chartgen.notation.tree import Instructions, Number
from chartgen.problems import Problem
from chartgen.read import Document
from chartgen.read.reader import read_text
from chartgen.sizing.counted import settle as worked_out
from chartgen.stitches import StitchKind, registry
from chartgen.wording.language import Language, language
from chartgen.wording.notes import source_notes
from chartgen.wording.own import definitions
from chartgen.wording.page import Rows
from chartgen.wording.pattern import part_forms, part_names
from chartgen.wording.plain import row_text
from chartgen.wording.rows import Line, Lines
from chartgen.wording.settle import settle
from chartgen.wording.speaker import Speaker
from chartgen.wording.style import style

LANGUAGE = {"US": "en-US", "UK": "en-UK"}


@dataclass(frozen=True)
class Worked:
    """A spec's text with what the stages made of it, every size."""

    text: str
    document: Document
    instructions: Instructions
    fabrics: tuple[Fabric, ...]
    problems: tuple[Problem, ...]

    @property
    def errors(self) -> list[str]:
        return [p.message for p in self.problems if p.severity == "error"]

    @property
    def settled(self) -> Instructions:
        return settle(self.instructions, self.fabrics)


def worked(text: str) -> Worked:
    document, problems = read_text(text, "case.yaml")
    assert document is not None, problems
    sized = worked_out(document)
    document, problems = sized.document, [*problems, *sized.problems]
    instructions = parse(document)
    fabrics = work_sizes(document, instructions)
    told = (*problems, *instructions.problems, *(p for f in fabrics for p in f.problems))
    return Worked(text, document, instructions, fabrics, told)


def lines(pattern: Worked, said_in: Language, size: int | None = None, house: str = "leaflet", notes: bool = True) -> list[list[Line]]:
    """Every row written out, part by part; with the designer's notes, unless they are left off."""
    speaker = Speaker(said_in, size, style(house), part_names(pattern.document), part_forms(pattern.document))
    told = source_notes(pattern.document, said_in.terms if notes else "")
    writer = Lines(speaker, pattern.document.sizes, told)
    return [writer.part(part) for part in pattern.settled.parts]


def as_text(line: Line, house: str = "leaflet") -> str:
    before, after = style(house).counts
    return row_text(line, Rows((line,), before, after, strong=True))


def texts(pattern: Worked, terms: str = "US", size: int | None = None) -> list[str]:
    """Every row as one line of text."""
    return [as_text(line) for part in lines(pattern, language(LANGUAGE[terms]), size) for line in part]


def rewritten(pattern: Worked, terms: str, house: str = "leaflet", size: int | None = None) -> str:
    """The spec with every row and every stitch of its own written out in `terms`, for all
    sizes or as a pattern of one."""
    said_in = language(LANGUAGE[terms])
    spec = yaml.load(pattern.text, yaml.BaseLoader)
    spec["terms"] = terms
    if "gauge" in spec:
        spec["gauge"] = {_gauge_key(k, pattern.document.terms, terms): v for k, v in spec["gauge"].items()}
    if made := definitions(pattern.document, pattern.instructions, Speaker(said_in)):
        spec["stitches"] = made
    if size is not None:
        spec = _of_one_size(spec, size)
    written = iter(lines(pattern, said_in, size, house))
    for piece in spec["pieces"]:
        for part in piece["parts"]:
            worked_in = "rounds" if "rounds" in part else "rows"
            part[worked_in] = _Block("".join(f"{as_text(line, house)}\n" for line in next(written)))
            for key in {"gauge"} & set(part):
                part[key] = {_gauge_key(k, pattern.document.terms, terms): v for k, v in part[key].items()}
    return yaml.dump(spec, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=10_000)


def _of_one_size(spec: dict[str, Any], size: int) -> dict[str, Any]:
    """The head of a spec for one of its sizes; what it promises per size is left off."""
    dropped = ("sizes", "measurements", "counts", "fits")
    for key in ("for", "hook"):
        if isinstance(spec.get(key), list):
            spec[key] = spec[key][size]
    for yarn in spec.get("yarn", {}).values():
        if isinstance(yarn, dict):
            yarn.pop("amount", None)
    return {k: v for k, v in spec.items() if k not in dropped}


def _gauge_key(key: str, terms: str, into: str) -> str:
    kind = registry().find(key, terms)
    return kind.abbreviation(into) if kind else key


class _Block(str):
    pass


class _Dumper(yaml.SafeDumper):
    pass


_Dumper.add_representer(_Block, lambda d, v: d.represent_scalar("tag:yaml.org,2002:str", v, style="|"))


# ---- what is compared


def bare(value: Any) -> Any:
    """A tree without spans and names of counts, so that two readings can be compared."""
    if isinstance(value, Number):
        return value.values
    if isinstance(value, StitchKind):
        return value.id, value.own
    if isinstance(value, tuple):
        return tuple(bare(v) for v in value)
    if is_dataclass(value):
        kept = [f for f in fields(value) if not f.name.endswith("span") and f.name != "header" and (type(value).__name__, f.name) != ("Made", "text")]
        return type(value).__name__, tuple((f.name, bare(getattr(value, f.name))) for f in kept)
    return value


def tree(instructions: Instructions) -> Iterator[tuple[str, Any]]:
    """Every row of the instructions, bare."""
    for part in instructions.parts:
        for row in part.rows:
            yield f"{part.piece}.{part.part}", bare(row)


def made(fabric: Fabric) -> list[Any]:
    """What a fabric is: every stitch with its kind, feet, loop and colour; every row with its
    number, side and counts."""
    stitches = [
        (s.kind.code, s.row, s.n, s.side, s.role, s.colour, s.loop, s.rows_down, s.feet,
         s.counts_in, s.stands_as and s.stands_as.code)
        for s in fabric.stitches
    ]
    rows = [(r.number, r.form, r.side, r.turned, r.ending, r.stitches, r.line, tuple(r.counts.items()),
             r.stitch_count, tuple(r.colours.items())) for r in fabric.rows]
    return [*rows, *stitches]


def differences(one: Iterable[Any], other: Iterable[Any]) -> list[tuple[Any, Any]]:
    a, b = list(one), list(other)
    found = [(x, y) for x, y in zip(a, b, strict=False) if x != y]
    return found + ([("length", (len(a), len(b)))] if len(a) != len(b) else [])
