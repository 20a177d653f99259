"""Speed, printed as a table: python tests/benchmark.py

Ratios are taken within one run, so that they say the same on a slow machine and a fast one.
Nothing is asserted here. What is compared with, where it is installed: graphviz sfdp and
networkx, which lay out any graph; a bare `import numpy`; formatting and joining the strings
of a drawing and nothing else.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from time import perf_counter

import numpy as np
from fabrics import SC, disc

from chartgen.fabric import Fabric
from chartgen.layout import lay_out

PYTHON = sys.executable
Edges = list[tuple[int, int, float]]
Line = tuple[str, str, str, str]

HEAD = """format: 1
title: {title}
terms: US
for: adult
hook: 4 mm
gauge:
  sc: 20 sts and 22 rows = 10 cm
"""


def main() -> None:
    print(f"{'what':44}{'ours':>14}{'beside it':>22}  goal")
    with tempfile.TemporaryDirectory() as folder:
        for what, ours, beside, goal in _lines(Path(folder)):
            print(f"{what:44}{ours:>14}{beside:>22}  {goal}", flush=True)


def _lines(folder: Path) -> Iterator[Line]:
    yield _check(folder)
    yield _reading(folder)
    yield _parsing()
    yield from _layout()
    yield _writing(folder)
    yield from _builds(folder)
    yield _pdf(folder)


def _timed(work: Callable[[], object], times: int = 1) -> float:
    """Seconds of the quickest of so many runs."""
    best = float("inf")
    for _ in range(times):
        start = perf_counter()
        work()
        best = min(best, perf_counter() - start)
    return best


def _run(*words: str) -> tuple[float, float]:
    """Seconds and megabytes of a fresh interpreter, with bytecode as a program has from its second run on.

    What is compared with has it from its installation. Output goes nowhere.
    """
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = perf_counter()
    process = subprocess.Popen([PYTHON, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=kept)
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(words)}: exit {process.returncode}")
    return perf_counter() - start, usage.ru_maxrss / 1024


def _check(folder: Path) -> Line:
    spec = folder / "hat.yaml"
    spec.write_text(hat_of_five_sizes(), encoding="utf-8")
    ours = min(_run("-m", "chartgen", "check", str(spec))[0] for _ in range(6))
    beside = min(_run("-c", "import numpy")[0] for _ in range(6))
    return "check, 40 rounds, 5 sizes, cold", f"{ours:.2f} s", f"numpy {beside:.2f} s", f"{ours / beside:.1f} of 3 times"


def _reading(folder: Path) -> Line:
    """The same hat read and worked; what stands beside it is the import alone, in a fresh interpreter."""
    from chartgen.fabric.work import work_sizes
    from chartgen.notation import parse
    from chartgen.read.reader import read

    def read_and_worked() -> None:
        document, _ = read(folder / "hat.yaml")
        work_sizes(document, parse(document))

    ours, beside = _timed(read_and_worked, 3), min(_import_of_numpy() for _ in range(3))
    return "reading and working it", f"{ours:.3f} s", f"numpy {beside:.3f} s", f"{ours / beside:.1f} of 1 times"


def _parsing() -> Line:
    """A text four times as long takes four times as long to parse."""
    from chartgen.notation import parse
    from chartgen.read.reader import read_text

    row = "Row {}: Ch 3, turn, *dc in next 3 sts, (2 dc, ch 2, 2 dc) in next ch-2 sp, skip 2 sts; rep from * across. (96 dc)"

    def seconds(rows: int) -> float:
        words = ["Ch 99.", *(row.format(n) for n in range(1, rows + 1))]
        document, _ = read_text(HEAD.format(title="Panel") + _piece("rows", words), "panel.yaml")
        return _timed(lambda: parse(document), 3)

    short, long = seconds(250), seconds(1000)
    return "parsing 1,000 rows", f"{long:.2f} s", f"250 rows {short:.2f} s", f"{long / short:.1f} for 4 times the text"


def _import_of_numpy() -> float:
    words = "from time import perf_counter as t; a = t(); import numpy; print(t() - a)"
    return float(subprocess.run([PYTHON, "-c", words], capture_output=True, check=True).stdout)


def hat_of_five_sizes() -> str:
    """A hat of 40 rounds: 16 that grow, 24 that do not."""
    rows = ["Make an adjustable ring.", "Rnd 1: Ch 1, 6 sc in ring; join with sl st in first sc. (6 sc)"]
    rows += ["Rnd 2: Ch 1, 2 sc in each sc around; join. (12 sc)"]
    rows += [
        f"Rnd {n}: Ch 1, *sc in each of next {n - 2} sc, 2 sc in next sc; rep from * around; join. ({6 * n} sc)"
        for n in range(3, 17)
    ]
    rows += ["Rnds 17-40 (41, 42, 43, 44): Ch 1, sc in each sc around; join. (96 sc)"]
    text = HEAD.format(title="Hat") + "sizes: [XS, S, M, L, XL]\n"
    return text + _piece("rounds", rows)


def _piece(worked: str, rows: list[str]) -> str:
    lines = ["pieces:", "  - name: Piece", "    parts:", "      - name: Part", f"        {worked}: |"]
    return "\n".join([*lines, *(f"          {row}" for row in rows)]) + "\n"


def _layout() -> Iterator[Line]:
    fabric = disc(SC, 57, 6, 4, 1, counts=False)
    edges = edges_of(fabric)
    ours = _timed(lambda: lay_out(fabric), 3)
    stress = edge_stress(lay_out(fabric).head, edges)
    count = len(fabric.stitches)
    yield f"layout, disc of {count:,} stitches", f"{ours:.2f} s", "", "1 s"
    yield "  stress of its edges", f"{stress:.3f}", "", "no worse than sfdp"
    if shutil.which("sfdp"):
        places: list[np.ndarray] = []
        beside = _timed(lambda: places.append(sfdp(count, edges)), 3)
        yield "  graphviz sfdp, same graph", "", f"{beside:.2f} s", f"{beside / ours:.0f} times ours, goal 4"
        yield "  stress of its edges", "", f"{edge_stress(places[0], edges):.3f}", ""
    small = disc(SC, 12, 6, 4, 1, counts=False)
    yield from _networkx(small)


def _networkx(fabric: Fabric) -> Iterator[Line]:
    try:
        import networkx
    except ImportError:
        yield "  networkx spring", "", "not installed", ""
        return
    edges, count = edges_of(fabric), len(fabric.stitches)
    graph = networkx.Graph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from((a, b) for a, b, _ in edges)
    places: list[dict[int, np.ndarray]] = []
    beside = _timed(lambda: places.append(networkx.spring_layout(graph, seed=1)), 3)
    ours = _timed(lambda: lay_out(fabric), 3)
    found = np.array([places[0][i] for i in range(count)])
    yield f"layout, disc of {count} stitches", f"{ours:.2f} s", f"networkx {beside:.2f} s", ""
    one, other = edge_stress(lay_out(fabric).head, edges), edge_stress(found, edges)
    yield "  stress of its edges", f"{one:.3f}", f"{other:.3f}", ""


def edges_of(fabric: Fabric) -> Edges:
    """(stitch, stitch, length wished): neighbours a stitch apart, each a height above its place."""
    edges: Edges = []
    for row in fabric.rows:
        edges += [(a, b, 1.05) for a, b in zip(row.line, row.line[1:], strict=False)]
    for stitch in fabric.stitches:
        high = max(stitch.kind.height, 0.25)
        edges += [(stitch.index, i, high) for place in stitch.feet for i in place.stitches[-1:]]
    return edges


def edge_stress(places: np.ndarray, edges: Edges) -> float:
    """Mean squared error of edge lengths, relative to the wished, at the scale that fits best."""
    a, b, wish = (np.array(column) for column in zip(*edges, strict=True))
    length = np.hypot(*(places[a] - places[b]).T) / wish
    scale = length.sum() / (length**2).sum()
    return float(np.mean((scale * length - 1) ** 2))


def sfdp(count: int, edges: Edges) -> np.ndarray:
    """Places (count, 2) that graphviz gives the graph."""
    lines = [*(f"{i};" for i in range(count)), *(f"{a} -- {b} [len={w}];" for a, b, w in edges)]
    told = subprocess.run(
        ["sfdp", "-Tplain"], input="graph {\n" + "\n".join(lines) + "\n}", capture_output=True, text=True, check=True
    )
    places = np.zeros((count, 2))
    for line in told.stdout.splitlines():
        if line.startswith("node "):
            _, name, x, y, *_ = line.split()
            places[int(name)] = float(x), float(y)
    return places


def panel_spec(stitches: int, width: int = 100) -> str:
    rows = [f"Ch {width + 1}.", f"Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. ({width} sc)"]
    rows += [f"Rows 2-{stitches // width}: Ch 1, sc in each sc across, turn. ({width} sc)"]
    return HEAD.format(title="Panel") + _piece("rows", rows)


def _drawn(folder: Path, stitches: int) -> tuple[object, str]:
    """The drawing of a panel's chart, and its text."""
    from chartgen.draw.chart import ChartOptions, draw_chart
    from chartgen.export.svg import to_svg
    from chartgen.fabric.work import work
    from chartgen.notation import parse
    from chartgen.read.reader import read_text

    document, _ = read_text(panel_spec(stitches), "panel.yaml")
    fabric = work(document, parse(document), 0)
    drawing = draw_chart(document, fabric, lay_out(fabric), ChartOptions(), ())
    return drawing, to_svg(drawing)


