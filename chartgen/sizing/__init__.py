"""Sizes: bodies, ease and gauge become counts, and counts become sizes again.

`body` holds the tables, `chosen` the bodies a pattern is made for, `counted` works out
the named counts and their three figures (to fit, finished, ease). `across` compares the
sizes with each other. `crown`, `shaping`, `garment` and `edging` plan rows, which
`phrases` puts in the trade's words. `yarn` and `sets` follow.

To grade a pattern: `walked` and `ladders` find what its rows do and `built` makes a `graded`
Build of each piece; `wishes` says what a new size is to measure, `grade` gives it counts and
rows, `rewrite` (with `numbers` and `going_on`; `laddered` for crowns and tops, `thumbs` for
mittens) puts them into the words, `propose` into the spec, and `regrade` compiles it all again;
`by_bodies` is the short way for counts that follow bodies. `regraded` tells what came of it.
Pieces that go by a rule of their own have a module each, counts and words together: `grown`
(by further rounds, which `onward` writes on: squares, hexagons, ovals), `globe` (balls) and
`mesh` (filet).
"""
