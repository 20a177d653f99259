"""Drawing: the fabric and its layout, set out on paper as a `Drawing`."""
