"""Requests made by chance, of every address and every form: the same seed makes the same ones."""

import json
import uuid
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice
from random import Random
from urllib.parse import quote_from_bytes

from builds.demo.rescue import PEOPLE
from tests.support.fuzz import odd, wire
from tests.support.fuzz.addresses import Address, Slot
from tests.support.fuzz.known import Asked, Known
from tests.support.fuzz.pages import Field, Form
from tests.support.fuzz.wire import Files, Pairs

NOBODY = "nobody"
COORDINATOR = next(one.username for one in PEOPLE if one.role == "coordinator")
TOKEN = "csrfmiddlewaretoken"
# How many requests are sent once more.
AGAIN = 0.1
METHODS = ("HEAD", "OPTIONS", "PUT", "PATCH", "DELETE", "TRACE", "POST", "GET", "PROPFIND")


class Asker:
    """Makes requests; the same of the same pages and the same seed."""

    def __init__(self, known: Known, seed: str) -> None:
        self.known = known
        self.rng = Random(seed)
        self.people = [NOBODY, *sorted(known.tokens)]
        self.number = 0
        self.sent: list[Asked] = []
        self._pools: dict[str, list[str]] = {}

    def requests(self, count: int) -> Iterator[Asked]:
        """So many; each address and each form before any of them a second time."""
        return islice(self._endless(), count)

    def _endless(self) -> Iterator[Asked]:
        while True:
            for address, form in self._deck():
                self.number += 1
                asked = self._form(address, *form) if form else self._address(address)
                yield asked
                if asked.method == "POST":
                    self.sent.append(asked)
                if self.sent and self.rng.random() < AGAIN:
                    self.number += 1
                    yield self._again()

    def _deck(self) -> list[tuple[Address, tuple[str, Form] | None]]:
        """Every address with some of the forms among them, then the other forms."""
        addresses = [(one, None) for one in self.known.addresses]
        forms = [
            (one, form)
            for one in self.known.addresses
            for form in self.known.forms.get(one.name, [])
        ]
        self.rng.shuffle(forms)
        some = len(addresses) // 4
        first = [*addresses, *forms[:some]]
        self.rng.shuffle(first)
        return [*first, *forms[some:]]

    def _again(self) -> Asked:
        """What was sent before, whole: it has happened, or what it is about may be gone."""
        return replace(self.rng.choice(self.sent), number=self.number)

    # --- Addresses ---

    def _address(self, address: Address) -> Asked:
        rng = self.rng
        if address.name == "builds:acts" and rng.random() < 0.8:
            return self._acts(address)
        is_real = rng.random() < (0.15 if address.is_paper else 0.55)
        path = self._path(address, is_real=is_real)
        usual = (
            ("POST",) * 3 if address.name in self.known.posted else ("GET", "GET", "GET", "POST")
        )
        method = rng.choice((*usual, rng.choice(METHODS)))
        query = self._query(address) if rng.random() < 0.5 else ""
        body, kind = b"", ""
        if method in ("POST", "PUT", "PATCH", "DELETE"):
            body, kind = self._body(self._token([]) if rng.random() < 0.9 else [], [], False)
        return self._asked(address, method, path, query, body, kind)

    def real_path(self, address: Address) -> str:
        """Filled with words that were met, where there are any."""
        return self._path(address, is_real=True)

    def _path(self, address: Address, *, is_real: bool) -> str:
        rng, met = self.rng, self.known.filled.get(address.name, [])
        if met and is_real:
            return address.filled(rng.choice(met))
        words = dict(rng.choice(met)) if met else {}
        spoilt = rng.choice(address.slots).name if address.slots else ""
        for slot in address.slots:
            if slot.name not in words or (slot.name == spoilt and not is_real):
                words[slot.name] = self._word(slot, is_odd=bool(met) or rng.random() < 0.3)
        return address.filled(words)

    def _word(self, slot: Slot, *, is_odd: bool) -> str:
        rng = self.rng
        own = self._pool(slot.pool, lambda: self.known.words(slot))
        foreign = self._pool(f"={slot.name}", lambda: self.known.named(slot.name))
        if own and (not is_odd or rng.random() < 0.3):
            return rng.choice(own)
        if foreign and rng.random() < 0.3:
            return rng.choice(foreign)
        if slot.kind == "int":
            return rng.choice(("0", "1", "999999", *odd.HUGE[:8], "00", "1.5", "-1", "x"))
        if slot.kind == "uuid":
            return rng.choice((str(self._uuid()), "0" * 8, "x", str(uuid.UUID(int=0))))
        return rng.choice(
            (
                "ZZZZ",
                "0",
                "-",
                "_",
                "a" * 300,
                "9" * 25,
                "x.y.z",
                "a:b:c",
                "%00",
                "%ED%A0%80",
                "%E2%80%AE",
                "%C4%B0",
                "%FF",
                "%2F",
                "%0A",
                "..",
                "%EF%BC%91",
                "x" * 5000,
                "%25",
                quote_from_bytes(odd.text(rng)[:2000], safe="") or "-",
            )
        )

    def _pool(self, name: str, make: Callable[[], list[str]]) -> list[str]:
        if name not in self._pools:
            self._pools[name] = make()
        return self._pools[name]

    def _query(self, address: Address) -> str:
        rng, met = self.rng, self.known.queries.get(address.name, [])
        parts = [rng.choice(met)] if met and rng.random() < 0.6 else []
        names = {one.split("=")[0] for query in met for one in query.split("&")}
        for _ in range(rng.randrange(1, 4)):
            own = sorted(names) if names and rng.random() < 0.6 else odd.NAMES_OF_QUERIES
            value = quote_from_bytes(odd.text(rng)[:4000])
            parts.append(f"{rng.choice(own)}={value}")
        return "&".join(parts)

    # --- Forms ---

    def _form(self, address: Address, who: str, form: Form) -> Asked:
        rng = self.rng
        pairs, files = self._filled_in(form)
        for _ in range(rng.choice((0, 0, 1, 1, 1, 2, 3))):
            pairs, files = self._spoilt(form, pairs, files)
        path = form.path
        if rng.random() < 0.08:
            path = self._path(address, is_real=False)
        who = who if rng.random() < 0.75 else rng.choice(self.people)
        if form.method == "get":
            pairs = [pair for pair in pairs if pair[0] != TOKEN.encode()]
            return self._asked(address, "GET", path, wire.encoded(pairs), who=who)
        body, kind = self._body(self._token(pairs, who), files, form.is_multipart)
        method = "POST" if rng.random() < 0.97 else rng.choice(METHODS)
        return self._asked(address, method, path, form.query, body, kind, who=who)

    def _filled_in(self, form: Form) -> tuple[Pairs, Files]:
        """As somebody would who means it: all that is asked for, within what the page says."""
        rng, pairs, files = self.rng, Pairs(), Files()
        chosen: dict[str, list[Field]] = {}
        for one in form.fields:
            if one.kind == "radio":
                chosen.setdefault(one.name, []).append(one)
            elif one.kind == "file":
                if rng.random() < 0.8:
                    files.append((one.name.encode(), odd.file(rng)))
            elif one.kind == "checkbox":
                if one.is_chosen != (rng.random() < 0.25):
                    pairs.append((one.name.encode(), one.value.encode()))
            elif one.kind == "select":
                pairs += [(one.name.encode(), value) for value in self._selected(one)]
            else:
                pairs.append((one.name.encode(), self._typed(one)))
        for name, options in chosen.items():
            marked = [one for one in options if one.is_chosen]
            one = rng.choice(marked if marked and rng.random() < 0.6 else options)
            pairs.append((name.encode(), one.value.encode()))
        if form.buttons:
            name, value = rng.choice(form.buttons)
            if name:
                pairs.append((name.encode(), value.encode()))
        return pairs, files

    def _selected(self, one: Field) -> list[bytes]:
        rng = self.rng
        options = [option for option in one.options if option] or list(one.options)
        if not options:
            return []
        if one.is_multiple:
            return [rng.choice(options).encode() for _ in range(rng.randrange(0, 4))]
        return [(one.value if one.value and rng.random() < 0.5 else rng.choice(options)).encode()]

    def _typed(self, one: Field) -> bytes:
        rng = self.rng
        if one.name == TOKEN:
            return b""
        if one.kind == "hidden":
            return (str(self._uuid()) if _is_uuid(one.value) else one.value).encode()
        if one.value and rng.random() < 0.6:
            return one.value.encode()
        match one.kind:
            case "date":
                return f"2026-{rng.randrange(1, 13):02}-{rng.randrange(1, 29):02}".encode()
            case "number":
                least, most = _whole(one.least, 1), _whole(one.most, 2000)
                return str(rng.randrange(least, max(least, most) + 1)).encode()
            case "time":
                return b"10:30"
            case "email":
                return b"hazel@example.org"
            case "password":
                return b"hay-before-breakfast"
        if not one.is_required and rng.random() < 0.4:
            return b""
        return rng.choice((b"Hazel", b"12", b"1.2", b"2026-11-20", b"3 m", b"Elm Row", b"####"))

    def _spoilt(self, form: Form, pairs: Pairs, files: Files) -> tuple[Pairs, Files]:
        """One thing is not as the page would have sent it."""
        rng, fields = self.rng, [one for one in form.fields if one.name != TOKEN]
        if not fields:
            return [*pairs, (b"once", odd.text(rng))], files
        one = rng.choice(fields)
        name = one.name.encode()
        if one.kind == "file":
            value = odd.large_file() if rng.random() < 0.01 else odd.file(rng)
            return pairs, [*(files if rng.random() < 0.2 else []), (name, value)]
        how = rng.random()
        if how < 0.15:
            return [pair for pair in pairs if pair[0] != name], files
        if how < 0.25:
            return [*pairs, (name, self._odd_value(one))], files
        if how < 0.28:
            return pairs, [*files, (name, odd.file(rng))]
        if how < 0.31:
            return [(odd.text(rng)[:60], odd.text(rng)), *pairs], files
        value = self._odd_value(one)
        if not any(pair[0] == name for pair in pairs):
            return [*pairs, (name, value)], files
        return [(key, value if key == name else was) for key, was in pairs], files

    def _odd_value(self, one: Field) -> bytes:
        rng = self.rng
        if _is_uuid(one.value) and rng.random() < 0.5:
            return rng.choice((one.value, "x", "", one.value.upper(), f"{{{one.value}}}")).encode()
        is_key = one.kind in ("select", "radio", "checkbox") or one.value.isdecimal()
        if is_key and rng.random() < 0.6:
            foreign = self._pool("=pk", lambda: self.known.named("pk"))
            near = ("0", "1", "2", "3", "17", "999999", *foreign)
            return rng.choice(near).encode() if rng.random() < 0.5 else odd.number(rng)
        if one.kind == "number" and rng.random() < 0.6:
            return odd.number(rng)
        if one.kind == "date" and rng.random() < 0.6:
            return odd.day(rng)
        return odd.text(rng)

    # --- What a phone sends ---

    def _acts(self, address: Address) -> Asked:
        """Acts on a build as JSON, some of them as they should be."""
        rng = self.rng
        who = self._somebody()
        person = self.known.persons.get(who, 0) if rng.random() < 0.85 else odd.json_value(rng)
        acts: object = [self._act() for _ in range(rng.randrange(0, 5))]
        if rng.random() < 0.05:
            acts = odd.json_value(rng)
        sent = "2026-11-29T10:00:00Z" if rng.random() < 0.7 else odd.json_value(rng)
        body = json.dumps({"person": person, "sent": sent, "acts": acts}).encode()
        if rng.random() < 0.1:
            body = rng.choice((body[:-3], b"[" * 50_000, b"\xff", b"", b"1" * 6000, odd.text(rng)))
        path = self._path(address, is_real=rng.random() < 0.9)
        return self._asked(
            address, "POST", path, "", body, "application/json", who=who, is_phone=True
        )

    def _act(self) -> object:
        rng = self.rng
        keys = self._pool("=key", lambda: self.known.named("key")) or ["x"]
        act: dict[str, object] = {
            "once": str(self._uuid()),
            "kind": rng.choice(("tick", "untick", "start", "note", "photo", "shortage")),
            "step": rng.choice(keys),
            "at": f"2026-11-2{rng.randrange(10)}T10:00:00+01:00",
            "text": "Two ties are left.",
            "note": "",
            "what": "Panel",
            "count": rng.randrange(1, 5),
            "is_damaged": rng.random() < 0.5,
            "image": "iVBORw0KGgo=",
        }
        for _ in range(rng.choice((0, 0, 1, 2))):
            act[rng.choice(sorted(act))] = odd.json_value(rng)
        if rng.random() < 0.1:
            act.pop(rng.choice(sorted(act)))
        return act if rng.random() < 0.97 else odd.json_value(rng)

    # --- The rest of a request ---

    def _somebody(self) -> str:
        """Whom most is shown to is most often asked as."""
        return self.rng.choice((COORDINATOR, COORDINATOR, COORDINATOR, *self.people))

    def _uuid(self) -> uuid.UUID:
        return uuid.UUID(int=self.rng.getrandbits(128), version=4)

    def _token(self, pairs: Pairs, who: str = "") -> Pairs:
        """A page's token as it should be, most times: else all is refused at the door."""
        rest = [pair for pair in pairs if pair[0] != TOKEN.encode()]
        if self.rng.random() < 0.02:
            return [*rest, (TOKEN.encode(), odd.text(self.rng)[:100])]
        return [*rest, (TOKEN.encode(), b"\0token")]

    def _body(self, pairs: Pairs, files: Files, is_multipart: bool) -> tuple[bytes, str]:
        rng = self.rng
        if is_multipart or files:
            body, kind = wire.multipart(pairs, files), wire.MULTIPART
        else:
            body, kind = wire.encoded(pairs).encode(), wire.URLENCODED
        if rng.random() < 0.04:
            kind = wire.odd_kind(rng, kind)
        if rng.random() < 0.02:
            half = body[: len(body) // 2]
            body = rng.choice((half, b"", b"&" * 3000, b"a=1&" * 1500, body + b"\0"))
        return body, kind

    def _asked(
        self,
        address: Address,
        method: str,
        path: str,
        query: str = "",
        body: bytes = b"",
        kind: str = "",
        *,
        who: str = "",
        is_phone: bool = False,
    ) -> Asked:
        headers = dict(wire.headers(self.rng))
        who = who or self._somebody()
        token = self.known.tokens.get(who, self.known.tokens.get(NOBODY, "")).encode()
        body = body.replace(b"%00token", token).replace(b"\0token", token)
        if is_phone and self.rng.random() < 0.97:
            headers["X-CSRFToken"] = token.decode()
        return Asked(
            self.number, address.name, who, method, path, query, tuple(headers.items()), kind, body
        )


def _is_uuid(value: str) -> bool:
    try:
        return bool(uuid.UUID(value)) and len(value) == 36
    except ValueError:
        return False


def _whole(value: str, default: int) -> int:
    try:
        return int(float(value))
    except (ValueError, OverflowError):
        return default
