"""What every reader of a value needs: the file, the sizes, and a place to put problems."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from chartgen.problems import Problem, Severity, Source, Span, near
from chartgen.read.document import Text
from chartgen.read.nodes import Lines, Mapping, Node, Scalar, Sequence, Stop, stretch, text_of

MOST_PROBLEMS = 100
MOST_WORDS = 400            # characters of one message
_PLAIN_WORDS = {Scalar: "words", Sequence: "a list", Mapping: "keys with values"}


def _cut(words: str) -> str:
    return words if len(words) <= MOST_WORDS else f"{words[:MOST_WORDS]}…"


def listed(words: Iterable[str], joint: str = "or") -> str:
    """`a, b or c`."""
    words = list(words)
    return f" {joint} ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)


def quoted(words: Iterable[str], joint: str = "or") -> str:
    """`a`, `b` or `c`, each as it is to be written."""
    return listed((f"`{word}`" for word in words), joint)


@dataclass
class Reading:
    """One file being read; problems gather here in the order they are found."""

    source: Source
    lines: Lines
    sizes: tuple[str, ...] = ()
    problems: list[Problem] = field(default_factory=list)

    def say(self, code: str, message: str, span: Span | None, help: str = "",
            notes: tuple[str, ...] = (), severity: Severity = "error") -> None:
        """Note a problem. Raises Stop past `MOST_PROBLEMS`."""
        self.add(Problem(code, severity, message, span, help, notes))

    def add(self, problem: Problem) -> None:
        """`say`, for a problem that is made already; one that quotes a whole page is cut."""
        if len(problem.message) + len(problem.help) > 2 * MOST_WORDS:
            problem = replace(problem, message=_cut(problem.message), help=_cut(problem.help))
        if len(self.problems) >= MOST_PROBLEMS:
            raise Stop(Problem("R109", "error", f"there are more than {MOST_PROBLEMS} faults; "
                               f"the first {MOST_PROBLEMS} are shown", problem.span,
                               "mend these and run it again"))
        self.problems.append(problem)

    def stretch(self, scalar: Scalar, start: int, end: int) -> Span:
        return stretch(scalar, self.source.text, start, end)

    def text(self, node: Node, key: str) -> Text | None:
        """Words; None, with a problem, for a list, for keys or for nothing."""
        if not isinstance(node, Scalar):
            self.wrong_shape(node, key, "words", f"{key}: …")
            return None
        if node.spoiled:
            return None
        if not node.value.strip():
            self._empty(node, key)
            return None
        return text_of(node, self.source.text)

    def _empty(self, node: Scalar, key: str) -> None:
        """A key without a value: often its value was taken for a comment."""
        hidden = re.match(r"[ \t]*(#\S[^,}\]\n]*)", self.lines.rest(node.span.end))
        if not hidden:
            self.say("R204", f"`{key}` has no value", self._before(node), f"write `{key}: …`")
            return
        start = node.span.end + hidden.start(1)
        words = hidden[1].strip()
        self.hidden(key, words, Span(start, start + len(words)))

    def hidden(self, key: str, words: str, span: Span) -> None:
        """A value that begins with an unquoted `#`."""
        kind = "the colour" if re.fullmatch(r"#[0-9A-Fa-f]{3,8}", words) else "the value"
        self.say("R110", f"{kind} is read as a comment, because a bare `#` begins one", span,
                 f'put {kind} in quotes: {key}: "{words}"')

    def _before(self, node: Scalar) -> Span:
        """The words in front of an empty value, so that there is something to underline."""
        line = self.lines.number(node.span.start)
        before = self.lines.text[self.lines.start(line) : node.span.start].rstrip()
        if not before.strip():
            return node.span
        start = self.lines.start(line) + len(before) - len(before.lstrip(" -"))
        return Span(start, self.lines.start(line) + len(before))

    def wrong_shape(self, node: Node, key: str, wanted: str, example: str = "") -> None:
        if isinstance(node, Scalar) and node.spoiled:
            return
        if isinstance(node, Scalar) and not node.value.strip():
            self._empty(node, key)
            return
        self.say("R203", f"`{key}` takes {wanted}, not {_PLAIN_WORDS[type(node)]}",
                 self.first_line(node.span), f"write `{example}`" if example else "")

    def first_line(self, span: Span) -> Span:
        """`span` cut at the end of its first line."""
        rest = self.lines.rest(span.start)
        return Span(span.start, min(span.end, span.start + len(rest.rstrip())))

    def mapping(self, node: Node | None, key: str, example: str) -> Mapping | None:
        if isinstance(node, Mapping):
            return node
        if node is not None:
            self.wrong_shape(node, key, "keys with values", example)
        return None

    def items(self, node: Node | None, key: str, example: str) -> tuple[Node, ...]:
        if isinstance(node, Sequence):
            if not node.items:
                self.say("R204", f"the list `{key}` is empty", node.span, f"write `{example}`")
            return node.items
        if node is not None:
            self.wrong_shape(node, key, "a list", example)
        return ()

    def known_keys(self, mapping: Mapping, known: Iterable[str], where: str) -> None:
        """Refuse keys that are not `known`, with the nearest that are."""
        known = tuple(known)
        for key, _ in mapping.entries:
            if key.value not in known:
                self.unknown(key, known, f"a key of {where}")

    def unknown(self, key: Scalar, known: tuple[str, ...], what: str) -> None:
        word, colon, rest = key.value.partition(":")
        if colon and word in known:
            self.say("R123", f"there is no space after the colon of `{word}`", key.span,
                     f"write `{word}: {rest}`")
            return
        self.say("R202", f"`{key.value}` is not {what}", key.span, self.nearest(key.value, known))

    @staticmethod
    def nearest(word: str, known: tuple[str, ...]) -> str:
        """Help that names the words meant, or all there are."""
        spelt = {k.lower(): k for k in known}
        meant = [spelt[k] for k in near(word, known)]
        return f"write {quoted(meant or known)}"

    def one_of(self, text: Text, known: tuple[str, ...], key: str) -> str | None:
        """The known word that `text` is, whatever its case."""
        for word in known:
            if word.lower() == text.value.lower():
                return word
        self.say("R206", f"`{key}` cannot be `{text}`; it is {listed(known)}", text.span,
                 self.nearest(text.value, known))
        return None

    def fits_sizes(self, count: int, key: str, span: Span) -> bool:
        """Whether `count` values serve the sizes: one for all, or one each."""
        wanted = len(self.sizes)
        if count == 1 or count == wanted:
            return True
        have = f"{key if key.startswith('the ') else f'`{key}`'} has {count} values"
        if not self.sizes:
            self.say("R207", f"{have}, but the pattern names no sizes", span,
                     "write one value, or name the sizes: `sizes: [small, large]`")
        else:
            self.say("R207", f"{have}, but there {'are' if wanted > 1 else 'is'} {wanted} "
                     f"size{'s' if wanted > 1 else ''} ({', '.join(self.sizes)})", span,
                     "write one value for all sizes, or one for each in the form "
                     "`first (second, third)`" if wanted > 1 else "write one value")
        return False
