"""Charts written by hand, stitch by stitch, so that what an audit must find is known beforehand.

One user unit is 1 mm. Every pen is 0.3 mm wide and round.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import cos, hypot, pi, sin

from chartgen.audit import Chart, read_chart

PEN = 0.3
Point = tuple[float, float]


def svg(body: Iterable[str], width: float = 100, height: float = 100, defs: str = "", view: str = "") -> str:
    """A whole file around `body`."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="{view or f"0 0 {width} {height}"}"><defs>{defs}</defs>'
        f'<g fill="none" stroke="#000000" stroke-width="{PEN}" stroke-linecap="round">{"".join(body)}</g></svg>'
    )


def chart(*body: str, **how: object) -> Chart:
    return read_chart(svg(body, **how))  # type: ignore[arg-type]


def stitch(
    n: int, kind: str, head: Point, feet: Sequence[Point] = (), into: str = "", row: str = "1",
    marks: str = "", **more: str,
) -> str:
    """One stitch: its attributes and `marks`."""
    attributes = {
        "data-piece": "p", "data-part": "q", "data-row": row, "data-n": str(n), "data-kind": kind,
        "data-x": f"{head[0]}", "data-y": f"{head[1]}",
        "data-foot": " ".join(f"{x},{y}" for x, y in feet), "data-into": into,
        **{f"data-{key.replace('_', '-')}": value for key, value in more.items()},
    }
    said = " ".join(f'{key}="{value}"' for key, value in attributes.items() if value)
    return f'<g class="stitch" {said}>{marks}</g>'


def line(a: Point, b: Point) -> str:
    return f'<path d="M{a[0]} {a[1]} L{b[0]} {b[1]}"/>'


def upright(n: int, kind: str, foot: Point, height: float, into: str, bars: Sequence[float], row: str = "1", **more: str) -> str:
    """A stem straight up from `foot`, with level bars 1.2 mm wide at these shares of its height."""
    return leaning(n, kind, foot, (foot[0], foot[1] - height), into, bars, row, **more)


def leaning(n: int, kind: str, foot: Point, head: Point, into: str, bars: Sequence[float], row: str = "1", **more: str) -> str:
    """The same from `foot` to `head`, the bars square to the stem."""
    reach = hypot(head[0] - foot[0], head[1] - foot[1])
    ux, uy = (head[0] - foot[0]) / reach, (head[1] - foot[1]) / reach
    marks = line(foot, head)
    for share in bars:
        x, y = foot[0] + (head[0] - foot[0]) * share, foot[1] + (head[1] - foot[1]) * share
        marks += line((x + 0.6 * uy, y - 0.6 * ux), (x - 0.6 * uy, y + 0.6 * ux))
    return stitch(n, kind, head, [foot], into, row, marks, **more)


def sc(n: int, foot: Point, into: str, row: str = "1", **more: str) -> str:
    """A single crochet 2.2 mm tall: a bar across its middle."""
    return upright(n, "sc", foot, 2.2, into, [0.5], row, **more)


def chain(n: int, middle: Point, row: str = "0", role: str = "foundation", **more: str) -> str:
    """A chain's oval, 1.8 mm by 0.8 mm on the pen's line, lying level."""
    oval = f'<ellipse cx="{middle[0]}" cy="{middle[1]}" rx="0.9" ry="0.4"/>'
    return stitch(n, "ch", middle, row=row, marks=oval, role=role, **more)


def foundation(count: int, y: float = 50.0, left: float = 10.0, step: float = 2.2) -> list[str]:
    return [chain(n, (left + step * (n - 1), y)) for n in range(1, count + 1)]


def disc(rounds: int, first: int = 6, centre: Point = (50.0, 50.0), step: float = 3.0, moved: dict[tuple[int, int], Point] | None = None) -> list[str]:
    """Round r has r times `first` sc at a radius of (r + 1) steps; `moved` shifts heads, mm.

    The ring is adjustable. A joining slip stitch is left out, so each row has a `begin`
    chain that does not count, far off the page's middle, to say that it is no spiral.
    """
    body = [f'<circle class="ring" cx="{centre[0]}" cy="{centre[1]}" r="{step - 1}"/>']
    for r in range(1, rounds + 1):
        count = first * r
        body.append(chain(1, (2.0 + 3 * r, 2.0), str(r), "begin"))
        for i in range(count):
            turn = 2 * pi * i / count
            reach = step * (r + 1)
            dx, dy = (moved or {}).get((r, i), (0.0, 0.0))
            head = (centre[0] + reach * cos(turn) + dx, centre[1] + reach * sin(turn) + dy)
            under = i - i // r if r > 1 else i
            below = 2 * pi * (under % (first * (r - 1))) / (first * (r - 1)) if r > 1 else turn
            foot = (centre[0] + step * r * cos(below), centre[1] + step * r * sin(below))
            into = "ring" if r == 1 else f"{r - 1}:{under % (first * (r - 1)) + 2}"
            body.append(leaning(i + 2, "sc", foot, head, into, [0.5], str(r)))
    return body
