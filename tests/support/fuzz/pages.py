"""Forms, and addresses, as they stand in a page of ours."""

import json
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

LINKS = {"a": "href", "img": "src", "object": "data", "iframe": "src"}
BESIDE = ("hx-get", "data-href", "data-ticks", "data-acts", "data-address")
SENDS = {"submit", "image"}


@dataclass(frozen=True, slots=True)
class Field:
    """``options``: what a select, or radio buttons and boxes of one name, offer."""

    name: str
    kind: str
    value: str = ""
    options: tuple[str, ...] = ()
    is_required: bool = False
    is_multiple: bool = False
    is_chosen: bool = True
    least: str = ""
    most: str = ""


@dataclass(frozen=True, slots=True)
class Form:
    """``buttons``: name and value of each that sends it as it is."""

    path: str
    query: str
    method: str
    fields: tuple[Field, ...]
    is_multipart: bool = False
    buttons: tuple[tuple[str, str], ...] = ()


@dataclass
class Page:
    forms: list[Form] = field(default_factory=list)
    links: list[str] = field(default_factory=list)


@dataclass
class _Draft:
    action: str
    method: str
    is_multipart: bool
    fields: list[Field] = field(default_factory=list)
    buttons: list[tuple[str, str]] = field(default_factory=list)
    others: list[tuple[str, str, str, str]] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self, at: str) -> None:
        super().__init__(convert_charrefs=True)
        self.at = at
        self.page = Page()
        self.named: dict[str, _Draft] = {}
        self.drafts: list[_Draft] = []
        self.open: _Draft | None = None
        self.select: dict[str, str] | None = None
        self.select_options: list[str] = []
        self.select_value = ""
        self.area: dict[str, str] | None = None
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        of = {name: value or "" for name, value in attrs}
        self._links(tag, of)
        match tag:
            case "form":
                self._form(of)
            case "input":
                self._input(of)
            case "button":
                self._button(of)
            case "select":
                self.select, self.select_options, self.select_value = of, [], ""
            case "option" if self.select is not None:
                self.select_options.append(of.get("value", ""))
                if "selected" in of:
                    self.select_value = of.get("value", "")
            case "textarea":
                self.area, self.text = of, ""
        if "hx-post" in of and tag not in ("form", "button"):
            self._alone(of)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        elif tag == "select" and self.select is not None:
            options = tuple(self.select_options)
            value = self.select_value or (options[0] if options else "")
            self._add(self.select, "select", value, options)
            self.select = None
        elif tag == "textarea" and self.area is not None:
            self._add(self.area, "textarea", self.text.strip("\n"))
            self.area = None

    def handle_data(self, data: str) -> None:
        if self.area is not None:
            self.text += data

    def _links(self, tag: str, of: dict[str, str]) -> None:
        for name in (LINKS.get(tag, ""), *BESIDE):
            if of.get(name) and not of[name].startswith(("#", "data:", "blob:")):
                self.page.links.append(urljoin(self.at, of[name]))

    def _form(self, of: dict[str, str]) -> None:
        method = "post" if "hx-post" in of else of.get("method", "get").lower()
        action = of.get("hx-post") or of.get("action") or self.at
        self.open = _Draft(action, method, of.get("enctype") == "multipart/form-data")
        self.drafts.append(self.open)
        if "id" in of:
            self.named[of["id"]] = self.open

    def _of(self, of: dict[str, str]) -> _Draft | None:
        return self.named.get(of["form"]) if "form" in of else self.open

    def _input(self, of: dict[str, str]) -> None:
        kind = of.get("type", "text")
        if kind in SENDS:
            self._button(of)
        else:
            self._add(of, kind, of.get("value", "on" if kind in ("checkbox", "radio") else ""))

    def _add(
        self, of: dict[str, str], kind: str, value: str, options: tuple[str, ...] = ()
    ) -> None:
        draft = self._of(of)
        if draft is None or not of.get("name"):
            return
        draft.fields.append(
            Field(
                of["name"],
                kind,
                value,
                options or ((value,) if kind in ("checkbox", "radio") else ()),
                "required" in of,
                "multiple" in of,
                kind not in ("checkbox", "radio") or "checked" in of,
                of.get("min", ""),
                of.get("max", ""),
            )
        )

    def _button(self, of: dict[str, str]) -> None:
        draft = self._of(of)
        if draft is None:
            if "hx-post" in of:
                self._alone(of)
            return
        if of.get("type", "submit") not in SENDS:
            return
        name, value = of.get("name", ""), of.get("value", "")
        other = of.get("hx-post") or of.get("formaction") or ""
        if other or of.get("formmethod"):
            method = "post" if "hx-post" in of else of.get("formmethod", draft.method)
            draft.others.append((other or draft.action, method, name, value))
        else:
            draft.buttons.append((name, value))

    def _alone(self, of: dict[str, str]) -> None:
        """What htmx sends from something that is in no form."""
        said = json.loads(of["hx-vals"]) if of.get("hx-vals", "").startswith("{") else {}
        draft = _Draft(of["hx-post"], "post", False)
        draft.fields = [Field(name, "hidden", str(value)) for name, value in said.items()]
        if of.get("name"):
            draft.fields.append(Field(of["name"], "hidden", of.get("value", "")))
        self.drafts.append(draft)


def read(body: str, at: str) -> Page:
    """The forms and links of a page at this address."""
    reader = _Reader(at)
    reader.feed(body)
    page = reader.page
    for draft in reader.drafts:
        page.forms.append(_form(draft, at, draft.action, draft.method, tuple(draft.buttons)))
        for action, method, name, value in draft.others:
            page.forms.append(_form(draft, at, action, method, ((name, value),)))
    return page


def _form(
    draft: _Draft, at: str, action: str, method: str, buttons: tuple[tuple[str, str], ...]
) -> Form:
    where = urlsplit(urljoin(at, action))
    return Form(
        where.path, where.query, method.lower(), tuple(draft.fields), draft.is_multipart, buttons
    )
