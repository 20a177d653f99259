"""The layout stage: a place in the plane for every stitch of a fabric."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from chartgen.fabric import Fabric
from chartgen.layout.canvas import Canvas, Points
from chartgen.layout.figures_apart import set_apart, square_up
from chartgen.layout.flatness import drawn_flat
from chartgen.layout.forms import Figure, corner_count, drawn_form, figures
from chartgen.layout.ink import overlaps
from chartgen.layout.mitre import mitre
from chartgen.layout.placed import Floats, Layout, Run
from chartgen.layout.ripple import ripple
from chartgen.layout.room import with_room
from chartgen.layout.row_plan import RowPlan
from chartgen.layout.strips import Pale


def lay_out(fabric: Fabric, left_handed: bool = False) -> Layout:
    """Place every stitch. For a left-handed maker the layout is the mirror image."""
    plans: dict[int, RowPlan] = {}
    drawn = figures(fabric, plans)
    canvas = Canvas.blank(fabric)
    pale, touching = [], []
    for figure in drawn:
        edge, pairs = with_room(canvas, figure, plans)
        pale.append(edge)
        square_up(canvas, figure)
        bent = ripple(canvas, figure, plans) or mitre(canvas, figure, plans)
        touching += overlaps(canvas, figure.rows) if bent else pairs
    offsets = set_apart(canvas, drawn)
    layout = _layout(canvas, drawn, offsets, pale, tuple(sorted(touching)))
    return mirrored(layout) if left_handed else layout


def _layout(
    canvas: Canvas, drawn: list[Figure], offsets: list[complex], pale: list[list[Pale]],
    touching: tuple[tuple[int, int], ...],
) -> Layout:
    run_of_row = [0] * len(canvas.fabric.rows)
    for number, figure in enumerate(drawn):
        for row in figure.rows:
            run_of_row[row] = number
    nothing = np.zeros(0, dtype=np.complex128)
    return Layout(
        head=_pairs(canvas.head),
        angle=canvas.turn.copy(),
        feet=_feet(canvas),
        runs=tuple(_run(canvas, *each) for each in zip(drawn, offsets, pale, strict=True)),
        run_of_row=tuple(run_of_row),
        centre_line=tuple(_pairs(canvas.curve.get(j, nothing)) for j in range(len(run_of_row))),
        moved=np.abs(canvas.head - canvas.first),
        overlaps=touching,
        length=canvas.length.copy(),
    )


def _feet(canvas: Canvas) -> tuple[Floats, ...]:
    """Places of each stitch's legs, float64 (legs, 2): cut from one array."""
    flat = _pairs(np.array([foot for legs in canvas.feet for foot in legs], dtype=np.complex128))
    ends = np.cumsum([len(legs) for legs in canvas.feet]).tolist()
    return tuple(flat[end - len(legs):end] for legs, end in zip(canvas.feet, ends, strict=True))


def _pairs(points: Points) -> Floats:
    """Complex points as float64 (n, 2)."""
    return np.stack([points.real, points.imag], axis=1)


def _run(canvas: Canvas, figure: Figure, offset: complex, edge: list[Pale]) -> Run:
    return Run(
        piece=figure.piece,
        form=drawn_form(figure),
        rows=tuple(figure.rows),
        corners=corner_count(figure),
        centre=_centre(figure, offset),
        continues=figure.continues,
        pale=tuple(
            (i, at + (offset.real, offset.imag), turn, legs + (offset.real, offset.imag)) for i, at, turn, legs in edge
        ),
        drawn_flat=drawn_flat(canvas.fabric, figure),
    )


def _centre(figure: Figure, offset: complex) -> tuple[float, float]:
    """Where the figure's centre came to lie: a ring's, or the middle of a chain worked around."""
    middle = sum(figure.spine) / 2 if figure.form == "oval" and figure.spine else 0.0
    return (offset.real + middle, offset.imag)


def mirrored(layout: Layout) -> Layout:
    """The same layout seen in a mirror: left and right changed over."""
    flip = np.array([-1.0, 1.0])
    return replace(
        layout,
        head=layout.head * flip,
        angle=np.pi - layout.angle,
        feet=tuple(f * flip for f in layout.feet),
        centre_line=tuple(c * flip for c in layout.centre_line),
        runs=tuple(_mirrored_run(run) for run in layout.runs),
    )


def _mirrored_run(run: Run) -> Run:
    flip = np.array([-1.0, 1.0])
    pale = tuple((s, h * flip, np.pi - a, f * flip) for s, h, a, f in run.pale)
    return replace(run, centre=(-run.centre[0], run.centre[1]), pale=pale)
