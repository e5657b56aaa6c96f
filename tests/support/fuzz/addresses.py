"""Every address that the project answers to, as text with slots for what its converters take."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import URLPattern, URLResolver
from django.urls.resolvers import RegexPattern, RoutePattern

A_CONVERTER = re.compile(r"<(?:(?P<kind>\w+):)?(?P<name>\w+)>")
A_GROUP = re.compile(r"\(\?P<(?P<name>\w+)>(?P<expression>[^()]*(?:\([^()]*\)[^()]*)*)\)")


@dataclass(frozen=True, slots=True)
class Slot:
    """What an address leaves open. ``pool``: the address up to here, which says of what it is."""

    name: str
    kind: str
    pool: str


@dataclass(frozen=True, slots=True)
class Address:
    """``parts``: texts and slots, in order."""

    name: str
    parts: tuple[str | Slot, ...]

    @property
    def slots(self) -> list[Slot]:
        return [part for part in self.parts if isinstance(part, Slot)]

    @property
    def is_paper(self) -> bool:
        """Whether it prints, which takes a second or two."""
        last = self.parts[-1] if self.parts else ""
        return isinstance(last, str) and last.endswith(".pdf")

    def filled(self, words: dict[str, str]) -> str:
        """The path, with these words, percent-encoded already, in its slots."""
        return "/" + "".join(
            words[part.name] if isinstance(part, Slot) else part for part in self.parts
        )


def addresses_of(resolver: URLResolver, before: str = "", space: str = "") -> Iterator[Address]:
    """All of a resolver and of those that it includes."""
    for one in resolver.url_patterns:
        route = before + _route(one)
        if isinstance(one, URLPattern):
            yield Address(f"{space}{one.name}", tuple(_parts(route)))
        else:
            inner = f"{space}{one.namespace}:" if one.namespace else space
            yield from addresses_of(one, route, inner)


def _route(one: URLPattern | URLResolver) -> str:
    """As `path` writes it; an expression's named groups become converters of the kind `form`."""
    if isinstance(one.pattern, RoutePattern):
        return one.pattern._route
    assert isinstance(one.pattern, RegexPattern), one.pattern
    expression = one.pattern._regex.removeprefix("^").removesuffix("$")
    return A_GROUP.sub(r"<form:\g<name>>", expression).replace("\\", "")


def _parts(route: str) -> Iterator[str | Slot]:
    at = 0
    for found in A_CONVERTER.finditer(route):
        if found.start() > at:
            yield route[at : found.start()]
        yield Slot(found["name"], found["kind"] or "str", _pool(route[: found.start()]))
        at = found.end()
    if at < len(route):
        yield route[at:]


def _pool(before: str) -> str:
    """Routes name one thing by one beginning: `builds/<slug:code>/` and `b/<slug:code>/` differ."""
    return A_CONVERTER.sub("*", before)