def _writing(folder: Path) -> Line:
    from chartgen.export.svg import to_svg

    drawing, text = _drawn(folder, 10_000)
    parts = re.split(r"(-?\d+\.\d+)", text)
    words, numbers = parts[::2], [float(n) for n in parts[1::2]] + [0.0]
    ours = _timed(lambda: to_svg(drawing), 3)
    beside = _timed(lambda: "".join([f"{w}{n:.3f}" for w, n in zip(words, numbers, strict=True)]), 3)
    return "writing 10,000 glyphs", f"{ours:.2f} s", f"joining {beside:.2f} s", f"{ours / beside:.1f} of 1.5 times"


def _builds(folder: Path) -> Iterator[Line]:
    for stitches in (1_000, 10_000, 50_000):
        spec = folder / f"panel-{stitches}.yaml"
        spec.write_text(panel_spec(stitches), encoding="utf-8")
        seconds, megabytes = _run("-m", "chartgen", "build", str(spec), "-o", str(folder))
        each = f"{1e6 * seconds / stitches:.0f} µs a stitch"
        yield f"whole build, {stitches:,} stitches", f"{seconds:.1f} s", each, f"{megabytes:.0f} of 1024 MB"


def _pdf(folder: Path) -> Line:
    from chartgen.export.raster import to_pdf

    _, text = _drawn(folder, 10_000)
    return "PDF of a chart of 10,000 glyphs", f"{_timed(lambda: to_pdf(text)):.2f} s", "", "1.5 s"


if __name__ == "__main__":
    main()
