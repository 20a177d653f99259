"""Editions: which language, which style, which format; what each is called."""

from __future__ import annotations

from collections.abc import Callable

from chartgen.wording.html import to_html
from chartgen.wording.language import Language, language, languages
from chartgen.wording.markdown import to_markdown, with_drawings
from chartgen.wording.page import Page
from chartgen.wording.plain import to_text
from chartgen.wording.style import Style, style, styles

SETTERS: dict[str, Callable[[Page], str]] = {"md": to_markdown, "txt": to_text, "html": to_html}
_ENGLISH = {"US": "en-US", "UK": "en-UK", "old": "en-US"}


def files(page: Page, form: str, stem: str) -> dict[str, str]:
    """What a written pattern is in this format, by file name: Markdown has its drawings beside it."""
    if form != "md":
        return {f"{stem}.{form}": SETTERS[form](page)}
    text, drawings = with_drawings(page, stem)
    return {f"{stem}.md": text, **drawings}


class NoSuchEdition(ValueError):
    """A language or style was asked for that there is none of."""


def language_for(asked: str, terms: str, own_terms: str) -> Language:
    """The language asked for by code; else English in `terms`, or in the pattern's own terms.

    Raises NoSuchEdition.
    """
    code = asked or _ENGLISH[terms or own_terms]
    if code not in languages():
        raise NoSuchEdition(f"no language {asked!r}; choose from {', '.join(languages())}")
    if asked and terms and language(code).terms != terms:
        raise NoSuchEdition(f"{asked} is not in {terms} terms")
    return language(code)


def style_named(name: str) -> Style:
    """Raises NoSuchEdition."""
    if name not in styles():
        raise NoSuchEdition(f"no style {name!r}; choose from {', '.join(styles())}")
    return style(name)


def remarks(page: Page) -> list[str]:
    """What whoever sells this edition must know: words not translated, terms not vouched for."""
    said = []
    if page.missing:
        said.append(f"{page.language}: not translated: " + "; ".join(page.missing))
    terms = ", ".join(short for short, _ in page.from_memory)
    if language(page.language).raw["sentences"] == "memory":
        said.append(f"{page.language}: needs a native reader: its sentences" + (f", and the terms {terms}" if terms else ""))
    elif terms:
        said.append(f"{page.language}: needs a native reader: {terms}")
    return said


__all__ = ["SETTERS", "NoSuchEdition", "files", "language_for", "remarks", "style_named"]
