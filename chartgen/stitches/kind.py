"""StitchKind: what the program knows of one kind of stitch."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class StitchKind:
    """One kind of stitch, simple or made by a family from a base stitch.

    Attributes:
        id: neutral id: the file's name for a simple kind, `family:base:legs` else.
        code: key in reports and drawings (`dc`, `slst`, `dc3tog`, `fpdc`, `popcorn`).
        base: id of the simple stitch its legs are; its own id for a simple kind.
        family: the family's id, or "" for a simple kind.
        legs: stems closed to one top; 1 for a simple kind.
        bases: `apart` where each leg has a place of its own, `joined` in one place.
        closed: how the top is closed: `bar`, `oval`, or "" for a simple kind.
        bulge: how far outer legs bow outward, as a share of the width.
        shoulder: how soon they do, as a share of the height from either end: 0 is an oval, 0.3 a pointed lens.
        post: `front`, `back` or "".
        height, width: on a chart, in chain lengths.
        fabric_height: in the fabric, in stitch widths; None where the trade gives none.
        turning_chain: chains that reach its height.
        strokes: cross-strokes on each stem.
        symbol: stem of the file in `symbols/` whose head (and strokes) it is drawn with.
        foot: stem of the file in `symbols/` drawn at the foot, or "".
        yarn: length used, relative to a single crochet.
        passes_for: id of a kind by whose name patterns call it as well, or "".
        names: per terms, (abbreviation, full name).
        own: the pattern's own word for it, or "".
        own_chain: it is worked on a chain of its own, into no stitch (foundation stitches).
        is_chain, is_slip: it is a chain, a slip stitch, of whatever kind.
    """

    id: str
    code: str
    base: str
    height: float
    width: float
    symbol: str
    family: str = ""
    legs: int = 1
    bases: str = "joined"
    closed: str = ""
    bulge: float = 0.0
    shoulder: float = 0.3
    post: str = ""
    fabric_height: float | None = None
    turning_chain: int = 0
    strokes: int = 0
    foot: str = ""
    yarn: float = 1.0
    own: str = ""
    own_chain: bool = False
    passes_for: str = ""
    names: dict[str, tuple[str, str]] = field(default_factory=dict, compare=False, hash=False)
    is_chain: bool = field(init=False, compare=False, repr=False)
    is_slip: bool = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "is_chain", self.base == "chain")
        object.__setattr__(self, "is_slip", self.base == "slip_stitch")

    def __hash__(self) -> int:
        return hash((self.id, self.own))

    def abbreviation(self, terms: str) -> str:
        """The short form in `terms`; the pattern's own word where it has one."""
        return self.own or self.names[terms][0]

    def name(self, terms: str) -> str:
        return self.own or self.names[terms][1]
