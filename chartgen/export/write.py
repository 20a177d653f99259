"""Files put in place whole: all of them, or none."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path


def write_all(files: Mapping[Path, bytes]) -> tuple[Path, ...]:
    """Writes every file beside its place, then renames them all; returns the paths, in order.

    Where anything cannot be written, nothing is renamed, the temporary files are removed
    and the OSError goes on to the caller: what was there before stays as it was.
    """
    waiting: list[tuple[Path, Path]] = []
    try:
        for path, content in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            if path.is_dir():
                raise IsADirectoryError(f"{path} is a folder")
            waiting.append((_beside(path, content), path))
        for temporary, path in waiting:
            os.replace(temporary, path)
    except BaseException:
        for temporary, _ in waiting:
            with suppress(OSError):
                temporary.unlink()
        raise
    return tuple(files)


def _beside(path: Path, content: bytes) -> Path:
    """`content` in a temporary file in the folder of `path`, readable as usual."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(0o666 & ~_umask())
    except BaseException:
        temporary.unlink()
        raise
    return temporary


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
