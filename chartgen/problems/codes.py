"""What each code means: the entries of codes.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Explanation:
    """One code, explained.

    Attributes:
        title: the fault in a few words.  means: what was found.
        matters: what it would do at the hook.  example: a spec line with the fault.
        write: what to write instead.
    """

    code: str
    title: str
    means: str
    matters: str
    example: str
    write: str

    def __str__(self) -> str:
        parts = (f"{self.code}: {self.title}", self.means, f"At the hook: {self.matters}",
                 f"Example:\n{_set_in(self.example)}", f"Write instead:\n{_set_in(self.write)}")
        return "\n\n".join(parts) + "\n"


def _set_in(words: str) -> str:
    return "\n".join(f"    {line}".rstrip() for line in words.splitlines())


@cache
def explanations() -> dict[str, Explanation]:
    """All explanations by code, in the order of the file."""
    text = Path(__file__).with_name("codes.yaml").read_text("utf-8")
    entries = yaml.load(text, _LOADER)
    return {code: Explanation(code, **{key: str(value).strip() for key, value in entry.items()})
            for code, entry in entries.items()}


def explanation(code: str) -> Explanation | None:
    """The explanation of `code`, whatever its case; None for a code there is none of."""
    return explanations().get(code.strip().upper())
