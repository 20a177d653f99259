"""Bad input costs nothing: a clear refusal, at once, and earlier outputs untouched."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest

Run = Callable[..., CompletedProcess[str]]
AT_ONCE = 10.0          # seconds on a busy machine; a cold start alone takes well under one
MEMORY = 1 << 30        # bytes of address space


@pytest.fixture
def built(chartgen: Run, tmp_path: Path, coaster: str) -> dict[str, bytes]:
    """Outputs of a right pattern, by name: what the refusals must not touch."""
    (tmp_path / "coaster.yaml").write_text(coaster, "utf-8")
    assert chartgen("build", "coaster.yaml").returncode == 0
    outputs = {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()}
    assert len(outputs) == 4
    return outputs


def refused(tmp_path: Path, content: bytes) -> str:
    """Builds `content` under the name of the pattern already built; returns the refusal.

    The process may not take more than a gigabyte: a request is refused before memory is spent.
    """
    (tmp_path / "coaster.yaml").write_bytes(content)
    began = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", "chartgen", "build", "coaster.yaml"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parent.parent), "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY)),
    )
    assert time.monotonic() - began < AT_ONCE
    assert done.returncode == 1 and done.stdout == "" and "Traceback" not in done.stderr
    return done.stderr


def untouched(tmp_path: Path, built: dict[str, bytes]) -> bool:
    return {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()} == built


HUGE = {
    "a row of 2,000,000": ("2 dc in each st around", "2000000 dc in next st"),
    "a chain of 2,000,000": ("Ch 4, join", "Ch 2000000, join"),
    "repeats within repeats": ("2 dc in each st around", "[[[dc in same st] 999 times] 999 times] 999 times"),
    "2,000,000 rounds": ("Rnd 2:", "Rnds 2-2000000:"),
    "doubled without end": ("Rnd 2:", "Rnds 2-60:"),
}


@pytest.mark.parametrize("what", HUGE)
def test_a_request_beyond_the_limit(tmp_path: Path, coaster: str, built: dict[str, bytes], what: str) -> None:
    """The refusal names the limit, as any crocheter may read it."""
    old, new = HUGE[what]
    assert old in coaster
    said = refused(tmp_path, coaster.replace(old, new).encode())
    assert "at most" in said or "limit" in said
    assert untouched(tmp_path, built)


@pytest.mark.parametrize(
    "content",
    [
        bytes(range(256)) * 64,
        b"\x89PNG\r\n\x1a\n" + b"\0" * 4096,
        b"",
        b"[" * 100_000,
        b"a: &a [x]\nb: *a\n",
        b"!!python/object/apply:os.system ['true']\n",
        "Rnd 1: 6 sc in ring.\n".encode("utf-16"),
        b"k: v\n" * 300_000,
    ],
    ids=["bytes", "picture", "empty", "brackets", "alias", "tag", "utf-16", "long"],
)
def test_a_file_of_garbage(tmp_path: Path, built: dict[str, bytes], content: bytes) -> None:
    assert refused(tmp_path, content)
    assert untouched(tmp_path, built)


@pytest.mark.parametrize("value", ["../../etc/passwd", "/etc/passwd", "file:///etc/passwd", "https://example.org/x"])
def test_a_spec_that_names_a_file_outside_its_folder(
    tmp_path: Path, coaster: str, built: dict[str, bytes], value: str
) -> None:
    """A spec stands alone: a path where a value should be is refused, and nothing is opened."""
    said = refused(tmp_path, coaster.replace("for: home", f"for: home\nhook: {value}").encode())
    assert value in said
    assert untouched(tmp_path, built)


@pytest.mark.parametrize(
    "planted",
    [
        '<script>alert(1)</script>', '<path d="M0 0 L1 1" onload="alert(1)"/>',
        '<image href="https://example.org/x.png"/>', '<use href="#elsewhere"/>',
    ],
)  # fmt: skip
def test_a_symbol_file_with_a_script_in_it(
    root: Path, tmp_path: Path, coaster: str, built: dict[str, bytes], planted: str
) -> None:
    """The program, with one spoiled file in `symbols/`: refused by name, nothing written."""
    copy = tmp_path / "copy"
    for folder in ("chartgen", "symbols"):
        shutil.copytree(root / folder, copy / folder, ignore=shutil.ignore_patterns("__pycache__"))
    symbol = copy / "symbols/double_crochet.svg"
    symbol.write_text(symbol.read_text("utf-8").replace("</svg>", f"{planted}</svg>"), "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "chartgen", "build", "coaster.yaml"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(copy)},
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert done.returncode == 1 and done.stdout == "" and "Traceback" not in done.stderr
    assert "double_crochet" in done.stderr
    assert untouched(tmp_path, built)


@pytest.mark.parametrize("form", ["png", "pdf"])
def test_without_cairo_everything_else_is_written(
    root: Path, tmp_path: Path, coaster: str, form: str
) -> None:
    """One line that says what to install, exit 1, and the SVG and the report in place.

    A cairosvg that fails as it does where the system's library is missing stands in for it.
    """
    (tmp_path / "cairosvg.py").write_text("raise OSError('no library called \"cairo-2\" was found')\n", "utf-8")
    (tmp_path / "coaster.yaml").write_text(coaster, "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "chartgen", "build", "coaster.yaml", "--format", f"svg,{form}"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": f"{tmp_path}{os.pathsep}{root}"},
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1 and "libcairo2" in done.stderr
    assert len(list((tmp_path / "out").glob("*.svg"))) == 3
    assert (tmp_path / "out/coaster.check.json").exists()


def test_an_output_that_cannot_be_written(chartgen: Run, tmp_path: Path, coaster: str) -> None:
    """A folder stands where a file should go: exit 2, nothing else written."""
    (tmp_path / "coaster.yaml").write_text(coaster, "utf-8")
    (tmp_path / "out/coaster.check.json").mkdir(parents=True)
    done = chartgen("build", "coaster.yaml")
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["coaster.check.json"]
