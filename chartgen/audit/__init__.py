"""The audit of a finished chart: it reads an SVG file and judges it from its ink and attributes.

    paths     path data and transforms as plain points
    texts     lines of text and the boxes they take
    ink       the file: every stitch, label and line in millimetres of the page
    places    the place each foot names, found on the page
    signs     what every sign is by its strokes
    recount   the counts of every row from its signs, against the report
    joined    which stitches may touch
    touching  overlaps, gaps and crossings of those that may not
    standing  feet, stems and sizes
    rows      what a row promises of its own shape
    regular   evenness, roundness, straightness, symmetry
    lettering words against ink and against each other
    inks      contrast of rows with each other and with the paper
    report    the numbers beside their aims

Nothing here knows how a chart was laid out or drawn: a chart from anywhere that says of
itself what ours do can be audited.
"""

from chartgen.audit.ink import Chart, read_chart
from chartgen.audit.report import Audit, audit

__all__ = ["Audit", "Chart", "audit", "read_chart"]
