"""Kinds of stitch, as data: one file per kind in `kinds/`, one per family in `families/`.

A family (together, cluster, popcorn, front post …) makes a kind from a base stitch
and a number of legs, by rule. Nothing else in the program names a stitch: it asks
this package. Inside the program a kind is known by its id; the abbreviation `dc`
means one stitch in the US and another in the UK, and is looked up per terms.
"""

from chartgen.stitches.kind import StitchKind
from chartgen.stitches.registry import TERMS, Registry, registry

__all__ = ["TERMS", "Registry", "StitchKind", "registry"]
