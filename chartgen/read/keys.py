"""The keys of a spec and the fixed words some of them take.

`schema.json` says the same in the language of JSON Schema; a test holds the two together.
"""

from __future__ import annotations

FORMAT = "1"
TOP = (
    "format", "version", "title", "terms", "for", "hook", "yarn", "gauge", "sizes",
    "stitches", "pieces", "measurements", "counts", "fits", "item", "joins", "notes", "chart",
    "notions", "finishing", "translations",
)
REQUIRED = ("format", "title", "terms", "pieces")
PIECE = ("name", "parts", "make")
PART = ("name", "rounds", "rows", "gauge")
CHART = {       # how charts are drawn; the first of each is what is drawn without a word
    "sc": ("+", "x"),
    "loops": ("as seen", "as worked"),
    "inks": ("by row", "by yarn"),
}
YARN = ("name", "colour", "weight", "ball", "amount")
AMOUNTS = ("g", "oz", "m", "yd", "balls")

TERMS = ("US", "UK", "old")
WEARERS = ("baby", "child", "adult", "toy", "home")
GARMENT = (
    "hem width", "width at underarm", "length to underarm", "armhole depth", "shoulder width",
    "width at shoulders", "neck width", "half neck width", "neck depth", "upper arm", "cuff width", "cap height",
    "armhole edge", "cap edge", "neck edge",
)
HAND = ("cuff to thumb", "thumb to tip", "thumb around", "thumb length", "hand around", "cuff depth", "cuff to tip")
FOOT = ("sole length", "foot around", "ankle around", "leg height")
HEAD = ("crown diameter", "brim depth")
IN_ONE = (
    "neck around", "yoke depth", "chest around", "chest around with band", "body from underarm", "hem around",
    "upper arm around", "sleeve from underarm", "cuff around",
)
PANEL = ("panel width", "panel length", "width with edging", "length with edging")
SHAPED = ("widest circumference", "narrowest circumference", "width laid flat", "side", "lower edge", "upper edge")
PLAIN = ("circumference", "diameter", "depth", "height", "width", "length")
DIMENSIONS = (*PLAIN, *SHAPED, *GARMENT, *IN_ONE, *HAND, *FOOT, *HEAD, *PANEL)
WEIGHTS = range(8)      # 0 lace to 7 jumbo: Craft Yarn Council, Standard Yarn Weight System

# Keys under which words are free, so that a slash or two dots in them name no file.
FREE_TEXT = ("title", "notes", "notions", "finishing", "translations", "name", "rounds", "rows", "stitches")
# What people write who hope that one file can draw in another.
DRAWS_IN = ("include", "includes", "extends", "extend", "import", "file", "files", "path", "base")

MOST_SIZES = 60
