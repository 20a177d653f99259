"""Short rows taken up again: a row that ends with a stitch or two in the row ends beside it goes on level.

So a heel is turned: rows that each left stitches, then rows that each take one of those ends up again. Such a stitch is
no beginning of an edging; it stands upright beside the others, on the end that it is worked into.
"""

from __future__ import annotations

from chartgen.layout.places import Footing
from chartgen.layout.row_plan import RowPlan

_TAKEN_UP = 2           # ends at most that one row takes up
_ACROSS = 3             # stitches over tops before them, from which on a row goes across


def goes_on_level(plan: RowPlan, foot: Footing) -> None:
    """Turn what such a row ends with upright, as its last stitch over tops is. Changes `foot`."""
    at_ends = [node.key is not None and node.key.kind == "end" for node in plan.nodes]
    across = len(at_ends) - sum(at_ends)
    if not plan.closed and 0 < sum(at_ends) <= _TAKEN_UP and across >= _ACROSS and not any(at_ends[:across]):
        foot.normal[across:] = foot.normal[across - 1]
