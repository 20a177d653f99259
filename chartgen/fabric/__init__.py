"""The fabric: every stitch of a piece, and what each is worked into.

`fabric.py` holds the values all outputs share; `work.py` is the imaginary hook
that makes them from instructions, one size at a time.
"""

from chartgen.fabric.fabric import Fabric, PartInfo, PieceInfo, Place, Row, Stitch

__all__ = ["Fabric", "PartInfo", "PieceInfo", "Place", "Row", "Stitch"]
