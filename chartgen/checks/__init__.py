"""What a finished fabric is held against: cautions for children, and the report.

`cautions.yaml` is the table, `cautions.py` asks it, `mentions.py` finds its words in
the pattern, `findings.py` finds cords and holes in the fabric; `report.py` says how
everything came out, to people and to programs.
"""
