"""What several tests need: the checkout, a way to run the program, small specs."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

# The suite gives one answer: properties try the same examples at every run. A wider search, with new
# ones each time, is `pytest --hypothesis-profile=search` (DEVELOPERS.md).
settings.register_profile("same", derandomize=True, database=None)
settings.register_profile("search", derandomize=False)
settings.load_profile("same")

ROOT = Path(__file__).resolve().parent.parent

COASTER = """\
format: 1
title: Sorrel coaster
terms: US
for: home
gauge:
  dc: 14 sts and 8 rows = 10 cm, in rounds
pieces:
  - name: Coaster
    parts:
      - name: Disc
        rounds: |
          Ch 4, join with sl st to form a ring.
          Rnd 1: Ch 3 (counts as dc), 11 dc in ring; join with sl st in top of ch-3. (12 dc)
          Rnd 2: Ch 3 (counts as dc), dc in same st, 2 dc in each st around; join. (24 dc)
measurements:
  Coaster:
    diameter: 5 cm ± 1 cm
"""


@pytest.fixture
def root() -> Path:
    """The checkout the tests stand in."""
    return ROOT


@pytest.fixture
def coaster() -> str:
    """A small pattern of one size, right in every count."""
    return COASTER


@pytest.fixture
def chartgen(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Runs the command line in a process of its own, in an empty folder, not on a terminal."""

    def run(*arguments: str | Path, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "chartgen", *map(str, arguments)],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
            capture_output=True,
            encoding="utf-8",
            timeout=60,
            check=False,
        )

    return run
