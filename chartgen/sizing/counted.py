"""Named counts worked out: body measure, ease, gauge, the nearest count, and the size it makes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from chartgen.problems import Problem, Span
from chartgen.read import CountRule, Document, NamedCount, Term, Text
from chartgen.sizing.body import measure_named
from chartgen.sizing.chosen import Body, bodies, changes, missing, remedy
from chartgen.sizing.gauged import Allowed, Unit, allowed, unit_of


@dataclass(frozen=True, slots=True)
class Worked:
    """A named count in one size.

    Attributes:
        to_fit_cm: the body measure; None where the rule names none.
        target_cm: the length asked for; finished_cm: the length the count makes.
        how: the arithmetic, one line.
    """

    size: str | None
    count: int
    to_fit_cm: Fraction | None
    target_cm: Fraction | None
    finished_cm: Fraction | None
    how: str

    @property
    def ease_cm(self) -> Fraction | None:
        if self.to_fit_cm is None or self.finished_cm is None:
            return None
        return self.finished_cm - self.to_fit_cm


@dataclass(frozen=True)
class WorkedCount:
    """A named count in every size. `measure` is the body's, "" where the rule names none."""

    rule: CountRule
    sizes: tuple[Worked, ...]
    unit: Unit | None
    measure: str
    way: str
    allowed: Allowed

    @property
    def repeat_cm(self) -> Fraction | None:
        """What one step of the count makes, in cm."""
        return self.unit.cm * self.allowed.step if self.unit else None


@dataclass(frozen=True)
class Sized:
    """A document with every count a number, and how the numbers came about."""

    document: Document
    bodies: tuple[Body, ...] = ()
    counts: tuple[WorkedCount, ...] = ()
    problems: tuple[Problem, ...] = ()


class _Cannot(Exception):
    """A rule that comes to nothing; carries the problem."""

    def __init__(self, code: str, message: str, span: Span | None, help: str = "", size: str | None = None) -> None:
        super().__init__(message)
        self.problem = Problem(code, "error", message, span, help, size=size)


def settle(document: Document) -> Sized:
    """Every rule worked out, in the order written; the counts join those given as numbers."""
    found, problems = bodies(document)
    if not document.rules and document.fits is None:
        return Sized(document)
    told = list(problems)
    known = {str(c.name): c.values for c in document.counts}
    made: list[WorkedCount] = []
    for rule in document.rules:
        try:
            one = _work_out(document, found, rule, known)
        except _Cannot as fault:
            told.append(fault.problem)
            continue
        made.append(one)
        known[str(rule.name)] = tuple(worked.count for worked in one.sizes)
    named = tuple(NamedCount(one.rule.name, known[str(one.rule.name)]) for one in made)
    span = document.fits.span if document.fits and document.fits.span else Span(0, 0)
    notes = tuple(Text(words, span) for words in changes(found))
    whole = replace(document, counts=document.counts + named, notes=document.notes + notes)
    return Sized(whole, found, tuple(made), tuple(told))


def _work_out(document: Document, found: tuple[Body, ...], rule: CountRule, known: dict[str, tuple[int, ...]]) -> WorkedCount:
    can = allowed(rule)
    if can is None:
        raise _Cannot("G703", f"no count can be what `{rule.name}` asks for", rule.words.span,
                      "an even multiple has only even or only odd counts, and `at most` must leave room for one")
    lengths = any(t.kind in ("measure", "length") for t in rule.terms)
    unit = unit_of(document, rule.stitch, rule.unit)
    if lengths and unit is None:
        raise _no_gauge(rule)
    sizes: tuple[str | None, ...] = document.sizes or (None,)
    worked = tuple(_in_size(rule, i, size, found, known, unit, lengths, can) for i, size in enumerate(sizes))
    body = next((t for t in rule.terms if _is_fitted(rule, t)), None)
    return WorkedCount(rule, worked, unit, measure_named(body.word) if body else "", body.way if body else "", can)


def _no_gauge(rule: CountRule) -> _Cannot:
    counted = "stitches" if rule.unit == "sts" else "rows"
    of = f" of {rule.stitch}" if rule.stitch else ""
    return _Cannot("G704", f"no gauge says how many {counted}{of} a length takes", rule.words.span,
                   "write the gauge: `hdc: 14 sts and 10 rows = 10 cm`")


