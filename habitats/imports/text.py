"""The words of a file, if they are UTF-8; else a sentence that says how to save it right."""

from codecs import BOM_UTF16_BE, BOM_UTF16_LE

from habitats.wording import joined, message

MOST_BYTES = 16 * 1024 * 1024
ZIP_MARK = b"PK\x03\x04"  # a workbook is a ZIP archive
HOW_TO_SAVE = message(
    "Open it in your spreadsheet program and choose “Save as”. Save it as “CSV UTF-8” (or as CSV "
    "with the character set UTF-8), and upload that file."
)


class Unreadable(ValueError):
    """Nothing of the file can be taken in; ``str()`` of it is the sentence for people."""


def text_of(content: bytes) -> str:
    """The file's words, without a byte order mark. Raises ``Unreadable``."""
    if len(content) > MOST_BYTES:
        raise Unreadable(
            message(
                "The file is larger than %(most)d MB, which is the limit. Split it into several "
                "files, each with the first line.",
                most=MOST_BYTES // 1024**2,
            )
        )
    if not content.strip():
        raise Unreadable(message("The file is empty. Fill in the template and upload that."))
    if content.startswith(ZIP_MARK):
        raise _saved_wrongly(message("This is a workbook or an archive, not a CSV file."))
    if content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        raise _saved_wrongly(message("The file is in UTF-16, from its first line on."))
    return _decoded(content)


def _decoded(content: bytes) -> str:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line, byte = _line(content, fault.start), content[fault.start]
        sentence = message(
            "Line %(line)d is not UTF-8: the byte %(byte)s is not allowed there.",
            line=line,
            byte=f"{byte:02X}",
        )
        raise _saved_wrongly(sentence) from None
    if "\0" in text:
        line = _line(content, content.index(b"\0"))
        raise _saved_wrongly(
            message("Line %(line)d has a NUL byte, so this is not plain text.", line=line)
        )
    return text


def _saved_wrongly(sentence: str) -> Unreadable:
    return Unreadable(joined(" ", [sentence, HOW_TO_SAVE]))


def _line(content: bytes, at: int) -> int:
    before = content[:at].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return before.count(b"\n") + 1
