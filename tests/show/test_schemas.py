"""The schemas are sound, and fit what is read and written: judged by other programs."""

import csv
import json
import tomllib
from pathlib import Path

import frictionless
import jsonschema
import pytest
from exports.writing import FILES
from pydantic import ValidationError
from typer.testing import CliRunner

from kitsolver import BadInput
from kitsolver.brief.part import Part, field_of, keys_of
from kitsolver.cli import app
from kitsolver.cli.schema import What
from kitsolver.show.schema.schemas import NAMES, RECORDS, schema_of

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"


def written(*arguments):
    return json.loads(CliRunner().invoke(app, [*map(str, arguments), "--json", "-"]).stdout)


def report_on(path):
    # A part of a package of the second version, as its own profile says.
    descriptor = {
        "$schema": "https://datapackage.org/profiles/2.0/dataresource.json",
        "name": "catalogue",
        "path": path.name,
        "schema": schema_of("catalogue", "EUR"),
    }
    resource = frictionless.Resource.from_descriptor(descriptor, basepath=str(path.parent))
    return frictionless.validate(resource, skip_errors=["missing-label", "extra-label"])


def test_the_command_writes_each_schema_and_all_of_them():
    assert tuple(What) == NAMES
    every = written("schema")
    assert tuple(every) == NAMES
    for name in NAMES:
        assert written("schema", name) == every[name]
    assert CliRunner().invoke(app, ["schema", "catalogue", "--currency", "XYZ"]).exit_code == 2


def test_frictionless_takes_the_table_schema_and_the_demo_fits_it():
    """Table Schema as the frictionless library reads it."""
    report = report_on(SHOP)
    assert report.valid, report.flatten(["rowNumber", "fieldName", "message"])


@pytest.mark.parametrize(
    ("column", "value"),
    [("price", "cheap"), ("quality", "101"), ("sku", ""), ("stock", "-1"), ("weave", "felt")],
)
def test_frictionless_finds_fault_with_what_we_refuse(tmp_path, column, value):
    with SHOP.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    next(row for row in rows if row["category"] == "fabric")[column] = value
    with (tmp_path / "shop.csv").open("w", newline="", encoding="utf-8") as file:
        lines = csv.DictWriter(file, rows[0])
        lines.writeheader()
        lines.writerows(rows)
    assert not report_on(tmp_path / "shop.csv").valid
    assert CliRunner().invoke(app, ["check", str(tmp_path / "shop.csv")]).exit_code == 2


@pytest.mark.parametrize("name", ["bundle", "class-of-twelve", "gift-card"])
def test_the_demo_s_briefs_fit_the_brief_s_schema(name):
    """JSON Schema as the jsonschema library reads it."""
    text = (DEMO / f"{name}.toml").read_text(encoding="utf-8")
    validator = jsonschema.Draft202012Validator(schema_of("brief"))
    assert list(validator.iter_errors(tomllib.loads(text))) == []
    assert list(validator.iter_errors({"currency": "EUR", "cap": "1", "colour": "red"}))


@pytest.mark.slow
def test_every_result_fits_its_schema(tmp_path):
    brief = DEMO / "bundle.toml"
    kit = written("pick", SHOP, brief)
    (tmp_path / "kit.json").write_text(json.dumps(kit), encoding="utf-8")
    for name, record in (
        ("kit", kit),
        ("kit", written("pick", SHOP, brief, "--cap", "5.00")),
        ("ladder", written("ladder", SHOP, brief, "--from", "29", "--to", "31")),
        ("others", written("others", SHOP, brief, "--count", "1", "--lines")),
        ("why", written("why", SHOP, brief, "SC-HERON")),
        ("recheck", written("recheck", tmp_path / "kit.json", SHOP)),
        ("findings", written("check", SHOP, brief)),
        ("draft", written("check", FILES / "till.csv", "--guess")),
    ):
        schema = schema_of(name)
        jsonschema.Draft202012Validator.check_schema(schema)
        assert list(jsonschema.Draft202012Validator(schema).iter_errors(record)) == [], name
        assert list(jsonschema.Draft202012Validator(schema).iter_errors(record | {"more": 1}))


def subclasses(root):
    return [kind for child in root.__subclasses__() for kind in (child, *subclasses(child))]


def refused_keys(table, data):
    """Return the keys of a table that are refused."""
    try:
        table.model_validate(data)
    except ValidationError as refused:
        return {error["loc"][0] for error in refused.errors() if error["loc"]}
    except BadInput as refused:
        return {(found.column or "").partition(".")[0] for found in refused.findings}
    return set()


KEYS = [
    (table, name)
    for table in subclasses(Part)
    if table.__module__.startswith("kitsolver.brief.")
    for name in keys_of(table)
]


@pytest.mark.parametrize(("table", "name"), KEYS, ids=lambda part: getattr(part, "__name__", part))
def test_each_key_of_a_brief_is_described_with_an_example_that_it_takes(table, name):
    field = field_of(table, name)
    assert field.description
    assert field.description.endswith(".")
    (example,) = field.examples
    assert name not in refused_keys(table, {name: example})


def test_the_schema_of_a_brief_shows_each_key_s_meaning():
    schema = schema_of("brief")
    tables = [schema, *schema["$defs"].values()]
    keys = [key for table in tables for key in table.get("properties", {}).values()]
    assert len(keys) > 80
    assert all(key.get("description") and key.get("examples") for key in keys)


def test_a_map_fits_its_schema():
    validator = jsonschema.Draft202012Validator(schema_of("map"))
    data = {"decimal_comma": True, "columns": {"sku": "Art.-Nr."}, "file": {"header_row": 4}}
    assert list(validator.iter_errors(data)) == []
    assert list(validator.iter_errors(data | {"colums": {}}))


@pytest.mark.parametrize("name", ["map", *RECORDS])
def test_each_key_of_a_result_or_a_map_is_described(name):
    schema = schema_of(name)
    for table in (schema, *schema["$defs"].values()):
        assert table["description"].endswith(".")
        for key, described in table.get("properties", {}).items():
            assert described["description"].endswith("."), key
