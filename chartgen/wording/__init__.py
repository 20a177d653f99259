"""The pattern in words: instructions written out again, in any language there is a file for.

`settle.py` says what the words left open, by the fabric; `places.py`, `phrases.py` and
`rows.py` put the nodes of the tree into the frames of a language; `pattern.py` sets the
whole pattern in the order publishers use.
"""
