"""From text to nodes: parse, and where YAML stumbles over the trade's words, say so and go on."""

from __future__ import annotations

import re

import yaml

from chartgen.problems import Problem, Span
from chartgen.read import traps
from chartgen.read.nodes import Mapping, Node, Scalar, Sequence, Stop, TreeBuilder
from chartgen.read.reading import Reading

MOST_REPAIRS = 30
_CUT_OFF = re.compile(r"[ \t]+(#(?:\S| \d)[^\n]*)")


def tree_of(reading: Reading) -> Node | None:
    """The tree of the whole file; None for a file that holds none.

    Each trap found is reported, its value blanked in a copy of the text, and the copy
    parsed again, so that one run finds them all. Raises Stop when that does not help.
    """
    copy = traps.Copy(reading.lines)
    while True:
        builder = TreeBuilder(copy.text(), reading.lines, frozenset(copy.spoiled))
        try:
            tree = builder.tree()
        except yaml.YAMLError as fault:
            _bridge(reading, copy, fault)
            continue
        for problem in builder.problems:
            reading.add(problem)
        if tree is not None:
            _warn_of_comments(reading, tree)
        return tree


def _bridge(reading: Reading, copy: traps.Copy, fault: yaml.YAMLError) -> None:
    copy.repairs += 1
    trap = traps.find(copy, fault) if copy.repairs <= MOST_REPAIRS else None
    if trap:
        reading.add(trap)
        return
    tabs = [p for p in reading.problems if p.code == "R107"]
    for problem in tabs:            # what follows a tab is likely its fault
        reading.problems.remove(problem)
    raise Stop(tabs[0] if tabs else traps.general(reading.lines, fault))


def _warn_of_comments(reading: Reading, node: Node) -> None:
    """Values that end at a `#` that the designer may have meant to be words."""
    if isinstance(node, Mapping):
        for _, value in node.entries:
            _warn_of_comments(reading, value)
    elif isinstance(node, Sequence):
        for item in node.items:
            _warn_of_comments(reading, item)
    elif isinstance(node, Scalar) and not node.style and node.value and not node.spoiled:
        _warn_of_one(reading, node)


def _warn_of_one(reading: Reading, node: Scalar) -> None:
    cut = _CUT_OFF.match(reading.lines.rest(node.span.end))
    if cut:
        start = node.span.end + cut.start(1)
        words = cut[1].rstrip()
        reading.add(Problem(
            "R114", "warning", f"`{words}` is read as a comment and is not part of the value",
            Span(start, start + len(words)),
            "put the whole value in quotes if the words belong to it; "
            "else leave a space after `#`"))
