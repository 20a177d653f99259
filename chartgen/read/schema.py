"""The JSON Schema of a spec (draft 2020-12), so that editors complete and check it.

It states the same as `keys.py` and the readers do, as far as JSON Schema can: shapes, keys
and fixed words. Per-size lists and names are left to `chartgen check`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any


def schema() -> dict[str, Any]:
    """The schema as a value; a new one each time."""
    loaded: dict[str, Any] = json.loads(Path(__file__).with_name("schema.json").read_text("utf-8"))
    return loaded
