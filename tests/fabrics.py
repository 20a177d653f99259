"""Fabrics made by hand for tests: a maker that works stitch by stitch, and pieces worked with it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from chartgen.fabric import Fabric, PartInfo, PieceInfo, Place, Row, Stitch
from chartgen.stitches import registry

CH, SL, SC, HDC, DC, TR = (
    "chain", "slip_stitch", "single_crochet", "half_double", "double_crochet", "treble",
)


@dataclass
class Maker:
    """Works a piece of one part, a stitch at a time."""

    stitches: list[Stitch] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    own: list[int] = field(default_factory=list)
    line: list[int] = field(default_factory=list)
    number: int = 0
    form: str = "round"
    side: str = "RS"
    turned: bool = False
    groups: int = 0

    def row(self, form: str = "round", side: str = "RS", turned: bool = False) -> None:
        """Begin a row; `end` closes it."""
        self.own, self.line, self.form, self.side, self.turned = [], [], form, side, turned

    def put(self, kind: str, *feet: Place, in_line: bool = True, **more: object) -> int:
        """Work one stitch of the kind with this id; returns its index."""
        index = len(self.stitches)
        self.stitches.append(
            Stitch(
                index, registry().kind(kind), 0, 0, len(self.rows), len(self.own) + 1,
                self.side, tuple(feet), off_line=not in_line, **more,  # type: ignore[arg-type]
            )
        )
        self.own.append(index)
        if in_line:
            self.line.append(index)
        return index

    def ch(self, count: int, **more: object) -> list[int]:
        return [self.put(CH, **more) for _ in range(count)]

    def column(self, chains: int, stands_as: str | None) -> int:
        """An upright beginning chain; counts as `stands_as`, or does not count. Its top."""
        lower = chains - 1 if stands_as else chains
        for _ in range(lower):
            self.put(CH, in_line=False, role="begin")
        if not stands_as:
            return self.own[-1]
        kind = registry().kind(stands_as)
        return self.put(CH, role="begin", counts_in=len(self.rows), stands_as=kind)

    def picot(self, chains: int, closed_in: int | None = None) -> None:
        """A picot of `chains`, closed with a slip stitch in `closed_in` or in its first chain."""
        self.groups += 1
        made = [
            self.put(CH, in_line=False, group=self.groups, group_name="picot") for _ in range(chains)
        ]
        into = made[0] if closed_in is None else closed_in
        self.put(SL, top(into), in_line=False, group=self.groups, group_name="picot")

    def join(self, into: int) -> None:
        self.put(SL, top(into), in_line=False, role="join")

    def end(self, ending: str = "") -> list[int]:
        """Close the row; returns its line."""
        self.rows.append(
            Row(
                len(self.rows), 0, 0, str(len(self.rows)), self.form, self.side,  # type: ignore[arg-type]
                self.turned, ending, tuple(self.own), tuple(self.line),
            )
        )
        return list(self.line)

    def foundation(self, chains: int) -> list[int]:
        self.row("foundation")
        self.ch(chains, role="foundation")
        return self.end()

    def ring(self, chains: int) -> list[int]:
        """A chain joined to a ring; none for an adjustable ring."""
        self.row("ring")
        made = self.ch(chains, role="foundation")
        if made:
            self.join(made[0])
        return self.end("join")

    def fabric(self, worked: str = "rounds") -> Fabric:
        part = PartInfo("Part", worked, tuple(r.index for r in self.rows), True)  # type: ignore[arg-type]
        return Fabric(None, (PieceInfo("Piece", (part,)),), tuple(self.rows), tuple(self.stitches))


def top(index: int, **more: object) -> Place:
    return Place("stitch", (index,), **more)  # type: ignore[arg-type]


def space(*indices: int) -> Place:
    return Place("space", tuple(indices))


def disc(kind: str = DC, rounds: int = 4, step: int = 12, ring: int = 4, chains: int = 3,
         counts: bool = True, spiral: bool = False) -> Fabric:
    """A flat disc: `step` stitches in the ring, `step` more each round, increases stacked."""
    maker = Maker()
    ring_line = maker.ring(ring)
    place = Place("ring", tuple(ring_line))
    before: list[int] = []
    for number in range(1, rounds + 1):
        maker.row()
        places = [place] * step if number == 1 else _increasing(before, number - 1)
        begun = []
        if not spiral:
            begun = [maker.column(chains, kind)] if counts else []
            if not counts:
                maker.column(chains, None)
        made = begun + [maker.put(kind, p) for p in places[len(begun):]]
        if not spiral:
            maker.join(made[0])
        before = maker.end("spiral" if spiral else "join")
    return maker.fabric()


def _increasing(before: list[int], every: int) -> list[Place]:
    """Two in the first of each `every` stitches, one in each of the others."""
    places = []
    for i, index in enumerate(before):
        places += [top(index)] * (2 if i % every == 0 else 1)
    return places


def granny(rounds: int = 4, corners: int = 4, between: int = 1, corner: int = 2, begin: int = 3) -> Fabric:
    """A square (or other polygon) of groups of 3 dc, `corner` chains at the corners."""
    maker = Maker()
    ring_line = maker.ring(4 if corners <= 4 else 6)
    place = Place("ring", tuple(ring_line))
    spaces: list[tuple[Place, bool]] = []
    for number in range(1, rounds + 1):
        spaces = _granny_round(maker, number, corners, between, corner, begin, place, spaces)
    return maker.fabric()


def _granny_round(maker, number, corners, between, corner, begin, ring, spaces):
    maker.row()
    if number > 1:
        slip_to = spaces[-1][0]
        maker.put(SL, slip_to, in_line=False, role="travel")
    new: list[tuple[Place, bool]] = []

    def group(place, first=False):
        if first:
            maker.column(begin, DC)
        for _ in range(2 if first else 3):
            maker.put(DC, place)

    if number == 1:
        for i in range(corners):
            group(ring, i == 0)
            new.append((space(*maker.ch(corner)), True))
    else:
        order = [spaces[-1], *spaces[:-1]]
        first_corner = order[0][0]
        group(first_corner, True)
        if between:
            new.append((space(*maker.ch(between)), False))
        for place, is_corner in order[1:]:
            group(place)
            if is_corner:
                new.append((space(*maker.ch(corner)), True))
                group(place)
            if between:
                new.append((space(*maker.ch(between)), False))
        group(first_corner)
        new.append((space(*maker.ch(corner)), True))
    maker.join(maker.line[0])
    maker.end("join")
    return new


def sc_square(rounds: int = 5) -> Fabric:
    """A plain square in sc, 3 sc in each corner, the start in the middle of a side."""
    maker = Maker()
    place = Place("ring", tuple(maker.ring(4)))
    before: list[int] = []
    corners: set[int] = set()
    for number in range(1, rounds + 1):
        maker.row()
        maker.column(1, None)
        if number == 1:
            for _ in range(4):
                [maker.put(SC, place) for _ in range(2)]
                corners.add(maker.put(SC, place))
        else:
            new = set()
            for index in before:
                made = [maker.put(SC, top(index)) for _ in range(3 if index in corners else 1)]
                if index in corners:
                    new.add(made[1])
            corners = new
        maker.join(maker.line[0])
        before = maker.end("join")
    return maker.fabric()


def panel(kind: str = DC, width: int = 16, rows: int = 6, chains: int = 3, counts: bool = True) -> Fabric:
    """A plain panel; its turning chains stand for the first stitch, or do not count."""
    maker = Maker()
    line = maker.foundation(width)
    for number in range(rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        maker.column(chains, kind if counts else None)
        back = list(reversed(line))
        for index in back[1:] if counts else back:
            maker.put(kind, top(index))
        line = maker.end("turn")
    return maker.fabric("rows")


def skipped_panel(width: int = 12, rows: int = 4) -> Fabric:
    """A dc panel whose last three foundation chains stand as the first stitch."""
    maker = Maker()
    chain = maker.foundation(width + 2)
    kind = registry().kind(DC)
    for index in chain[-3:-1]:
        maker.stitches[index] = replace(maker.stitches[index], off_line=True)
    maker.stitches[chain[-1]] = replace(maker.stitches[chain[-1]], counts_in=1, stands_as=kind)
    maker.row("row")
    maker.line.append(chain[-1])
    for index in reversed(chain[:-3]):
        maker.put(DC, top(index))
    line = maker.end("turn")
    for number in range(1, rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", True)
        maker.column(3, DC)
        for index in reversed(line[:-1]):
            maker.put(DC, top(index))
        line = maker.end("turn")
    return maker.fabric("rows")


def shaped(width: int = 20, rows: int = 6) -> Fabric:
    """A panel in sc that loses a stitch at each end of every row."""
    maker = Maker()
    line = maker.foundation(width)
    for number in range(rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        maker.column(1, None)
        back = list(reversed(line))
        maker.put("together:single_crochet:2", top(back[0]), top(back[1]))
        for index in back[2:-2]:
            maker.put(SC, top(index))
        maker.put("together:single_crochet:2", top(back[-2]), top(back[-1]))
        line = maker.end("turn")
    return maker.fabric("rows")


def shells(repeats: int = 3, rows: int = 4) -> Fabric:
    """Shells of 5 dc between single crochets, each row's shells over the sc below."""
    maker = Maker()
    back = list(reversed(maker.foundation(6 * repeats + 1)))
    maker.row("row")
    maker.column(1, None)
    maker.put(SC, top(back[0]))
    for i in range(repeats):
        for _ in range(5):
            maker.put(DC, top(back[6 * i + 3]))
        maker.put(SC, top(back[6 * i + 6]))
    line = maker.end("turn")
    for number in range(1, rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", True)
        back = list(reversed(line))
        begins_sc = maker.stitches[back[0]].kind.id == SC
        _shell_row(maker, back, begins_sc)
        line = maker.end("turn")
    return maker.fabric("rows")


def _shell_row(maker: Maker, back: list[int], on_sc: bool) -> None:
    """Over a row that begins with sc: half shells at the edges; else sc at the edges."""
    if on_sc:
        maker.column(3, DC)
        for _ in range(2):
            maker.put(DC, top(back[0]))
        for i in range(0, len(back) - 1, 6):
            maker.put(SC, top(back[i + 3]))
            last = i + 6 == len(back) - 1
            for _ in range(3 if last else 5):
                maker.put(DC, top(back[i + 6]))
        return
    maker.column(1, None)
    maker.put(SC, top(back[0]))
    for i in range(3, len(back) - 1, 6):
        for _ in range(5):
            maker.put(DC, top(back[i]))
        maker.put(SC, top(back[i + 3]) if i + 3 < len(back) - 1 else top(back[-1]))


def lace(rounds: int = 6, loops: int = 12) -> Fabric:
    """Chain loops in rounds, each round closed by a chain and a tall stitch."""
    maker = Maker()
    place = Place("ring", tuple(maker.ring(6)))
    maker.row()
    maker.column(1, None)
    first = [maker.put(SC, place) for _ in range(loops)]
    maker.join(first[0])
    maker.end("join")
    maker.row()
    maker.put(SC, top(first[0]))
    spaces = []
    for index in first[1:]:
        spaces.append(space(*maker.ch(3)))
        maker.put(SC, top(index))
    tail = maker.ch(1)
    closing = maker.put(HDC, top(maker.line[0]))
    spaces.append(space(*tail, closing))
    maker.end("")
    for number in range(3, rounds + 1):
        size = number + 1
        short = (size - 1) // 2
        tall = HDC if size < 5 else DC if size < 7 else TR
        start = closing
        maker.row()
        new = []
        for loop in spaces[:-1]:
            new.append(space(*maker.ch(size)))
            maker.put(SC, loop)
        tail = maker.ch(short)
        closing = maker.put(tall, top(start))
        new.append(space(*tail, closing))
        maker.end("")
        spaces = new
    return maker.fabric()


def filet(meshes: int = 8, rows: int = 5) -> Fabric:
    """Open squares: dc, ch 2, with ch 5 at the turn for a dc and a ch-2 space."""
    maker = Maker()
    back = list(reversed(maker.foundation(3 * meshes + 1)))
    posts = back[::3]
    for number in range(rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        maker.column(3, DC)
        for index in posts[1:]:
            maker.ch(2)
            maker.put(DC, top(index))
        line = maker.end("turn")
        posts = [i for i in reversed(line) if not maker.stitches[i].kind.is_chain or maker.stitches[i].counts_in]
    return maker.fabric("rows")


def hat(kind: str = DC, flat: int = 3, tall: int = 5, step: int = 12) -> Fabric:
    """A disc, then rounds without increase: a tube that stands on it."""
    maker = Maker()
    place = Place("ring", tuple(maker.ring(4)))
    before: list[int] = []
    for number in range(1, flat + tall + 1):
        maker.row()
        places = [place] * step if number == 1 else _increasing(before, number - 1)
        places = [top(i) for i in before] if number > flat else places
        made = [maker.column(3, kind)] + [maker.put(kind, p) for p in places[1:]]
        maker.join(made[0])
        before = maker.end("join")
    return maker.fabric()


def plain_tube(step: int = 12, rounds: int = 8) -> Fabric:
    """Three growing rounds of hdc, then a tube; each begins with 2 ch that do not count."""
    maker = Maker()
    place = Place("ring", tuple(maker.ring(0)))
    before: list[int] = []
    for number in range(1, rounds + 1):
        maker.row()
        maker.column(2, None)
        places = [place] * step if number == 1 else _increasing(before, number - 1)
        places = [top(i) for i in before] if number > 3 else places
        made = [maker.put(HDC, p) for p in places]
        maker.join(made[0])
        before = maker.end("join")
    return maker.fabric()


def foundation_stitches(width: int = 10) -> Fabric:
    """A row of foundation sc, two rows of sc, then a row joined anew that is not turned."""
    maker = Maker()
    maker.ring(0)
    maker.row("row", "WS")
    for _ in range(width):
        maker.put("foundation:single_crochet:1")
    line = maker.end("turn")
    for side in ("RS", "WS"):
        maker.row("row", side, True)
        maker.column(1, None)
        for index in reversed(line):
            maker.put(SC, top(index))
        line = maker.end("turn" if side == "RS" else "off")
    maker.row("row", "RS")
    maker.column(1, None)
    for index in reversed(line):
        maker.put(SC, top(index))
    maker.end("off")
    return maker.fabric("rows")


def oval(chains: int = 10, rounds: int = 4) -> Fabric:
    """Single crochet around both sides of a chain, three more at each end every round."""
    maker = Maker()
    chain = maker.foundation(chains)
    maker.row()
    for index in reversed(chain[1:]):
        maker.put(SC, top(index))
    ends = [[maker.put(SC, top(chain[0])) for _ in range(3)]]
    for index in chain[1:-1]:
        maker.put(SC, top(index, far_side=True))
    ends.append([maker.put(SC, top(chain[-1], far_side=True)) for _ in range(2)])
    ends[1].append(maker.line[0])
    before = maker.end("spiral")
    for _ in range(1, rounds):
        maker.row()
        new: list[list[int]] = [[], []]
        for index in before:
            which = next((k for k in (0, 1) if index in ends[k]), None)
            made = [maker.put(SC, top(index)) for _ in range(2 if which is not None else 1)]
            if which is not None:
                new[which] += made[:1]
        ends = new
        before = maker.end("spiral")
    return maker.fabric()


def vamp(chains: int = 11, rows: int = 6) -> Fabric:
    """Rows that go down one side of a chain, three in its end, and back up the other side."""
    maker = Maker()
    chain = maker.foundation(chains)
    maker.row("row")
    for index in reversed(chain[1:-1]):
        maker.put(SC, top(index))
    for _ in range(3):
        maker.put(SC, top(chain[0]))
    for index in chain[1:-1]:
        maker.put(SC, top(index, far_side=True))
    line = maker.end("turn")
    for number in range(1, rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", True)
        maker.column(1, None)
        middle = line[len(line) // 2]
        for index in reversed(line):
            for _ in range(3 if index == middle else 1):
                maker.put(SC, top(index))
        line = maker.end("turn")
    return maker.fabric("rows")


def picot_edge(step: int = 12) -> Fabric:
    """A disc with an edge of picots, each standing on its single crochet."""
    maker = Maker()
    place = Place("ring", tuple(maker.ring(5)))
    maker.row()
    made = [maker.column(3, DC)] + [maker.put(DC, place) for _ in range(2 * step - 1)]
    maker.join(made[0])
    before = maker.end("join")
    maker.row()
    maker.column(1, None)
    for i, index in enumerate(before):
        stitch = maker.put(SC, top(index))
        if i % 2 == 0:
            maker.picot(3, stitch)
    maker.join(maker.line[0])
    maker.end("join")
    return maker.fabric()


def popcorn_panel() -> Fabric:
    """A dc panel with popcorns every other stitch on its right-side rows."""
    maker = Maker()
    line = maker.foundation(11)
    for number in range(4):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        maker.column(3, DC)
        for i, index in enumerate(list(reversed(line))[1:]):
            kind = "popcorn:double_crochet:5" if number % 2 == 0 and i % 2 == 0 else DC
            maker.put(kind, top(index))
        line = maker.end("turn")
    return maker.fabric("rows")


def ripple(repeats: int = 3, rows: int = 5) -> Fabric:
    """Single crochet in chevrons: three in one at each peak, three together in each valley."""
    maker = Maker()
    count = 12 * repeats + 1
    line = maker.foundation(count)
    for number in range(rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        maker.column(1, None)
        back = list(reversed(line))
        for i, index in enumerate(back):
            at = i % 12
            if i in (0, count - 1):
                [maker.put(SC, top(index)) for _ in range(2)]
            elif at == 0:
                [maker.put(SC, top(index)) for _ in range(3)]
            elif at == 6:
                maker.put("together:single_crochet:3", top(back[i - 1]), top(index), top(back[i + 1]))
            elif at in (5, 7):
                continue
            else:
                maker.put(SC, top(index))
        line = maker.end("turn")
    return maker.fabric("rows")


def edged_panel(width: int = 8, rows: int = 5) -> Fabric:
    """A dc panel with a round of sc: along the top, down one side, and so on, 3 in corners."""
    maker = Maker()
    chain = maker.foundation(width)
    line, starts, ends = chain, [], []
    for number in range(rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        maker.column(3, DC)
        for index in list(reversed(line))[1:]:
            maker.put(DC, top(index))
        line = maker.end("turn")
        right, left = (line[0], line[-1]) if number % 2 == 0 else (line[-1], line[0])
        starts.append(right)
        ends.append(left)
    last_wrong = rows % 2 == 0
    across = list(reversed(line)) if not last_wrong else list(line)
    across = sorted(line, key=lambda i: i, reverse=True) if rows % 2 == 1 else sorted(line)
    maker.row("round", "RS" if rows % 2 == 0 else "WS", True)
    side_down, side_up = (starts, ends) if rows % 2 == 1 else (ends, starts)
    maker.column(1, None)
    if rows % 2 == 0:
        across = list(reversed(line))
    _edge(maker, across, side_down, chain if rows % 2 == 1 else chain, side_up, rows)
    maker.join(maker.line[0])
    maker.end("join")
    return maker.fabric("rows")


def _edge(maker: Maker, across: list[int], down: list[int], chain: list[int], up: list[int], rows: int) -> None:
    for i, index in enumerate(across):
        for _ in range(3 if i in (0, len(across) - 1) else 1):
            maker.put(SC, top(index))
    for index in reversed(down):
        for _ in range(2):
            maker.put(SC, Place("end", (index,)))
    bottom = list(reversed(chain)) if rows % 2 == 1 else list(chain)
    for i, index in enumerate(bottom):
        for _ in range(3 if i in (0, len(bottom) - 1) else 1):
            maker.put(SC, top(index, far_side=True))
    for index in up:
        for _ in range(2):
            maker.put(SC, Place("end", (index,)))


def post_rib(width: int = 10, rows: int = 4) -> Fabric:
    """Alternate front and back post dc on a first row of dc."""
    maker = Maker()
    line = maker.foundation(width)
    for number in range(rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        maker.column(3 if number == 0 else 2, DC)
        for i, index in enumerate(list(reversed(line))[1:]):
            if number == 0 or i == width - 2:
                maker.put(DC, top(index))
            else:
                side = "front_post" if i % 2 == 0 else "back_post"
                maker.put(f"{side}:double_crochet:1", Place("post", (index,)))
        line = maker.end("turn")
    return maker.fabric("rows")


def v_stitches(repeats: int = 6, rows: int = 4) -> Fabric:
    """(dc, ch 1, dc) in every third chain, then in every ch-1 space."""
    maker = Maker()
    chain = list(reversed(maker.foundation(3 * repeats + 2)))
    places = [top(chain[3 * i + 2]) for i in range(repeats)]
    last = chain[-1]
    for number in range(rows):
        maker.row("row", "RS" if number % 2 == 0 else "WS", number > 0)
        first = maker.column(3, DC)
        new = []
        for place in places:
            maker.put(DC, place)
            new.append(space(*maker.ch(1)))
            maker.put(DC, place)
        maker.put(DC, top(last))
        last, places = first, list(reversed(new))
        maker.end("turn")
    return maker.fabric("rows")


def cluster_wheel(points: int = 8) -> Fabric:
    """Trebles in a ring, then 4-dc clusters with ch-3 spaces between."""
    maker = Maker()
    place = Place("ring", tuple(maker.ring(6)))
    maker.row()
    made = [maker.column(4, TR)] + [maker.put(TR, place) for _ in range(2 * points - 1)]
    maker.join(made[0])
    before = maker.end("join")
    maker.row()
    first = maker.column(3, DC)
    maker.ch(3)
    for i in range(2, len(before), 2):
        maker.put("cluster:double_crochet:4", top(before[i]))
        maker.ch(3)
    maker.join(first)
    maker.end("join")
    return maker.fabric()
