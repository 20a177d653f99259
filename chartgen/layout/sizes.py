"""The weights and sizes of the layout, in chain lengths: data, named in one place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LayoutSizes:
    """What a draughtsman keeps to. House choices, tried on paper; no outside source.

    Attributes:
        pitch: from stitch to stitch along a row; from chain to chain where straight.
        chain_width: of a chain oval of length 1.
        half_chain: from the middle of a chain to its end in ink.
        chain_sunk: how far a single chain between tall stitches lies below their tops.
        space_clear: paper left between a stitch in a space and the chains below it.
        bar: width of the bar across the top of a tall stitch.
        low: height of the tallest stitch whose sign is a cross: a single crochet.
        on_chain: how much taller one stands on a chain that lies along the row.
        on_column: the same on the top of an upright beginning chain.
        cross: of a single crochet.
        cross_ink: length of its bar in ink, without the pen.
        cross_least: shortest bar of one beside others, as a share of that.
        bar_clear: from such a bar's end to half way to the next.
        dot: of a slip stitch.
        pen: width of a stroke in ink checks.
        gap_most: widest gap between neighbours before a row is drawn apart.
        drawn_most: how far a head may be drawn aside for that, as a share of its height.
        fan_drawn: how far a fan may be drawn aside as one, likewise, of its tallest stitch.
        chain_most: longest drawing of a run of chains, as a share of its length.
        stem_most: longest stem, as a share of its height; beyond, a dc passes for a tr.
        crowd_most: narrowest pitch of a round without increases, as a share of the neat one,
            before its stems are drawn too long instead.
        crowd_shared: the same of a round with increases, whose stitches lean.
        stem_least: shortest stem, likewise.
        fan_most: widest angle, from the normal, of a stitch in a fan.
        beside_clear: the same beside a run that climbs.
        steep: cosine between the way off a run of chains and the row's, below which a foot
            stands beside the run rather than over it.
        downhill: how far towards its lower end feet stand in a steep space.
        loop_foot_gap: the same, where many stand round a long loop.
        full_loop: from so many stitches in a long loop, as a share of its chains, they go all along it.
        next_most: from place to place, in pitches, up to which none between them is passed over.
        shell_from: stitches in one place that make a shell, and stand upright over it.
        fan_from: stitches in one place from which what stands on them follows the fan.
        bend_from: a row with a normal whose cosine to the figure's up is below this bends.
        end_clear: paper left between the last stitch of a row and a foot in that row's end.
        chain_clear: the same beyond a beginning chain that stands there.
        end_beside: how near beside such a foot ink must lie to matter.
        picot_least: least radius of a picot's ring, as a share of its chains' length.
        foot_gap: between the feet of stitches in one space.
        beside: from the first stitch to a beginning chain that stands beside it.
        start_drift: how far a joined round may slide off the common start, in stitches.
        start_angle: direction in which rounds start, radians.
        lean_most: how far a head may stand from above its place for an even round, as a
            share of its height.
        slide_most: how far a foot may move from the middle of its loop, as a share of it.
        close_most: how far of the way to its loop's end a foot moves to a stitch beside the loop.
        moves_on: how far the corners of a round stand from those below, from which it is no polygon.
        run_clear: from a run of chains to the tops it passes over, centre to centre.
        run_near: how near beside a chain such a top must lie to matter.
        run_lift: how much higher a run is hung for that, at most.
        most_passed: stitches passed over beyond which nothing is looked for.
        loop_chains: from so many chains a run is a loop that stitches can stand all round.
        loop_least: from head to head of a run that hangs between stitches of a full round.
        turning_most: from so many chains a turning chain is a loop, however it stands.
        upright: straightness, end to end over length, of a turning chain that stands.
        corners_most: more corners than this read as a circle.
        strip_stretch: spacing, over the neat one, at which rounds leave the disc.
        oval_stretch: the same for rounds about a chain.
        figure_gap: between figures of one chart.
        ruffled: so many times as long as its edge, a row is a ruffle.
        more_room: share of height added where ink touches, per trial.
        trials: how often a row is given more room, at most.
        trials_around: the same in a disc, whose rounds are widened all alike.
    """

    pitch: float = 1.05
    chain_width: float = 0.5
    half_chain: float = 0.45
    chain_sunk: float = 0.25
    space_clear: float = 0.3
    bar: float = 0.7
    low: float = 1.0
    on_chain: float = 0.04
    on_column: float = 0.22
    cross: float = 0.8
    cross_ink: float = 0.64
    cross_least: float = 0.4
    bar_clear: float = 0.1
    dot: float = 0.35
    pen: float = 0.08
    gap_most: float = 1.6
    drawn_most: float = 0.5
    fan_drawn: float = 0.15
    chain_most: float = 1.08
    stem_most: float = 1.3
    crowd_most: float = 0.86
    crowd_shared: float = 0.955
    stem_least: float = 0.8
    fan_most: float = 1.25
    beside_clear: float = 0.39
    steep: float = 0.85
    downhill: float = 0.2
    loop_foot_gap: float = 0.65
    full_loop: float = 0.9
    next_most: float = 1.5
    shell_from: int = 3
    fan_from: int = 6
    bend_from: float = 0.3
    end_clear: float = 0.27
    chain_clear: float = 0.2
    end_beside: float = 0.3
    picot_least: float = 0.642
    foot_gap: float = 0.5
    beside: float = 0.78
    start_drift: float = 0.25
    start_angle: float = 1.5707963267948966
    lean_most: float = 0.45
    slide_most: float = 0.3
    close_most: float = 0.75
    moves_on: float = 0.5
    run_clear: float = 0.75
    run_near: float = 0.9
    run_lift: float = 0.8
    most_passed: int = 40
    loop_chains: int = 4
    loop_least: float = 1.4
    turning_most: int = 6
    upright: float = 0.8
    corners_most: int = 8
    strip_stretch: float = 1.8
    oval_stretch: float = 1.3
    figure_gap: float = 4.0
    ruffled: float = 1.4
    more_room: float = 0.12
    trials: int = 4
    trials_around: int = 8


@dataclass(frozen=True, slots=True)
class RelaxWeights:
    """Weights of the soft wishes met together where no closed form holds.

    Attributes:
        stem: a stem keeps its length and leans to the normal.
        neighbours: neighbours keep their distance.
        bend: the row curves smoothly.
        to_normal: how far a stem's direction is blended to the normal.
        passes: rounds of projections, each followed by one linear solve.
    """

    stem: float = 1.0
    neighbours: float = 2.0
    bend: float = 0.5
    to_normal: float = 0.25
    passes: int = 100


SIZES = LayoutSizes()
RELAX = RelaxWeights()
