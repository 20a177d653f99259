"""A place in the plane for every stitch of a fabric."""

from chartgen.layout.lay_out import lay_out
from chartgen.layout.placed import Layout, Run

__all__ = ["Layout", "Run", "lay_out"]
