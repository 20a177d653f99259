"""What is wrong, where, and what to write instead.

Every stage returns `Problem`s; none raises for a fault in a pattern. A problem
points at characters of the spec file, so that a message can underline the very
words. `render` turns problems into text for people, `as_json` for programs.
"""

from chartgen.problems.problem import Problem, Severity, Source, Span, near, worst

__all__ = ["Problem", "Severity", "Source", "Span", "near", "worst"]
