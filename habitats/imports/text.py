"""The words of a file, if they are UTF-8; else a sentence that says how to save it right."""

from codecs import BOM_UTF16_BE, BOM_UTF16_LE

MOST_BYTES = 16 * 1024 * 1024
ZIP_MARK = b"PK\x03\x04"  # a workbook is a ZIP archive
HOW_TO_SAVE = (
    "Open it in your spreadsheet, choose “Save as” and there “CSV UTF-8” (or CSV with the "
    "character set UTF-8), and hand in that file."
)


class Unreadable(ValueError):
    """Nothing of the file can be taken in; ``str()`` of it is the sentence for people."""


def text_of(content: bytes) -> str:
    """The file's words, without a byte order mark. Raises ``Unreadable``."""
    if len(content) > MOST_BYTES:
        raise Unreadable(
            f"The file is larger than the {MOST_BYTES // 1024**2} MB that are allowed. "
            "Split it into several files, each with the first line."
        )
    if not content.strip():
        raise Unreadable("The file is empty. Fill in the template, and hand that in.")
    if content.startswith(ZIP_MARK):
        raise Unreadable(f"This is a workbook or archive, not a CSV file. {HOW_TO_SAVE}")
    if content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        raise Unreadable(f"The file is in UTF-16, from its first line on. {HOW_TO_SAVE}")
    return _decoded(content)


def _decoded(content: bytes) -> str:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line, byte = _line(content, fault.start), content[fault.start]
        raise Unreadable(
            f"Line {line} is not UTF-8: the byte {byte:02X} cannot stand there. {HOW_TO_SAVE}"
        ) from None
    if "\0" in text:
        line = _line(content, content.index(b"\0"))
        raise Unreadable(f"Line {line} holds a NUL byte, so this is no plain text. {HOW_TO_SAVE}")
    return text


def _line(content: bytes, at: int) -> int:
    before = content[:at].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return before.count(b"\n") + 1
