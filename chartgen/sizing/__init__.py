"""Sizes: bodies, ease and gauge become counts, and counts become sizes again.

`body` holds the tables, `chosen` the bodies a pattern is made for, `counted` works out
the named counts and their three figures (to fit, finished, ease). `across` compares the
sizes with each other. `crown`, `shaping`, `garment` and `edging` plan rows, which
`phrases` puts in the trade's words. `graded`, `grade`, `splice` and `regrade` propose a
pattern in further sizes. `yarn` and `sets` follow.
"""
