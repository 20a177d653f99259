"""The JSON Schema and the reader say the same."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from chartgen.read import keys
from chartgen.read.schema import schema

HERE = Path(__file__).parent
SPECS = sorted([*(HERE / "corpus").glob("*.yaml"), *(HERE.parent / "specs").glob("*.yaml")])
CASES = HERE / "cases" / "read"


def errors(path: Path, loader: Any = yaml.BaseLoader) -> list[str]:
    """What the schema finds in a spec. BaseLoader: every scalar is text, as in the reader."""
    spec = yaml.load(path.read_text("utf-8"), loader)
    return [error.message for error in Draft202012Validator(schema()).iter_errors(spec)]


def test_it_is_a_good_schema() -> None:
    """By the rules of draft 2020-12."""
    Draft202012Validator.check_schema(schema())


def test_same_keys_as_the_reader() -> None:
    """A key that one knows and the other refuses would make an editor lie."""
    found, parts = schema(), schema()["$defs"]
    assert set(found["properties"]) == set(keys.TOP)
    assert found["required"] == list(keys.REQUIRED)
    chart = found["properties"]["chart"]["properties"]
    assert {key: tuple(value["enum"]) for key, value in chart.items()} == keys.CHART
    assert set(parts["yarn"]["properties"]) == set(keys.YARN)
    assert set(parts["piece"]["properties"]) == set(keys.PIECE)
    assert set(parts["part"]["properties"]) == set(keys.PART)
    assert found["properties"]["terms"]["enum"] == list(keys.TERMS)
    assert found["properties"]["sizes"]["oneOf"][1]["maxItems"] == keys.MOST_SIZES
    assert found["properties"]["for"]["oneOf"][1]["items"]["enum"] == list(keys.WEARERS)
    words = parts["promises"]["propertyNames"]["pattern"].lower()
    assert all(word[1:] in words for word in keys.DIMENSIONS)


@pytest.mark.parametrize("loader", [yaml.BaseLoader, yaml.SafeLoader], ids=["text", "typed"])
@pytest.mark.parametrize("path", SPECS, ids=lambda path: path.stem)
def test_good_specs_are_valid(path: Path, loader: Any) -> None:
    """Whether the editor reads numbers as numbers or as text."""
    assert errors(path, loader) == []


@pytest.mark.parametrize("name", [
    "R201-missing", "R202-unknown", "R202-stands-alone", "R203-shape", "R205-format",
    "R206-fixed-word", "R206-chart", "R209-unit", "R210-range", "R214-rounds-or-rows", "R217-dimension",
    "R218-count-name",
])
def test_bad_specs_are_not(name: str) -> None:
    """What the reader refuses and a schema can say, the schema refuses too."""
    assert errors(CASES / f"{name}.yaml")
