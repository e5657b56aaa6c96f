"""Requests that nobody means well: made by chance from a seed, asked of the server, and judged.

`addresses` knows every address of the resolver, `pages` reads the forms off real pages, `asking`
makes requests of both with the values of `odd`, `server` is the application that gunicorn serves
over a database that can be put back, and `judge` says what is wrong with an answer. Each round
begins with the demo as it was, and goes on with whatever its own requests have made of it.
"""

import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from django.http import Http404
from django.urls import get_resolver, resolve

from builds.demo.rescue import PASSWORD, PEOPLE
from builds.kits.models.kit_links import KitLink
from habitats.people.models.people import Person
from tests.support.fuzz.addresses import addresses_of
from tests.support.fuzz.asking import NOBODY, Asker
from tests.support.fuzz.judge import faults_in
from tests.support.fuzz.known import Asked, Known
from tests.support.fuzz.pages import Page, read
from tests.support.fuzz.server import Server, persons

# A person of each role; of builders one is enough.
CAST = {one.role: one.username for one in reversed(PEOPLE)}
EACH_ADDRESS = 2  # how many pages of an address are read by who sees all
MOST_FILLED = 6  # and how many ways to fill it are kept
MOST_FORMS = 2
A_ROUND = 1000
NO_PAGE = 405
LOGS_OUT = {"django_session", "habitats_person"}


@dataclass
class Outcome:
    """``kinds``: how often each kind of fault was met; ``wrote``: how many answers wrote a row."""

    kinds: Counter[str] = field(default_factory=Counter)
    statuses: Counter[int] = field(default_factory=Counter)
    names: Counter[str] = field(default_factory=Counter)
    wrote: int = 0
    slowest: list[tuple[float, Asked]] = field(default_factory=list)


def set_passwords() -> None:
    """As the server hashes them: a demo that tests made has them hashed more cheaply."""
    for person in Person.objects.filter(username__in=CAST.values()):
        person.set_password(PASSWORD)
        person.save()


def prepared(each: int = EACH_ADDRESS) -> tuple[Server, Known]:
    """The server over the demo, with everybody logged in, and what its pages show."""
    server = Server()
    for who in sorted(CAST.values()):
        server.log_in(who, PASSWORD)
    known = Known(list(addresses_of(get_resolver())), persons=dict(persons()))
    _look_around(server, known, each)
    known.posted = _posted(server, known)
    for who in (*CAST.values(), NOBODY):
        known.tokens[who] = server.cookies[who].get("csrftoken", "")
    server.begin()
    return server, known


def fuzz(
    server: Server, known: Known, seed: int, count: int, tell: Callable[[str], None] = print
) -> Outcome:
    """Ask so many requests; the same seed over the same demo asks the same ones."""
    outcome = Outcome()
    assert server.database is not None
    for number, asked in enumerate(requests(known, seed, count)):
        if number % A_ROUND == 0:
            server.database.put_back()
            tell(f"{number} of {count} are asked.")
        begun = time.process_time()
        answered = server.ask(asked)
        outcome.slowest.append((time.process_time() - begun, asked))
        outcome.slowest = sorted(outcome.slowest, key=lambda one: -one[0])[:8]
        outcome.statuses[answered.status] += 1
        outcome.names[asked.name] += 1
        outcome.wrote += bool(answered.written)
        for fault in faults_in(asked.method, answered, log_in=server.log_in_at):
            kind = kind_of(fault, asked)
            outcome.kinds[kind] += 1
            if outcome.kinds[kind] == 1:
                tell(f"{asked}\n  {fault}\n")
        if LOGS_OUT & answered.written.keys() and not server.has_everybody:
            server.database.put_back()
    return outcome


def kind_of(fault: str, asked: Asked) -> str:
    """The same for faults at one place in the code, or at one address if that is not known."""
    places = [line for line in fault.splitlines() if line.strip().startswith("File ")]
    first, *_ = fault.splitlines()
    return "\n".join([first[:60], *places]) if places else f"{first} {asked.name}"


def requests(known: Known, seed: int, count: int) -> Iterator[Asked]:
    """Each round has its own chance, so that one can be asked again without those before it."""
    for at, begin in enumerate(range(0, count, A_ROUND)):
        asker = Asker(known, f"{seed}/{at}")
        yield from asker.requests(min(A_ROUND, count - begin))


# --- What the pages show ---


def _look_around(server: Server, known: Known, each: int) -> None:
    """As everybody in turn, from the first page on, along every link of ours."""
    beginnings = ["/", *(f"/k/{link.token}/" for link in KitLink.objects.order_by("pk"))]
    for role in ("coordinator", "builder", "foster", "laundry"):
        seen: Counter[str] = Counter()
        waiting = list(beginnings)
        most = each if role == "coordinator" else 1
        known_links = set(waiting)
        while waiting:
            path, _, query = waiting.pop(0).partition("?")
            name = _met(known, path, query)
            if not name or seen[name] >= most or path.endswith((".pdf", ".zip", ".jpg", ".ics")):
                continue
            seen[name] += 1
            for link in _page(server, known, CAST[role], name, path, query).links:
                address = link.partition("#")[0]
                if address.startswith("/") and address not in known_links:
                    known_links.add(address)
                    waiting.append(address)
    server.call(Asked(0, "login", NOBODY, "GET", server.log_in_at))


def _posted(server: Server, known: Known) -> set[str]:
    """The addresses that refuse to be looked at."""
    asker = Asker(known, "0")
    asked = (
        Asked(0, one.name, CAST["coordinator"], "GET", asker.real_path(one))
        for one in known.addresses
        if not one.is_paper and (one.name in known.forms or one.name not in known.filled)
    )
    return {one.name for one in asked if server.call(one)[0] == NO_PAGE}


def _page(server: Server, known: Known, who: str, name: str, path: str, query: str) -> Page:
    status, body, headers = server.call(Asked(0, name, who, "GET", path, query))
    if status != 200 or "html" not in headers.get("content-type", ""):
        return Page(links=[headers["location"]] if "location" in headers else [])
    page = read(body.decode(), path)
    for form in page.forms:
        taker = _met(known, form.path, form.query)
        kept = known.forms.setdefault(taker, []) if taker else []
        like = [one for _, one in kept if _shape(one) == _shape(form)]
        if taker and len(like) < MOST_FORMS and form not in like:
            kept.append((who, form))
    return page


def _shape(form: object) -> object:
    """Forms of one kind ask for the same things."""
    return (form.method, tuple(sorted({one.name.split("-")[0] for one in form.fields})))  # type: ignore[attr-defined]


def _met(known: Known, path: str, query: str) -> str:
    """The name of the address, whose words are kept; empty for what is none of ours."""
    try:
        found = resolve(path)
    except Http404:
        return ""
    name = found.view_name
    address = next((one for one in known.addresses if one.name == name), None)
    if address is None:
        return ""
    words = {slot.name: str(found.kwargs[slot.name]) for slot in address.slots}
    kept = known.filled.setdefault(name, [])
    if words not in kept and len(kept) < MOST_FILLED:
        kept.append(words)
    if query:
        queries = known.queries.setdefault(name, [])
        if query not in queries and len(queries) < MOST_FILLED:
            queries.append(query)
    return name
