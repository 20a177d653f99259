"""Reads a spec: file to `Document`, with every fault that can be found in one run."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chartgen.problems import Problem, Source, Span
from chartgen.read import keys, values
from chartgen.read.assembly import item, joins
from chartgen.read.document import ChartWords, Document, Text, Yarn
from chartgen.read.fits import fits
from chartgen.read.nodes import Lines, Mapping, Node, Scalar, Sequence, Stop
from chartgen.read.pieces import gauges, own_stitches, pieces, written_names
from chartgen.read.promises import named_counts, promises
from chartgen.read.prose import texts, translations
from chartgen.read.reading import Reading
from chartgen.read.tree import tree_of

MOST_BYTES = 1_000_000
MOST_IN_LINE = 10_000       # characters; the longest rows in print have about 2,000 (from memory)
Read = tuple[Document | None, tuple[Problem, ...]]

_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NAMES_A_FILE = re.compile(
    r"^\s*(?:[/~]|[A-Za-z]:\\|(?:file|https?|ftp):)|(?<!\.)\.\.(?!\.)|[A-Za-z]://", re.IGNORECASE
)


def read(path: Path) -> Read:
    """The spec in the file `path`, and what is wrong with it.

    The document is None when there is nothing to work with: no such file, no text,
    no rows.
    """
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            return None, (_too_large(size),)
        with path.open("rb") as file:       # a device may hold more than it says
            data = file.read(MOST_BYTES + 1)
    except OSError as fault:
        reason = (fault.strerror or "it cannot be opened").lower()
        return None, (Problem("R101", "error", f"the file cannot be read: {reason}",
                              help="check the name and the folder"),)
    return _read_bytes(data, str(path))


def _read_bytes(data: bytes, name: str) -> Read:
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        return None, (Problem(
            "R103", "error", f"the file is not UTF-8 text: byte {fault.start + 1}, in line {line}, "
            f"is {data[fault.start]:#04x}", help="save the file as UTF-8 plain text"),)
    return read_text(text, name)


def read_text(text: str, name: str) -> Read:
    """The spec in `text`; `name` is what messages call the file."""
    source = Source(name, text.removeprefix("\ufeff"))
    reading = Reading(source, Lines(source.text))
    try:
        document = _document(reading)
    except Stop as stop:
        reading.problems.append(stop.problem)
        document = None
    return document, tuple(reading.problems)


def _too_large(size: int) -> Problem:
    return Problem("R102", "error", f"the file has {size:,} bytes; a spec has at most "
                   f"{MOST_BYTES:,}", help="write one pattern per file, with rows in the "
                   "trade's short form")


def _refuse_what_is_no_text(text: str) -> None:
    size = len(text.encode("utf-8", "replace"))
    if size > MOST_BYTES:
        raise Stop(_too_large(size))
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > MOST_IN_LINE:
            raise Stop(Problem("R102", "error", f"line {number} has {len(line):,} characters; a "
                               f"line has at most {MOST_IN_LINE:,}",
                               help="write one row per line"))
    if bad := _UNPRINTABLE.search(text):
        raise Stop(Problem(
            "R103", "error", f"the file is not plain text: it holds the character "
            f"U+{ord(bad[0]):04X}", Span(bad.start(), bad.end()), "save it as UTF-8 plain text"))


def _document(reading: Reading) -> Document | None:
    _refuse_what_is_no_text(reading.source.text)
    root = tree_of(reading)
    if root is None or (isinstance(root, Scalar) and not root.value.strip()):
        raise Stop(Problem("R104", "error", "the file is empty",
                           help="begin with `format: 1`, `title:`, `terms:` and `pieces:`"))
    if not isinstance(root, Mapping):
        what = "a list" if isinstance(root, Sequence) else "plain text"
        raise Stop(Problem("R105", "error", f"a spec is made of keys with values, not {what}",
                           reading.first_line(root.span),
                           "begin with `format: 1`, `title:`, `terms:` and `pieces:`"))
    return _SpecReader(reading, _without_paths(reading, root)).document()


def _without_paths(reading: Reading, root: Mapping) -> Mapping:
    """The tree with every value that names a file reported and marked as spoiled."""
    return Mapping(tuple((key, value if key.value in keys.FREE_TEXT else
                          _checked(reading, key.value, value)) for key, value in root.entries),
                   root.span)


def _checked(reading: Reading, key: str, node: Node) -> Node:
    if isinstance(node, Mapping):
        return _without_paths(reading, node)
    if isinstance(node, Sequence):
        return Sequence(tuple(_checked(reading, key, item) for item in node.items), node.span)
    if node.spoiled or node.value == "~" or not _NAMES_A_FILE.search(node.value):
        return node
    reading.say("R213", f"`{key}` seems to name a file or an address: "
                f"`{node.value.strip()[:60]}`", reading.first_line(node.span),
                "a spec stands alone; write the value itself")
    return Scalar(node.value, node.span, node.style, spoiled=True)


@dataclass
class _SpecReader:
    """Reads the keys of the top level, in the order in which they need each other."""

    reading: Reading
    root: Mapping

    def document(self) -> Document | None:
        self._known_keys()
        self._missing_keys()
        self._format()
        sizes = self.reading.sizes = self._sizes()
        found = pieces(self.reading, self.root.get("pieces"))
        rest = self._small_keys(sizes)
        promised = promises(self.reading, self.root.get("measurements"), found,
                            written_names(self.root.get("pieces")))
        if not found:
            return None
        return Document(source=self.reading.source, sizes=sizes, pieces=found,
                        measurements=promised,
                        joins=joins(self.reading, self.root.get("joins"), found), **rest)

    def _small_keys(self, sizes: tuple[str, ...]) -> dict[str, Any]:
        terms = self._text("terms")
        counts, rules = named_counts(self.reading, self.root.get("counts"))
        return {
            "title": str(self._text("title") or ""),
            "terms": (terms and self.reading.one_of(terms, keys.TERMS, "terms")) or "US",
            "terms_span": terms.span if terms else None,
            "version": str(self._text("version") or "1"),
            "wearer": self._wearer(),
            "hook": self._hook(),
            "yarn": tuple(self._yarns()),
            "gauge": gauges(self.reading, self.root.get("gauge")),
            "stitches": own_stitches(self.reading, self.root.get("stitches")),
            "counts": counts,
            "rules": rules,
            "fits": fits(self.reading, self.root.get("fits")),
            "item": item(self.reading, self.root.get("item")),
            "chart": self._chart(),
            **{key: tuple(texts(self.reading, self.root.get(key), key)) for key in ("notes", "notions", "finishing")},
            "translations": translations(self.reading, self.root.get("translations")),
            "spans": {key.value: key.span for key, _ in self.root.entries},
        }

    def _text(self, key: str) -> Text | None:
        node = self.root.get(key)
        return None if node is None else self.reading.text(node, key)

    def _known_keys(self) -> None:
        for key, _ in self.root.entries:
            if key.value.lower() in keys.DRAWS_IN:
                self.reading.say("R202", f"`{key.value}` is not a key of a spec: "
                                 "a spec stands alone", key.span,
                                 "write everything in this one file")
            elif key.value not in keys.TOP:
                self.reading.unknown(key, keys.TOP, "a key of a spec")

    def _missing_keys(self) -> None:
        examples = {"format": "format: 1", "title": "title: Thyme hat",
                    "terms": "terms: US` (or UK, old)", "pieces": "pieces:"}
        start = Span(self.root.span.start, self.root.span.start)
        for key in keys.REQUIRED:
            if self.root.get(key) is None:
                example = examples[key]
                self.reading.say("R201", f"the spec has no `{key}`", start,
                                 f"write `{example}" + ("" if "`" in example else "`"))

    def _format(self) -> None:
        text = self._text("format")
        if text and text.value != keys.FORMAT:
            self.reading.say("R205", f"this is format {text}; the only format so far is "
                             f"{keys.FORMAT}", text.span, f"write `format: {keys.FORMAT}`")

    def _sizes(self) -> tuple[str, ...]:
        node = self.root.get("sizes")
        texts = [] if node is None else values.words_per_size(self.reading, node, "sizes")
        if len(texts) > keys.MOST_SIZES:
            raise Stop(Problem("R207", "error", f"`sizes` names {len(texts)} sizes; a spec has "
                               f"at most {keys.MOST_SIZES}", texts[keys.MOST_SIZES].span,
                               "write a spec for each range of sizes"))
        if isinstance(node, Sequence):
            self.reading.items(node, "sizes", "sizes: [small, large]")
        seen: set[str] = set()
        for text in texts:
            if text.value.casefold() in seen:
                self.reading.say("R212", f"two sizes are named `{text}`", text.span,
                                 "give each size a name of its own")
            seen.add(text.value.casefold())
        return tuple(text.value for text in texts)

    def _wearer(self) -> tuple[str, ...]:
        node = self.root.get("for")
        if node is None:
            return ("home",)
        return values.each_size(
            self.reading, node, "for",
            lambda text: self.reading.one_of(text, keys.WEARERS, "for")) or ("home",)

    def _hook(self) -> tuple[str, ...]:
        """Hook sizes as words, one for all sizes or one each: `4 mm`, `4.5 mm`."""
        node = self.root.get("hook")
        if isinstance(node, Scalar) and not node.spoiled and node.value.strip():
            read = values.numbers_with_unit(self.reading, node, node.value, 0, "hook", "mm")
            return tuple(f"{float(n):g} {read[1]}" for n in read[0]) if read else ()
        if isinstance(node, Sequence):
            return self._hook_list(node)
        if node is not None:
            self.reading.wrong_shape(node, "hook", "a size in mm", "hook: 4 mm")
        return ()

    def _hook_list(self, node: Sequence) -> tuple[str, ...]:
        texts = values.words_per_size(self.reading, node, "hook")
        for each in node.items:
            if texts and isinstance(each, Scalar):
                one = Reading(self.reading.source, self.reading.lines)
                values.numbers_with_unit(one, each, each.value, 0, "hook", "mm")
                self.reading.problems += one.problems
        if texts and not self.reading.fits_sizes(len(texts), "hook", node.span):
            return ()
        return tuple(text.value for text in texts)

    def _yarns(self) -> Iterator[Yarn]:
        mapping = self.reading.mapping(self.root.get("yarn"), "yarn", "A: {name: sage}")
        for key, node in mapping.entries if mapping else ():
            if isinstance(node, Mapping):
                yield self._yarn(key.value, node)
            else:
                yield Yarn(key.value, str(self.reading.text(node, key.value) or ""))

    def _yarn(self, key: str, node: Mapping) -> Yarn:
        self.reading.known_keys(node, keys.YARN, "a yarn")
        words = {name: self.reading.text(value, name) for name, value in node.entries
                 if name.value in ("name", "ball")
                 for name in [name.value]}
        colour, weight, amount = node.get("colour"), node.get("weight"), node.get("amount")
        much, unit = values.amount(self.reading, amount) if amount else ((), "")
        return Yarn(
            key=key,
            name=str(words.get("name") or ""),
            ball=str(words.get("ball") or ""),
            colour=values.colour(self.reading, colour) if colour else "",
            weight=values.whole_number(self.reading, weight, "weight", keys.WEIGHTS,
                                       "0 lace to 7 jumbo") if weight else None,
            amount=much,
            amount_unit=unit,
        )

    def _chart(self) -> ChartWords:
        mapping = self.reading.mapping(self.root.get("chart"), "chart", "sc: x")
        if mapping is None:
            return ChartWords()
        self.reading.known_keys(mapping, keys.CHART, "`chart`")
        said = {
            key.value: self.reading.one_of(text, keys.CHART[key.value], key.value)
            for key, node in mapping.entries if key.value in keys.CHART
            if (text := self.reading.text(node, key.value))
        }
        return ChartWords(**{key: word for key, word in said.items() if word})
