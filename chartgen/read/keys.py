"""The keys of a spec and the fixed words some of them take.

`schema.json` says the same in the language of JSON Schema; a test holds the two together.
"""

from __future__ import annotations

FORMAT = "1"
TOP = (
    "format", "version", "title", "terms", "for", "hook", "yarn", "gauge", "sizes",
    "stitches", "pieces", "measurements", "counts", "fits", "item", "joins", "notes",
)
RESERVED = ("chart",)       # to come; accepted and kept out of the way
REQUIRED = ("format", "title", "terms", "pieces")
PIECE = ("name", "parts", "make")
PART = ("name", "rounds", "rows", "gauge")
YARN = ("name", "colour", "weight", "ball")

TERMS = ("US", "UK", "old")
WEARERS = ("baby", "child", "adult", "toy", "home")
GARMENT = (
    "hem width", "width at underarm", "length to underarm", "armhole depth", "shoulder width",
    "width at shoulders", "neck width", "neck depth", "upper arm", "cuff width", "cap height",
    "armhole edge", "cap edge", "neck edge",
)
HAND = ("cuff to thumb", "thumb to tip", "thumb around", "thumb length")
SHAPED = ("widest circumference", "width laid flat", "side", "lower edge", "upper edge")
PLAIN = ("circumference", "diameter", "depth", "height", "width", "length")
DIMENSIONS = (*PLAIN, *SHAPED, *GARMENT, *HAND)
WEIGHTS = range(8)      # 0 lace to 7 jumbo: Craft Yarn Council, Standard Yarn Weight System

# Keys under which words are free, so that a slash or two dots in them name no file.
FREE_TEXT = ("title", "notes", "name", "rounds", "rows", "stitches")
# What people write who hope that one file can draw in another.
DRAWS_IN = ("include", "includes", "extends", "extend", "import", "file", "files", "path", "base")

MOST_SIZES = 60
