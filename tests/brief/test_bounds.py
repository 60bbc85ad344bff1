"""What is asked is bounded: its length, its depth, its lists, and the time that reading takes."""

import contextlib
import os
import threading
import time
from decimal import Decimal
from pathlib import Path

import pytest

from kitsolver import BadInput, brief_of, read_brief
from kitsolver.brief.range import read_range
from kitsolver.brief.settings import with_changes
from kitsolver.explain.recheck.saved import read_saved
from kitsolver.shop.maps.mapping import read_map

LENGTH = 200_000
# Each once took a time that grew with the square of its length, or a depth beyond the stack.
SETTINGS = {
    "signs": "=" * LENGTH,
    "keys": "a=" * (LENGTH // 2),
    "dots": "a." * 20_000 + "a=1",
    "quotes": '"="' * (LENGTH // 3),
    "spaces": "a" + " " * LENGTH + "=1",
    "lists": "a=" + "[" * LENGTH,
    "tables": "a=" + "{a=" * (LENGTH // 3),
    "dots within": "a={" + "a." * 20_000 + "a=1}",
    "escapes": 'a="' + "\\" * LENGTH,
    "open text": 'a="""' + "x" * LENGTH,
    "many": "a={" + ",".join(f"k{place}=1" for place in range(LENGTH // 9)) + "}",
    "deep ones": "a={" + ("a" + ".a" * 30 + ",") * (LENGTH // 62),
}


@pytest.mark.parametrize("name", SETTINGS)
def test_a_setting_is_read_in_a_time_that_grows_with_its_length(name):
    begun = time.process_time()
    with contextlib.suppress(BadInput):
        with_changes({}, [SETTINGS[name][:LENGTH]])
    # A hundred times what it takes; the square took minutes.
    assert time.process_time() - begun < 10


@pytest.mark.parametrize(
    ("setting", "code"),
    [
        ("title=" + "x" * LENGTH, "unusable-setting"),
        ("a" + ".a" * 32 + "=1", "unusable-setting"),
        ("no sign", "not-a-setting"),
        ("a b=1", "not-a-setting"),
        (".a=1", "not-a-setting"),
        ('"\\q"=1', "not-a-setting"),
        ("=1", "not-a-setting"),
    ],
)
def test_what_is_no_setting_is_a_finding(setting, code):
    with pytest.raises(BadInput) as caught:
        with_changes({}, [setting])
    (found,) = caught.value.findings
    assert (found.code, found.file) == (code, "--set")
    assert len(str(found.value)) <= 120


def nested(depth):
    """Return tables within tables, each of one key."""
    return {"a": nested(depth - 1)} if depth else 1


@pytest.mark.parametrize(
    ("setting", "data"),
    [
        ("a.b=1", {"a": {"b": 1}}),
        ('a."b.=c" . d = [1]', {"a": {"b.=c": {"d": [1]}}}),
        ("a.'b\"'=x = y", {"a": {'b"': "x = y"}}),
        ('"\\u00e9"=1.50', {"é": Decimal("1.50")}),
        ("a=" + "[" * 40 + "]" * 40, {"a": "[" * 40 + "]" * 40}),
        ("a" + ".a" * 31 + "=1", nested(32)),
    ],
)
def test_what_is_a_setting_is_read_as_before(setting, data):
    found = with_changes({}, [setting])
    assert found == data


BASE = 'currency = "EUR"\ncap = 1\n'
LONG = {
    "choose.keep": f"[choose]\nkeep = {[f'S{place}' for place in range(5_001)]}",
    "title": f'title = "{"x" * 20_001}"',
    "needs.fabric.only": "[needs.fabric.only]\n"
    + "".join(f"c{place} = 1\n" for place in range(5_001)),
    "a": f"a = {'[' * 33}{']' * 33}",
}


@pytest.mark.parametrize("place", LONG)
def test_lists_texts_and_tables_are_bounded(place, tmp_path):
    path = tmp_path / "brief.toml"
    path.write_text(BASE + LONG[place])
    with pytest.raises(BadInput) as caught:
        read_brief(path)
    (found,) = caught.value.findings
    assert found.code in ("bad-value", "not-toml")
    assert found.column == place or found.code == "not-toml"
    assert len(found.sentence) < 300


def test_data_that_is_no_file_is_bounded_too():
    deep = value = {}
    for _ in range(100_000):
        value["a"] = value = {}
    with pytest.raises(BadInput) as caught:
        brief_of({"currency": "EUR", "cap": 1, "needs": deep})
    assert "nests" in caught.value.findings[0].sentence


@pytest.mark.parametrize("text", ["a" + ".a" * 20_000 + " = 1", "a = " + "[" * 20_000])
@pytest.mark.parametrize("read", [read_brief, read_range, read_map])
def test_what_nests_deeply_is_a_finding(read, text, tmp_path):
    path = tmp_path / "x.toml"
    path.write_text(text)
    begun = time.process_time()
    with pytest.raises(BadInput):
        read(path)
    assert time.process_time() - begun < 5


def test_a_map_nested_three_thousand_deep_is_a_finding(tmp_path):
    path = tmp_path / "map.toml"
    for text in (
        "[columns]\na = " + "{a = " * 3_000 + "1" + "}" * 3_000,
        "[a" + ".a" * 3_000 + "]",
    ):
        path.write_text(text)
        with pytest.raises(BadInput) as caught:
            read_map(path)
        assert [found.code for found in caught.value.findings] == ["unreadable-map"]


@pytest.mark.parametrize(
    "data",
    [
        {"title": "\ud800"},
        {"title": "caf\udce9"},
        {"holds": ["chart", "\udfff"]},
        {"needs": {"fabric": {"only": {"a\ud800": 1}}}},
    ],
    ids=range(4),
)
def test_what_is_no_text_is_a_finding(data):
    """JSON can spell half a pair of surrogates, and an argument may be no Unicode."""
    with pytest.raises(BadInput) as caught:
        brief_of({"currency": "EUR", "cap": 1, **data})
    (found,) = caught.value.findings
    assert found.code == "bad-value"
    f"{found.place} {found.sentence}".encode()


READERS = pytest.mark.parametrize("read", [read_brief, read_range, read_map, read_saved])


@READERS
@pytest.mark.parametrize("number", ["1e18446744073709551616", "-0.5E-99999999999999999999"])
def test_a_number_beyond_what_decimals_can_be_is_a_finding(read, number, tmp_path):
    path = tmp_path / "x"
    path.write_text(f'{{"x": {number}}}' if read is read_saved else f"x = {number}")
    with pytest.raises(BadInput) as caught:
        read(path)
    (found,) = caught.value.findings
    # As another fault than a number that is merely too much.
    assert found.code in ("not-toml", "unreadable-map", "not-a-saved-kit")
    assert "exponent" in found.sentence or read is read_saved


@READERS
@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="this system has no endless files")
def test_endless_files_are_refused(read):
    with pytest.raises(BadInput):
        read("/dev/zero")


@READERS
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_read_once(read, tmp_path):
    pipe = tmp_path / "x.toml"
    os.mkfifo(pipe)
    writer = threading.Thread(target=lambda: pipe.write_text("nothing = 1"))
    writer.start()
    with pytest.raises(BadInput):
        read(pipe)
    writer.join(10)
    assert not writer.is_alive()


@READERS
@pytest.mark.parametrize("name", ["a\0b", "x" * 5_000, "caf\udce9.toml", "no/such", "."])
def test_a_path_that_is_none_is_a_finding(read, name, tmp_path):
    with pytest.raises(BadInput) as caught:
        read(tmp_path / name)
    for found in caught.value.findings:
        f"{found.place} {found.sentence}".encode()


def test_a_range_that_names_a_brief_by_no_path_is_a_finding(tmp_path):
    path = tmp_path / "range.toml"
    path.write_text('currency = "EUR"\n[[kits]]\nname = "a"\nbrief = "a\\u0000b"\n')
    with pytest.raises(BadInput) as caught:
        read_range(path)
    assert [found.code for found in caught.value.findings] == ["unreadable-brief"]
