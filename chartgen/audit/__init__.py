"""The audit of a finished chart: it reads an SVG file and judges it from its ink and attributes.

    paths     path data and transforms as plain points
    ink       the file: every stitch, label and line in millimetres of the page
    places    the place each foot names, found on the page
    recount   what every sign is by its strokes, and the counts of every row
    touching  overlaps, gaps and crossings of stitches that are not joined
    standing  feet, stems and sizes
    regular   evenness, roundness, straightness, symmetry
    lettering words against ink and against each other
    report    the numbers beside their aims

Nothing here knows how a chart was laid out or drawn: a chart from anywhere that says of
itself what ours do can be audited.
"""

from chartgen.audit.ink import Chart, read_chart
from chartgen.audit.report import Audit, audit

__all__ = ["Audit", "Chart", "audit", "read_chart"]
