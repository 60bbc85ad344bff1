"""Reading a saved kit: what is wrong with a file is told, what is right arrives exactly."""

import copy
import json
from pathlib import Path

import pytest

from kitsolver import BadInput, pick, read_brief, read_catalogue, read_saved, recheck, record_of
from kitsolver.show.json_record import json_text

DEMO = Path(__file__).parents[2] / "catalogues"


@pytest.fixture(scope="module")
def outcome():
    brief = read_brief(DEMO / "bundle.toml")
    return pick(read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR"), brief)


@pytest.fixture
def record(outcome):
    """What pick writes, as parsed data to be spoilt."""
    return copy.deepcopy(json.loads(json_text(record_of(outcome))))


@pytest.fixture
def saved(tmp_path):
    """Write bytes, text or data to a file, and read the kit back."""

    def save(content):
        path = tmp_path / "kit.json"
        if not isinstance(content, (bytes, str)):
            content = json.dumps(content)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_saved(path)

    return save


def finding_of(read, *arguments):
    """Return the one finding of what cannot be read."""
    with pytest.raises(BadInput) as caught:
        read(*arguments)
    (finding,) = caught.value.findings
    assert finding.level == "error"
    assert finding.sentence[0].isupper()
    assert finding.sentence.endswith(".")
    assert "{" not in finding.sentence + finding.hint
    return finding


def test_a_kit_that_pick_wrote_reads_back_the_same(outcome, saved):
    kit, read = outcome.kit, saved(json_text(record_of(outcome)))
    assert read.lines == kit.lines
    assert read.shades == kit.shades
    assert len(read.shades) == 6
    assert read.payable == kit.receipt.payable == 2985
    assert read.brief == outcome.brief
    assert read.file.endswith("kit.json")


def test_a_byte_order_mark_is_passed_over(outcome, saved):
    marked = b"\xef\xbb\xbf" + json_text(record_of(outcome)).encode()
    assert saved(marked).lines == outcome.kit.lines


def test_a_difference_is_read_by_its_decimal(record, saved):
    # In binary 2.33 is a little less, and 1.1 a little more.
    for shade, difference in zip(record["shades"], [2.33, 1.1, 0.0001, 5, 0.9953, 2], strict=True):
        shade["difference"] = difference
    differences = [shade.difference for shade in saved(record).shades]
    assert differences == [23300, 11000, 1, 50000, 9953, 20000]


def test_a_quality_is_read_by_its_decimal(record, saved):
    for line, quality in zip(record["lines"], [1.1, 0.57, 81.29, "60.5"], strict=False):
        line["quality"] = quality
    assert [line.quality for line in saved(record).lines[:4]] == [110, 57, 8129, 6050]


def test_a_shade_from_home_has_no_sku(record, saved):
    record["shades"][0]["sku"] = None
    assert saved(record).shades[0].sku is None


def test_keys_that_a_later_version_may_add_are_passed_over(record, outcome, saved):
    record["sheet"] = {"words": ["more"]}
    record["lines"][0]["line"] = 7
    record["shades"][0]["spare"] = 0.5
    read = saved(record)
    assert read.lines == outcome.kit.lines
    assert read.shades == outcome.kit.shades


def test_best_so_far_is_a_kit_too(record, outcome, saved):
    record["status"] = "best so far"
    assert saved(record).lines == outcome.kit.lines


def test_a_file_that_is_not_there_is_told(tmp_path):
    finding = finding_of(read_saved, tmp_path / "none.json")
    assert (finding.code, finding.hint) == ("unreadable-kit", "check the path")
    assert finding.sentence == "The saved kit cannot be read: no such file or directory."
    assert finding.file.endswith("none.json")


def test_a_folder_is_no_saved_kit(tmp_path):
    assert finding_of(read_saved, tmp_path).code == "unreadable-kit"


@pytest.mark.parametrize(
    "content",
    [
        b'{"schema": "kitsolver/kit/1", "title": "\xff"}',
        b"",
        "title = 'Gift card'",
        '{"schema": "kitsolver/kit/1"',
        "[" * 100_000,
    ],
    ids=["not UTF-8", "blank", "TOML", "cut off", "nested too deeply"],
)
def test_what_is_no_json_is_told_so(content, saved):
    finding = finding_of(saved, content)
    assert finding.code == "not-a-saved-kit"
    assert finding.sentence == "The file is no saved kit: it is not JSON."
    assert finding.hint == "save one with kitsolver pick --json"


@pytest.mark.parametrize("data", [[], ["schema"], {}, {"lines": []}, 5, None])
def test_what_has_no_schema_is_told_so(data, saved):
    finding = finding_of(saved, data)
    assert finding.code == "not-a-saved-kit"
    assert finding.sentence == "The file is no saved kit: it has no key schema."


@pytest.mark.parametrize("schema", ["kitsolver/kit/0", "kitsolver/ladder/1", 1, None])
def test_another_schema_is_told_with_the_one_that_is_read(schema, record, saved):
    finding = finding_of(saved, record | {"schema": schema})
    assert (finding.code, finding.column) == ("other-schema", "schema")
    told = f"saved in the form {schema}, and this version reads kitsolver/kit/1."
    assert finding.sentence.endswith(told)
    assert finding.hint


def test_no_kit_cannot_be_rechecked(saved):
    brief = read_brief(DEMO / "bundle.toml", cap="5.00")
    shop = read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")
    finding = finding_of(saved, json_text(record_of(pick(shop, brief))))
    assert (finding.code, finding.column) == ("nothing-saved", "status")
    assert finding.sentence == "The file holds no kit: its status is no kit."
    assert "why" in finding.hint


@pytest.mark.parametrize("key", ["lines", "shades", "payable", "brief"])
def test_a_missing_key_is_named(key, record, saved):
    del record[key]
    finding = finding_of(saved, record)
    assert (finding.code, finding.column) == ("not-a-saved-kit", key)
    assert finding.sentence == f"The file is no saved kit: {key} is missing."


@pytest.mark.parametrize("key", ["sku", "name", "category", "role", "units", "price", "quality"])
def test_a_missing_key_of_a_line_is_named_with_its_place(key, record, saved):
    del record["lines"][2][key]
    finding = finding_of(saved, record)
    assert (finding.code, finding.column) == ("not-a-saved-kit", f"lines.2.{key}")
    assert finding.sentence == f"The file is no saved kit: lines.2.{key} is missing."


@pytest.mark.parametrize(
    ("table", "key", "value"),
    [
        ("lines", "units", -1),
        ("lines", "units", 1.5),
        ("lines", "units", "1"),
        ("lines", "units", True),
        ("lines", "sku", 5),
        ("lines", "sku", ""),
        ("lines", "role", "gift"),
        ("lines", "price", "-1.00"),
        ("lines", "price", "dear"),
        ("lines", "quality", [80]),
        ("shades", "sku", ""),
        ("shades", "stitches", -5),
        ("shades", "thread_colour", "green"),
        ("shades", "difference", "near"),
        ("shades", "difference", float("nan")),
        ("shades", "skeins", None),
    ],
)
def test_a_value_that_is_not_usable_is_named_with_its_place(table, key, value, record, saved):
    record[table][1][key] = value
    finding = finding_of(saved, record)
    assert (finding.code, finding.column) == ("not-a-saved-kit", f"{table}.1.{key}")
    assert finding.sentence == f"The file is no saved kit: {table}.1.{key} is not usable."


@pytest.mark.parametrize("need", ["chart", "thread"])
def test_a_line_of_a_need_that_the_brief_does_not_name_is_told(need, record, saved):
    brief = record["brief"]
    brief["holds"].remove(need)
    del brief["needs"][need]
    finding = finding_of(saved, record)
    assert (finding.code, finding.column) == ("not-a-saved-kit", "brief.holds")
    assert f"meets the need {need}, which brief.holds does not name" in finding.sentence


@pytest.mark.parametrize("lines", [{}, "CH-HERMIT", None, ["CH-HERMIT"]])
def test_lines_that_are_no_list_of_lines_are_told(lines, record, saved):
    finding = finding_of(saved, record | {"lines": lines})
    assert finding.code == "not-a-saved-kit"
    assert finding.column.startswith("lines")


@pytest.mark.parametrize("of", ["line", "payable"])
def test_a_sum_finer_than_the_currency_is_told(of, record, saved):
    if of == "line":
        record["lines"][0]["price"] = "3.905"
    else:
        record["payable"] = "29.851"
    finding = finding_of(saved, record)
    assert finding.code == "not-a-saved-kit"
    assert "is finer than it can be" in finding.sentence


def test_what_is_wrong_with_the_brief_is_told_as_of_any_brief(record, saved):
    record["brief"]["extras"]["mosst"] = 2
    finding = finding_of(saved, record)
    assert (finding.code, finding.column) == ("unknown-key", "brief.extras.mosst")
    assert "did you mean most?" in finding.hint + finding.sentence


def test_everything_wrong_with_the_brief_is_told_at_once(record, saved):
    record["brief"] |= {"currency": "EUX", "heads": 0}
    with pytest.raises(BadInput) as caught:
        saved(record)
    told = {(finding.code, finding.column) for finding in caught.value.findings}
    assert told == {("unknown-currency", "brief.currency"), ("bad-value", "brief.heads")}


def test_a_brief_that_is_no_table_is_told(record, saved):
    finding = finding_of(saved, record | {"brief": "bundle.toml"})
    assert (finding.code, finding.column) == ("not-a-saved-kit", "brief")


def test_a_quality_or_a_difference_is_never_cut_in_silence(record, saved):
    for table, key, value in (("lines", "quality", 69.001), ("shades", "difference", 0.99531)):
        spoilt = copy.deepcopy(record)
        spoilt[table][0][key] = value
        assert "is finer than it can be" in finding_of(saved, spoilt).sentence


def test_a_status_that_no_kit_has_and_half_a_letter_are_told(record, saved):
    assert finding_of(saved, record | {"status": "weird"}).column == "status"
    assert finding_of(saved, record | {"title": "\ud800"}).code == "not-a-saved-kit"


@pytest.mark.parametrize("spoil", ["no shades", "a shade of a row that is no line", "a line twice"])
def test_a_kit_that_was_edited_does_not_stand(spoil, record, saved):
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")
    if spoil == "no shades":
        record["shades"] = []
    elif spoil == "a line twice":
        record["lines"].append(record["lines"][0])
    else:
        record["shades"][0]["sku"] = "TH-GULL-1"
    found = recheck(saved(record), catalogue)
    assert not found.stands
    assert found.nearest is not None
