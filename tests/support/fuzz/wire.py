"""How a request goes over the wire: its headers, and its body as a browser would write it.

Values are bytes, so that what is no UTF-8 can be said too.
"""

from collections.abc import Iterator, Sequence
from random import Random
from urllib.parse import quote_from_bytes

Pairs = list[tuple[bytes, bytes]]
# By field: name, kind and content.
Files = list[tuple[bytes, tuple[bytes, bytes, bytes]]]
URLENCODED = "application/x-www-form-urlencoded"
BOUNDARY = b"x-a-line-that-stands-in-no-field-x"
MULTIPART = f"multipart/form-data; boundary={BOUNDARY.decode()}"
ODD_KINDS = (
    "text/plain",
    "",
    "application/json",
    "multipart/form-data",
    "multipart/form-data; boundary=",
    "multipart/mixed; boundary=x",
)
CHARSETS = ("utf-16", "rot13", "hex", "idna", "zzz", "ascii", "utf-7", "")
ODD_HEADERS: Sequence[tuple[str, str]] = (
    ("Accept", "*/*;q=NaN"),
    ("Accept", "text/html;q=,,,"),
    ("Accept", "x" * 3000),
    ("Accept-Language", "zz-ZZ;q=9999999999"),
    ("Accept-Language", "\xff"),
    ("Accept-Encoding", "gzip;q=x, br"),
    ("Accept-Encoding", "identity;q=0, *;q=0"),
    ("Range", "bytes=0-0"),
    ("Range", "bytes=-1"),
    ("Range", "bytes=9-1"),
    ("Range", "lines=x"),
    ("Range", f"bytes={'9' * 400}-"),
    ("If-Range", "x"),
    ("If-None-Match", "*"),
    ("If-None-Match", '"'),
    ("If-None-Match", 'W/"x", y'),
    ("If-Match", '"x"'),
    ("If-Match", "*"),
    ("If-Modified-Since", "Sun, 30 Feb 9999 25:61:61 GMT"),
    ("If-Modified-Since", "x"),
    ("If-Unmodified-Since", "Mon, 01 Jan 0001 00:00:00 GMT"),
    ("If-Modified-Since", "9" * 400),
    ("Host", "elsewhere.example"),
    ("Host", "localhost:99999"),
    ("Host", "[::1"),
    ("Host", ""),
    ("Referer", "http://["),
    ("Referer", "\xff"),
    ("Origin", "null"),
    ("Origin", "http://["),
    ("X-Forwarded-For", "1.2.3.4, x"),
    ("X-Forwarded-Proto", "ftp"),
    ("X-Forwarded-Host", "\xff"),
    ("Cookie", "sessionid=\xff; csrftoken="),
    ("Cookie", "sessionid=" + "x" * 3000),
    ("Cookie", ";;;=;="),
    ("Cookie", "messages=x:y; sessionid="),
    ("Content-Length", "9"),
    ("Content-Encoding", "gzip"),
    ("X-HTTP-Method-Override", "DELETE"),
    ("Expect", "100-continue"),
    ("User-Agent", "\xff" * 900),
)


def odd_kind(rng: Random, kind: str) -> str:
    """Another content type than the body has."""
    return rng.choice((*ODD_KINDS, *(f"{kind}; charset={one}" for one in CHARSETS)))


def headers(rng: Random) -> Iterator[tuple[str, str]]:
    """None for most requests; else what htmx adds, and one that is odd."""
    if rng.random() < 0.2:
        here = ("http://localhost/", "%zz", "//[", "\xff", "x" * 9000)
        yield "HX-Request", "true"
        yield "HX-Current-URL", rng.choice(here)
        yield "HX-Target", rng.choice(("page", "%E0%A4%A", "x"))
        yield rng.choice(("HX-Trigger", "HX-Prompt", "HX-Boosted", "Triggering-Event")), "{"
    if rng.random() < 0.15:
        yield rng.choice(ODD_HEADERS)


def encoded(pairs: Pairs) -> str:
    return "&".join(f"{quote_from_bytes(name)}={quote_from_bytes(value)}" for name, value in pairs)


def multipart(pairs: Pairs, files: Files) -> bytes:
    parts = [b'name="%s"\r\n\r\n%s' % (_quoted(name), value) for name, value in pairs]
    parts += [
        b'name="%s"; filename="%s"\r\nContent-Type: %s\r\n\r\n%s'
        % (_quoted(field), _quoted(name), kind, content)
        for field, (name, kind, content) in files
    ]
    lines = [b"--%s\r\nContent-Disposition: form-data; %s\r\n" % (BOUNDARY, one) for one in parts]
    return b"".join(lines) + b"--%s--\r\n" % BOUNDARY


def _quoted(name: bytes) -> bytes:
    return name.replace(b'"', b"%22").replace(b"\r", b"%0D").replace(b"\n", b"%0A")
