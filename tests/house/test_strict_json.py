"""Refusals follow RFC 8259 (section 2 grammar, 4 unique names, 6 numbers, 8.1 UTF-8)."""

import io
import time

import pytest

from habitats.strict_json import LIMIT_DEPTH, NotReadable, load, load_file


def refusal(data: bytes) -> str:
    with pytest.raises(NotReadable) as caught:
        load(data)
    return str(caught.value)


@pytest.mark.parametrize(
    ("data", "value"),
    [
        (b"0", 0),
        (b" [] ", []),
        (b'{"a": [1, -2.5, null, true, "x"]}', {"a": [1, -2.5, None, True, "x"]}),
        ('"Grüße 🐹"'.encode(), "Grüße 🐹"),
        (b'"\\ud83d\\udc39"', "🐹"),
        (b"\xef\xbb\xbf{}", {}),
    ],
)
def test_plain_json_is_read(data: bytes, value: object) -> None:
    assert load(data) == value


@pytest.mark.parametrize("data", [b"", b"  \n", b"\xef\xbb\xbf"])
def test_an_empty_file_is_named_empty(data: bytes) -> None:
    assert "empty" in refusal(data)


@pytest.mark.parametrize("data", [b"{", b"{'a': 1}", b"[1,]", b"{} {}", b"01", b"+1", b"hello"])
def test_what_is_not_json_is_named_with_its_line(data: bytes) -> None:
    assert "Line 1, column" in refusal(data)


def test_bytes_that_are_not_utf8_are_refused() -> None:
    assert refusal(b'{"a": "\xff"}') == (
        "Byte 8 is not UTF-8 text. Save the file as JSON in UTF-8."
    )


@pytest.mark.parametrize("name", ["NaN", "Infinity", "-Infinity"])
def test_numbers_json_does_not_know_are_refused(name: str) -> None:
    assert refusal(f'{{"kerf": {name}}}'.encode()).startswith(f"{name} is not a number")


def test_a_float_that_overflows_is_refused() -> None:
    assert "too large" in refusal(b"[1e400]")


def test_an_integer_of_five_thousand_digits_is_refused() -> None:
    assert "more than 18 digits" in refusal(b"-" + b"9" * 5000)


def test_an_integer_of_eighteen_digits_is_read() -> None:
    assert load(b"-" + b"9" * 18) == -(10**18 - 1)


def test_a_key_given_twice_is_named() -> None:
    assert "'width' is given twice" in refusal(b'{"a": {"width": 1, "width": 2}}')


def test_the_same_key_in_two_objects_is_fine() -> None:
    assert load(b'[{"a": 1}, {"a": 2}]') == [{"a": 1}, {"a": 2}]


def test_the_deepest_nesting_allowed_is_read() -> None:
    assert load(b"[" * LIMIT_DEPTH + b"]" * LIMIT_DEPTH)


@pytest.mark.parametrize("depth", [LIMIT_DEPTH + 1, 1000, 100_000])
@pytest.mark.parametrize("bracket", [b"[", b'{"a":'])
def test_deeper_nesting_is_refused(depth: int, bracket: bytes) -> None:
    assert "nested deeper than 40" in refusal(bracket * depth)


def test_brackets_inside_text_are_not_nesting() -> None:
    data = b'"' + rb"[[{\"[" * 100 + b'"'

    assert load(data) == '[[{"[' * 100


def test_a_file_over_the_limit_is_refused_unread() -> None:
    assert refusal(b" " * 2_000_001).startswith("The file is larger than 2\xa0000\xa0000 bytes")


def test_the_limit_can_be_chosen() -> None:
    with pytest.raises(NotReadable, match="larger than 2 bytes"):
        load(b"[1]", limit_bytes=2)


@pytest.mark.parametrize("data", [b'"\\ud800"', b'{"\\udc00x": 1}', b'["a\\u0000"]'])
def test_text_that_cannot_be_stored_is_refused(data: bytes) -> None:
    assert "cannot be stored" in refusal(data)


@pytest.mark.parametrize(
    "data",
    [b'"' + b'\\"' * 999_000, b'"' * 1_999_999, b"[" + b"1," * 900_000, b"\\" * 1_999_999],
)
def test_hostile_text_is_refused_under_a_second(data: bytes) -> None:
    start = time.process_time()

    refusal(data)

    assert time.process_time() - start < 1


def test_a_refusal_is_one_printable_line() -> None:
    sentence = refusal(b'{"a\\n\\u001b[31m": 1, "a\\n\\u001b[31m": 2}')

    assert sentence.isprintable()


def test_a_file_is_read(tmp_path) -> None:
    path = tmp_path / "job.json"
    path.write_bytes(b"[1]")

    assert load_file(str(path)) == [1]


def test_a_missing_file_is_named(tmp_path) -> None:
    path = tmp_path / "nothing.json"

    with pytest.raises(NotReadable, match=r"nothing\.json' cannot be read: No such file"):
        load_file(str(path))


def test_a_folder_is_no_file(tmp_path) -> None:
    with pytest.raises(NotReadable, match="Is a directory"):
        load_file(str(tmp_path))


def test_a_dash_reads_standard_input(monkeypatch) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b'{"a": 1}')))

    assert load_file("-") == {"a": 1}