def _in_size(rule: CountRule, index: int, size: str | None, found: tuple[Body, ...], known: dict[str, tuple[int, ...]], unit: Unit | None, lengths: bool, can: Allowed) -> Worked:
    total, last, to_fit, words = Fraction(0), Fraction(0), None, []
    for term in rule.terms:
        if term.kind == "percent":
            amount = abs(last) * term.share
        else:
            amount = _value(term, index, size, found, known) * term.share
        last = amount if term.kind != "percent" else last
        if _is_fitted(rule, term) and to_fit is None:
            to_fit = abs(amount)
        total += amount
        words.append(_said(term, amount, bool(words), lengths))
    exact = total / unit.cm if lengths and unit else total
    count = can.nearest(exact, rule.rounding) if total > 0 else None
    if count is None:
        raise _Cannot("G703", f"`{rule.name}` comes to {float(total):g}, which is no count", rule.words.span,
                      "take away less", size)
    finished = count * unit.cm if unit else None
    target = total if lengths else None
    return Worked(size, count, to_fit, target, finished, _how(" ".join(words), total, exact, count, unit, lengths, rule))


def _is_fitted(rule: CountRule, term: Term) -> bool:
    """Whether what is counted lies on the measure: stitches around or across it, rows along it."""
    return term.kind == "measure" and (term.way == "along") == (rule.unit == "rows")


def _value(term: Term, index: int, size: str | None, found: tuple[Body, ...], known: dict[str, tuple[int, ...]]) -> Fraction:
    if term.kind == "measure":
        return _measured(term, index, size, found)
    if term.kind == "name":
        return _named(term, index, known)
    return term.values[index if len(term.values) > 1 else 0]


def _measured(term: Term, index: int, size: str | None, found: tuple[Body, ...]) -> Fraction:
    measure = measure_named(term.word)
    if not found:
        raise _Cannot("G705", f"the pattern does not say whose {measure}", term.span,
                      "choose a body: `fits: WHO head, 12 months`; `chartgen sizes` lists the tables")
    cell = found[index].cell(measure)
    if cell is None:
        raise _Cannot("G705", missing(found[index], measure), term.span, remedy(found[index], measure), size)
    return cell.middle_cm


def _named(term: Term, index: int, known: dict[str, tuple[int, ...]]) -> Fraction:
    if term.word not in known:
        raise _Cannot("G706", f"no count above is named `{term.word}`", term.span,
                      f"a count is worked out from those written above it: {', '.join(known) or 'there are none'}")
    return Fraction(known[term.word][index if len(known[term.word]) > 1 else 0])


def _said(term: Term, amount: Fraction, follows: bool, lengths: bool) -> str:
    """`- 2.5 cm`, `head 46.1 cm`, `1/2 x BODY 60`."""
    share, unit = abs(term.share), " cm" if lengths else ""
    joint = ("- " if amount < 0 else "+ ") if follows else ""
    if term.kind == "percent":
        return f"{joint}{float(abs(amount)):.4g}{unit}"
    times = f"{share} x " if share != 1 else ""
    name = f"{term.word} " if term.kind in ("measure", "name") else ""
    return f"{joint}{times}{name}{float(abs(amount) / share):.4g}{unit}"


def _how(words: str, total: Fraction, exact: Fraction, count: int, unit: Unit | None, lengths: bool, rule: CountRule) -> str:
    steps = [words]
    if "x" in words or len(rule.terms) > 1:
        steps[0] += f" = {float(total):.4g}" + (" cm" if lengths else "")
    if lengths and unit:
        steps.append(f"at {unit.per} {float(exact):.2f} {rule.unit}")
    if exact != count:
        steps.append(f"{_conditions(rule)}{count} {rule.unit}")
    return "; ".join(steps)


def _conditions(rule: CountRule) -> str:
    """`multiple of 8 plus 1, even: ` as the arithmetic says it."""
    sign = "plus" if rule.rest >= 0 else "less"
    said = [
        f"multiple of {rule.multiple}" + (f" {sign} {abs(rule.rest)}" if rule.rest else "") if rule.multiple > 1 else "",
        rule.parity,
        f"at least {rule.least}" if rule.least is not None else "",
        f"at most {rule.most}" if rule.most is not None else "",
        {"up": "rounded up", "down": "rounded down"}.get(rule.rounding, "nearest"),
    ]
    return ", ".join(filter(None, said)) + ": "
