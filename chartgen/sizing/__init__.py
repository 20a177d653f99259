"""Sizes: bodies, ease and gauge become counts, and counts become sizes again.

`body` holds the tables, `chosen` the bodies a pattern is made for, `counted` works out
the named counts and their three figures (to fit, finished, ease). `across` compares the
sizes with each other; `plan_*` and `edging` lay out crowns and shaping as rows in the
trade's words; `grade` proposes a pattern in further sizes; `yarn` and `sets` follow.
"""
