"""Spirals: rounds that are not joined run on into one another as one curve."""

from __future__ import annotations

import numpy as np

from chartgen.layout.canvas import Points
from chartgen.layout.forms import Figure
from chartgen.layout.sizes import SIZES
from chartgen.layout.start import Start


def spiralled(heads: Points, begun: Start, figure: Figure) -> Points:
    """A level round opened so that its end lies one stitch higher than its start.

    It begins where the round before ended, but for a ruffle, which has room on a longer way round.
    """
    height = float(np.mean(begun.heights))
    level = float(np.mean(np.abs(heads)))
    begin = figure.spiral_end if figure.spiral_end is not None else level - 0.25 * height
    neat = float(begun.gaps.sum()) / (2 * np.pi)
    if np.min(np.bincount(begun.group)) > 1 and neat - begin > SIZES.ruffled * height:
        begin = neat - height / 2
    end = begin + float(np.clip(2 * (neat - begin), height, 1.5 * height))
    figure.spiral_end = end
    share = np.arange(len(heads)) / len(heads)
    return np.asarray(heads / np.abs(heads) * (begin + (end - begin) * share))
