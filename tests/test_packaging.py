"""The package as a user gets it: a wheel, an editable install, and what each can find.

Each is built and installed for real, into a fresh environment that borrows only the
dependencies already here, so that nothing is downloaded.
"""

from __future__ import annotations

import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path

import pytest

pytestmark = pytest.mark.installs

SAY = """
from chartgen.data import folder
from chartgen.stitches import registry
print(*(folder(name) for name in ("symbols", "specs")), sep="\\n")
print(len(registry().simple))
"""


def run(*command: str | Path, cwd: Path) -> str:
    done = subprocess.run(
        list(map(str, command)), cwd=cwd, capture_output=True, encoding="utf-8", timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def environment(folder: Path) -> Path:
    """A new virtual environment that sees this one's packages, but no editable install of it.

    Returns its Python. Lines of a .pth file add folders; .pth files inside those are not
    followed, which is how an editable chartgen would otherwise be seen.
    """
    run(sys.executable, "-m", "venv", "--without-pip", folder, cwd=folder.parent)
    python = folder / "bin" / "python"
    site = run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=folder).strip()
    borrowed = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (Path(site) / "borrowed.pth").write_text("\n".join(sorted(borrowed)) + "\n", "utf-8")
    return python


def install(python: Path, *what: str | Path) -> None:
    run(
        sys.executable, "-m", "pip", "--python", python, "install", "--quiet", "--no-index",
        "--no-deps", "--no-build-isolation", "--ignore-installed", *what, cwd=python.parent,
    )  # fmt: skip


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sdist, and the wheel made from the sdist."""
    root, folder = Path(__file__).resolve().parent.parent, tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", folder, root, cwd=folder)
    return folder


def names(folder: Path) -> set[str]:
    """Files of a data folder, as they should be found after installing."""
    return {p.name for p in folder.iterdir() if p.suffix in (".svg", ".yaml")}


def test_the_wheel_finds_its_symbols_and_specs(built: Path, root: Path, tmp_path: Path) -> None:
    """Installed from the wheel, the data lies inside the package, every file of it."""
    python = environment(tmp_path / "fresh")
    [wheel] = built.glob("*.whl")
    install(python, wheel)
    symbols, specs, kinds = run(python, "-c", SAY, cwd=tmp_path).split("\n")[:3]
    assert Path(symbols).is_relative_to(tmp_path) and names(Path(symbols)) == names(root / "symbols")
    assert Path(specs).is_relative_to(tmp_path) and names(Path(specs)) == names(root / "specs")
    assert int(kinds) == len(list((root / "chartgen/stitches/kinds").glob("*.yaml")))


def test_the_wheel_brings_the_command(built: Path, tmp_path: Path) -> None:
    python = environment(tmp_path / "fresh")
    [wheel] = built.glob("*.whl")
    install(python, wheel)
    assert "build" in run(python.parent / "chartgen", "--help", cwd=tmp_path)


def test_an_editable_install_finds_them_beside_the_package(root: Path, tmp_path: Path) -> None:
    python = environment(tmp_path / "fresh")
    install(python, "--editable", root)
    symbols, specs = run(python, "-c", SAY, cwd=tmp_path).split("\n")[:2]
    assert (Path(symbols), Path(specs)) == (root / "symbols", root / "specs")


def test_all_package_data_is_in_the_wheel(built: Path, root: Path) -> None:
    """Every data file of the package is shipped: stitch kinds, words, cautions, problem codes."""
    package = root / "chartgen"
    wanted = {
        str(p.relative_to(root))
        for p in package.rglob("*")
        if p.is_file() and "__pycache__" not in p.parts and not p.name.startswith(".")
    }
    [wheel] = built.glob("*.whl")
    assert wanted - set(zipfile.ZipFile(wheel).namelist()) == set()


def test_the_sdist_can_be_tested(built: Path) -> None:
    """Whoever packages the sdist finds the tests, the data and the licence in it."""
    [sdist] = built.glob("*.tar.gz")
    with tarfile.open(sdist) as archive:
        inside = {name.partition("/")[2] for name in archive.getnames()}
    assert {"LICENSE", "README.md", "pyproject.toml", "tests/conftest.py", "symbols/chain.svg"} <= inside
