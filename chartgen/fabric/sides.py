"""Right side and wrong side: where the headers say, else by the turns."""

from __future__ import annotations

from collections.abc import Sequence

from chartgen.fabric.fabric import Row
from chartgen.fabric.hook import Hook
from chartgen.fabric.plan import Planned
from chartgen.problems import Problem


def other(side: str) -> str:
    return "WS" if side == "RS" else "RS"


def first_side(planned: Sequence[Planned]) -> str:
    """The side of a part's first row: counted back from the first header that names one."""
    for at, row in enumerate(planned):
        if row.side:
            turns = sum(_turns(r) for r in planned[1 : at + 1])
            return other(row.side) if turns % 2 else row.side
    return "RS"


def _turns(row: Planned) -> bool:
    return row.turned_before != "no turn"


def sides_of(rows: Sequence[Row], hook: Hook) -> list[list[int]]:
    """The stitches that end the rows of this piece: from the last row down the side where it
    ended, and up the other side."""
    part = [r for r in rows if r.piece == hook.piece and r.form == "row" and r.line]
    near: list[int] = []
    far: list[int] = []
    ended_near = True
    for row in reversed(part):
        near.append(row.line[-1] if ended_near else row.line[0])
        far.append(row.line[0] if ended_near else row.line[-1])
        ended_near = ended_near != row.turned
    return [near, far[::-1]]


def wrong_side(hook: Hook, planned: Planned, side: str, size: str | None) -> Problem:
    return Problem(
        "F340",
        "warning",
        f"{hook.row_name_of(planned.number)} is marked {planned.side}, but by the turns before it, its {side} faces",
        planned.header,
        f'write "({side})", or say where the work is not turned',
        size=size,
    )
