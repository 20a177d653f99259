"""Case files: patterns of a few rows with what they must come to.

A file holds cases, each begun by `=== name`. After the name: a sentence or two that say what
right looks like, with the arithmetic; then, if needed, lines `worked: rows`, `terms: UK`,
`on: 20 sc` (a beginning from setups.txt) and lines of the spec's head
(`sizes:`, `yarn:`, `stitches:`, `gauge:`); then the sections

    --- rows               the rows, as a designer writes them
    --- counts             `2: 18 | 16 sc, 2 ch`: stitches, and the counts by kind, exactly
    --- counts M           the same for one size
    --- colours            `2: 10 A, 10 B`
    --- problems           all messages, character for character, notes included

Without a problems section there must be no error and no warning.

A case that the program does not do yet stands in `cases/known_faults.txt` with the reason; it
must fail, so that it is taken off the list as soon as it does not.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from patterns import spec

CASES = Path(__file__).parent / "cases"
_HEAD = re.compile(r"^(worked|terms|on|sizes|yarn|stitches|hook|gauge):\s*(.*)$")


@dataclass(frozen=True)
class Case:
    """One case. `counts` by size name ("" where all share them): {row: (stitches, kinds or None)}."""

    name: str
    says: str
    text: str
    counts: dict[str, dict[str, tuple[int, dict[str, int] | None]]]
    colours: dict[str, dict[str, int]]
    problems: str | None
    fault: str = ""


def cases(folder: str) -> list[Case]:
    """Every case of a folder, named `file: name`."""
    return [case for path in sorted((CASES / folder).glob("*.txt")) for case in _cases(path)]


def _cases(path: Path) -> list[Case]:
    blocks = re.split(r"^=== ", path.read_text("utf-8"), flags=re.M)[1:]
    return [_case(path.stem, block) for block in blocks]


def _case(stem: str, block: str) -> Case:
    name, _, rest = block.partition("\n")
    head, *sections = re.split(r"^--- ", rest, flags=re.M)
    keys = {m[1]: m[2] for line in head.splitlines() if (m := _HEAD.match(line))}
    says = " ".join(line for line in head.splitlines() if line.strip() and not _HEAD.match(line))
    parts = {title.strip(): body for title, _, body in (s.partition("\n") for s in sections)}
    counts = {title[6:].strip(): _counts(body) for title, body in parts.items() if title.startswith("counts")}
    problems = parts["problems"].strip("\n") + "\n" if "problems" in parts else None
    name = f"{stem}: {name.strip()}"
    return Case(name, says, _spec(parts["rows"], keys), counts,
                {row: kinds for row, kinds in _lines(parts.get("colours", ""), _kinds)}, problems, known_faults().get(name, ""))


@cache
def known_faults() -> dict[str, str]:
    """{case: why it fails}, from lines `file: name | why`."""
    path = CASES / "known_faults.txt"
    lines = path.read_text("utf-8").splitlines() if path.exists() else []
    pairs = (line.rpartition("|") for line in lines if "|" in line)
    return {name.strip(): why.strip() for name, _, why in pairs}


def _spec(rows: str, keys: dict[str, str]) -> str:
    worked = keys.get("worked", "rounds")
    if "on" in keys:
        worked, before = setups()[keys["on"]]
        rows = before + rows
    head = "".join(f"{key}: {keys[key]}\n" for key in ("sizes", "yarn", "stitches", "hook") if key in keys)
    text = spec(rows, worked, keys.get("terms", "US"), head)
    return re.sub(r"(?<=^gauge:\n)  .*", f"  {keys['gauge']}", text, flags=re.M) if "gauge" in keys else text


@cache
def setups() -> dict[str, tuple[str, str]]:
    """The beginnings that cases share: {name: ("rows" or "rounds", words)}."""
    blocks = re.split(r"^=== ", (CASES / "setups.txt").read_text("utf-8"), flags=re.M)[1:]
    found = {}
    for block in blocks:
        title, _, words = block.partition("\n")
        name, worked = title.rsplit(",", 1)
        found[name.strip()] = (worked.strip(), words.strip() + "\n")
    return found


def _lines(body: str, read) -> list[tuple[str, object]]:
    pairs = (line.partition(":") for line in body.splitlines() if line.strip())
    return [(row.strip(), read(said)) for row, _, said in pairs]


def _counts(body: str) -> dict[str, tuple[int, dict[str, int] | None]]:
    def read(said: str) -> tuple[int, dict[str, int] | None]:
        stitches, bar, kinds = said.partition("|")
        return int(stitches), _kinds(kinds) if bar else None
    return dict(_lines(body, read))


def _kinds(said: str) -> dict[str, int]:
    return {kind: int(n) for n, _, kind in (item.strip().partition(" ") for item in said.split(",") if item.strip())}


def renew(case: Case, text: str) -> None:
    """Write these messages into a case, for its author to read through."""
    stem, _, name = case.name.partition(": ")
    path = next(path for folder in ("fabric", "notation") if (path := CASES / folder / f"{stem}.txt").exists())
    block = path.read_text("utf-8")
    at = block.index("--- problems\n", block.index(f"=== {name}\n")) + len("--- problems\n")
    following = [i for mark in ("\n=== ", "\n--- ") if (i := block.find(mark, at - 1)) >= 0]
    end = min(following) + 1 if following else len(block)
    path.write_text(block[:at] + text.rstrip("\n") + "\n" + block[end:], "utf-8")


def main(parts: list[str]) -> None:
    """`python tests/casefiles.py [part of a name …]`: the messages of cases as they are now,
    shown where they have changed and written into the case."""
    from chartgen.problems import Source
    from chartgen.problems.render import render_text
    from test_fabric_cases import compiled

    for case in [*cases("fabric"), *cases("notation")]:
        if case.problems is None or case.fault or parts and not any(p in case.name for p in parts):
            continue
        text = render_text(compiled(case.text)[1], Source("case.yaml", case.text))
        if text != case.problems:
            print(f"=== {case.name}\n{text}")
            renew(case, text)


if __name__ == "__main__":
    main(sys.argv[1:])
