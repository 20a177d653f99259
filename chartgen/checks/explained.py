"""`chartgen explain` for cautions: their explanations come from the table itself."""

from __future__ import annotations

from chartgen.checks.table import Rule, Table, table
from chartgen.problems.codes import Explanation


def explained(code: str) -> Explanation | None:
    """The explanation of a caution's code, whatever its case; None for any other code."""
    rules = table()
    found = [rule for rule in rules.rules if rule.code == code.strip().upper()]
    return _explanation(found[0], rules) if found else None


def caution_codes() -> list[str]:
    """Every code of the table, in its order."""
    return list(dict.fromkeys(rule.code for rule in table().rules))


def _explanation(rule: Rule, rules: Table) -> Explanation:
    sources = "; ".join(rules.sources[key] for key in rule.source) or "practice"
    return Explanation(
        code=rule.code,
        title=rule.name,
        means=f"A {rule.severity} where {_where(rule)}.",
        matters=f"{rule.matters} Source: {sources} ({rule.confidence}).",
        example=rule.example,
        write=rule.help or "nothing: hand the caution on with the pattern",
    )


def _where(rule: Rule) -> str:
    young = f", under {_age(rule.under_months)}" if rule.under_months else ""
    made = " or ".join(item or "a pattern that does not say what it makes" for item in rule.items)
    parts = [f"`for` is {' or '.join(rule.wearers)}{young}"]
    parts += [f"it makes: {made}"] if made else []
    parts += [f"it has: {rule.finds}"] if rule.finds else []
    return "; ".join(parts)


def _age(months: int) -> str:
    """Months up to three years, whole years beyond."""
    return f"{months // 12} years" if months > 36 and months % 12 == 0 else f"{months} months"
