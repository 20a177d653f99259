"""Chains that stand one above another at a seam: how large they are and how far apart."""

from __future__ import annotations

from dataclasses import dataclass

READS = 0.75               # length of the smallest oval that reads, about 2 mm in print
LINE = 0.81                # of an oval's line, end to end, per length
WIDE = 0.46                # of an oval's line, across, per length
STROKE = 0.107             # width of a pen
SMALL = 0.4                # size of a chain that stands where there is little room


@dataclass(frozen=True)
class Stack:
    """Chains one above another: the middle, the way up, length of each and from each to the next."""

    middle: complex
    out: complex
    length: float
    step: float


def stacked(chains: int, foot: complex, out: complex, room: float) -> Stack:
    """Chains that fill `room` above `foot`: no smaller than reads while they fit, apart or end to end."""
    apart, touching = (room / chains - 2 * STROKE) / LINE, (room - STROKE) / (chains * LINE)
    length = READS if apart >= READS else max(min(READS, touching), SMALL)
    step = (room - STROKE - LINE * length) / max(chains - 1, 1)
    return Stack(foot + out * room / 2, out, length, min(step, LINE * length + 2 * STROKE))
