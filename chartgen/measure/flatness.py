"""Does it lie flat: the perimeter of a round against what would lie flat at its depth.

The bands: below 0.85 it cups, to 0.9 it blocks flat, to 1.1 it is flat, to 1.15 it
waves slightly, above it ruffles. They agree with the published starts 6 sc, 8 hdc,
12 dc (Gartur Stitch Farm, "Crocheting a Flat Circle"; Crafty Maria, "Getting your
circles flat", 2009) and with the published ruffle of 8 sc per round (mkcarroll.com,
"How Not to Crochet a Flat Circle", 2009): 8 / 6.28 = 1.27.
"""

from __future__ import annotations

from math import pi, tan

from chartgen.measure.measures import Verdict

BANDS: tuple[tuple[float, Verdict], ...] = (
    (0.85, "cups"),
    (0.9, "blocks flat"),
    (1.1, "flat"),
    (1.15, "slight wave"),
)
LIES_FLAT = 0.85
_ROUNDING = 1e-9


def around(corners: int) -> float:
    """Perimeter of a flat figure over its radius (apothem): 2 pi, or 2n tan(pi/n) for n corners."""
    return 2 * corners * tan(pi / corners) if corners else 2 * pi


def verdict(ratio: float) -> Verdict:
    """The band that `ratio`, perimeter over flat perimeter, falls in."""
    if ratio < LIES_FLAT - _ROUNDING:
        return "cups"
    return next((word for limit, word in BANDS[1:] if ratio <= limit + _ROUNDING), "ruffles")


def flat_gain(height: float, width: float, corners: int = 0) -> float:
    """Stitches a round must gain to lie flat: 2 pi x height / width for a disc."""
    return around(corners) * height / width
