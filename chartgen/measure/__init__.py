"""Measure: lengths in cm from the fabric's counts and the pattern's gauge.

`measure` gives every piece its shape (a body of revolution for rounds, an outline
for rows), its dimensions with their arithmetic, the verdict on lying flat, and the
comparison with what the pattern promises. Counts stay whole and gauges stay exact
fractions until pi or a root comes in.
"""

from chartgen.measure.arithmetic import arithmetic
from chartgen.measure.measure import measure
from chartgen.measure.measures import (
    Dimension,
    Kept,
    Measures,
    Outline,
    PartMeasures,
    PieceMeasures,
    Revolution,
    Round,
    Swath,
)

__all__ = [
    "Dimension",
    "Kept",
    "Measures",
    "Outline",
    "PartMeasures",
    "PieceMeasures",
    "Revolution",
    "Round",
    "Swath",
    "arithmetic",
    "measure",
]
