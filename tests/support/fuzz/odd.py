"""Values that no page of ours sends: each has once broken a program somewhere.

Texts are bytes as they go over the wire, so that what is no UTF-8 can be said too.
"""

import json
import struct
import zlib
from random import Random

from builds.demo.rescue import DESIGNS

HUGE = (
    "32768",  # one more than PostgreSQL's smallint
    str(2**31),  # one more than PostgreSQL's integer
    str(2**63 - 1),
    str(2**63),  # one more than SQLite's, and PostgreSQL's bigint
    str(-(2**63) - 1),
    "9" * 18,
    "9" * 20,
    "9" * 400,
    "9" * 5000,  # more digits than Python reads
    "1e400",
    "1e-400",
    "1e19",
)
NUMBERS = (
    *HUGE,
    "-1",
    "0",
    "-0",
    "00",
    "007",
    "1.5",
    "1,5",
    "NaN",
    "nan",
    "sNaN",
    "Infinity",
    "-inf",
    "0x10",
    "1_000",
    "+1",
    " 1 ",
    "１２",  # full-width digits
    "٣",
    "²",  # isdigit, and no int
    "½",
    "1e5",
    "true",
    "None",
)
DAYS = (
    "0001-01-01",
    "9999-12-31",
    "2027-02-30",
    "2027-13-01",
    "0000-00-00",
    "10000-01-01",
    "-2027-01-01",
    "1900-01-01",
    "2100-01-01",
    "1989-12-31",
    "31/12/2026",
    "2026-W10-1",
    "20260101",
    "2026-01-01T00:00:00Z",
    "tomorrow",
    "٢٠٢٦-٠١-٠١",
)
TEXTS = tuple(
    text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
    for text in (
        "",
        " ",
        "\0",
        "a\0b",
        "\ud800",
        "x\udfffy",
        "\u202egnp.exe",  # right to left
        "مرحبا",
        "e\u0301" * 40,
        "👩‍👩‍👧‍👦" * 12,
        "\ufeff",
        "\u2028\r\n\x0b\x0c\x1f\x7f\x85",
        "İıſKﬀ",  # longer or shorter in another case
        "'; DROP TABLE habitats_person; --",
        "%00",
        "%s%n%(x)s{0}{x}",
        "<script>alert(1)</script>",
        "{{ 7|add:7 }}{% now 'Y' %}",
        "=1+1",
        "../../../etc/passwd",
        "[]",
        "{}",
        "[[[[",
        "null",
        "(((((((((((",
        ",,,,",
        "0,0",
        "1,2,N",
        "99999999999,0",
        "x" * 300,
        "x" * 20_000,
        "ﷺ" * 3000,
        "1\n2\n3",
        b"\xff\xfe",
        b"\xc3\x28",
        b"\xf8\x88\x80\x80\x80",
        b"%",
        b"&",
        b"=",
    )
)
NAMES_OF_QUERIES = (
    "page",
    "words",
    "home",
    "design",
    "item",
    "shown",
    "sort",
    "view",
    "kinds",
    "label",
    "labels",
    "spot",
    "apart",
    "only",
    "mother",
    "kind",
    "pool",
    "animal",
    "enclosure",
    "step",
    "level",
    "corner",
    "paper",
    "units",
    "day",
    "code",
    "group",
    "cloth",
    "next",
    "state",
    "count",
    "once",
)


def text(rng: Random) -> bytes:
    """Any odd value."""
    pools = (TEXTS, NUMBERS, DAYS, HUGE)
    found = rng.choice(rng.choice(pools))
    return found if isinstance(found, bytes) else found.encode()


def number(rng: Random) -> bytes:
    return rng.choice(rng.choice((NUMBERS, HUGE))).encode()


def day(rng: Random) -> bytes:
    return rng.choice(DAYS).encode()


# --- Files ---


def picture(side: int = 48) -> bytes:
    """A sound PNG."""
    return _png(side, side)


def _png(width: int, height: int) -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    lines = zlib.compress((b"\0" + b"\x80" * min(width, 64)) * min(height, 64))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", lines) + chunk(b"IEND", b"")


def design(rng: Random) -> bytes:
    """A design's file: sound, or with one value of it exchanged."""
    document = json.loads(json.dumps(rng.choice(DESIGNS)))
    if rng.random() < 0.7:
        place: object = document
        for _ in range(rng.randrange(1, 4)):
            if isinstance(place, dict) and place:
                key = rng.choice(sorted(place))
                inner = place[key]
                if not isinstance(inner, dict | list) or rng.random() < 0.3:
                    place[key] = json_value(rng)
                    break
                place = inner
            elif isinstance(place, list) and place:
                at = rng.randrange(len(place))
                if not isinstance(place[at], dict | list) or rng.random() < 0.3:
                    place[at] = json_value(rng)
                    break
                place = place[at]
    return json.dumps(document).encode()


def json_value(rng: Random) -> object:
    return rng.choice(
        (
            None,
            True,
            False,
            0,
            -1,
            1.5,
            10**9,
            2**63,
            10**30,
            float("nan"),
            float("inf"),
            1e300,
            "",
            "x",
            "\0",
            "\ud800",
            "x" * 5000,
            [],
            {},
            [[]],
            {"a": {}},
            [None],
            ["#" * 60] * 60,
            [0] * 200,
            "####",
            "2026-01-01T00:00:00Z",
            "9999-12-31T23:59:59-23:59",
            "auto",
        )
    )


def table(rng: Random) -> bytes:
    """A CSV, of which somebody may have meant something."""
    cells = ["name", "code", "home", "species", "sex", "born", "weight_g", "day", "Hazel", "sow"]
    lines = [
        rng.choice((b",", b";", b"\t")).join(
            text(rng)[:50] if rng.random() < 0.3 else rng.choice(cells).encode()
            for _ in range(rng.randrange(1, 8))
        )
        for _ in range(rng.randrange(1, 6))
    ]
    return rng.choice((b"\n", b"\r\n", b"\r")).join(lines)


def file(rng: Random) -> tuple[bytes, bytes, bytes]:
    """Name, kind and content of a file that is sent."""
    content = rng.choice(
        (
            lambda: b"",
            lambda: picture(),
            lambda: picture()[:60],
            lambda: _png(60_000, 60_000),
            lambda: b"\xff\xd8\xff\xe0" + bytes(200),
            lambda: b"GIF89a" + bytes(40),
            lambda: b"<svg xmlns='http://www.w3.org/2000/svg'/>",
            lambda: b"%PDF-1.7",
            lambda: design(rng),
            lambda: b"[" * 100_000,
            lambda: b'{"format": "enclosure-design/1"',
            lambda: table(rng),
            lambda: table(rng),
            lambda: b"\xff\xfe" + "name,home\nPip,Elm".encode("utf-16-le"),
            lambda: b'"' + b"x" * 200_000,
            lambda: bytes(1000),
        )
    )()
    name = rng.choice(
        (
            b"photo.jpg",
            b"x.png",
            b"design.json",
            b"animals.csv",
            b"",
            b"..",
            b"/etc/passwd",
            b"a" * 300 + b".csv",
            "ﻼ\u202e.gpj".encode(),
            b"no-ending",
            b"nul\0.jpg",
            b"\xff\xfe.csv",
        )
    )
    kind = rng.choice((b"image/jpeg", b"text/csv", b"application/json", b"", b"x/y; charset=zz"))
    return name, kind, content


def large_file() -> tuple[bytes, bytes, bytes]:
    """More than any page takes."""
    return b"large.jpg", b"image/jpeg", b"\xff\xd8\xff\xe0" + bytes(16 * 1024 * 1024)
