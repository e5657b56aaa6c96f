"""Two at once: a form is taken only while what its page showed still holds.

A view that changes something says what its form is based on::

    @require_http_methods(["GET", "POST"])
    @based_on(row_of(Home), of_form(HomeForm))
    def edit_home(request, code):
        ...
        if accepted(request, form):

and its form carries ``{% basis %}`` beside the token against forged forms; a form that stands on
another page, ``{% basis "edit_home" home %}``. What is sent late is refused: the page comes again
with all that was typed, and says what has changed, by whom and when (``_changed.html``). It then
carries what is so now, and sending it once more goes on. A button alone, with nothing typed, calls
``refuse_if_changed`` and gets a page that says so. The very same form sent twice by one person is
answered as it was the first time, and done once.

Without a token nothing is compared: so a page that was opened before still works.
"""

import hashlib
import json
from collections.abc import Callable, Sequence
from contextlib import nullcontext
from datetime import datetime
from functools import cached_property, wraps
from typing import Any, NamedTuple

from django import forms
from django.db import models, transaction
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme

from habitats.basis import Fact, changed_since, marks_in, token_of
from habitats.common.facts import fields_of
from habitats.common.written import given, written
from habitats.people.models.last_changes import LastChange
from habitats.people.models.people import Person

FOUND, CONFLICT = 302, 409
TOKEN = "csrfmiddlewaretoken"  # nosec B105 # the name of a field
Find = Callable[..., Any]
FactsOf = Callable[[Any], Sequence[Fact]]
View = Callable[..., HttpResponse]


class ChangedMeanwhile(Exception):
    """A button was pressed on a page that is no longer true; nothing was done."""


class SentBefore(Exception):
    """The same form of the same person was taken already; ``answer`` is where it led to."""

    def __init__(self, answer: str) -> None:
        super().__init__(answer)
        self.answer = answer


class ChangedFact(NamedTuple):
    """A fact as it is now. ``by`` is empty and ``at`` None where nobody knows."""

    label: str
    words: str
    by: str
    at: datetime | None


class Basis:
    """What one request's form is based on."""

    def __init__(self, request: HttpRequest, facts: Callable[[], Sequence[Fact]]) -> None:
        self._facts, self._request = facts, request
        self.back = _came_from(request)
        self.sent: str = request.POST.get("basis", "") if request.method == "POST" else ""

    @cached_property
    def facts(self) -> Sequence[Fact]:
        """As they are before the view does anything."""
        return self._facts()

    @property
    def token(self) -> str:
        return token_of(self.facts)

    @cached_property
    def changed(self) -> list[Fact]:
        """On a page that is only opened, none."""
        if self._request.method != "POST":
            return []
        try:
            return changed_since(self.sent, self.facts)
        except Http404:  # what it was about is gone, and the view says so
            return []

    @property
    def is_refused(self) -> bool:
        """Asked by a page: one that was sent and is shown again was not done."""
        return bool(self.changed)

    @property
    def changes(self) -> list[ChangedFact]:
        """What to tell of the changed facts."""
        return [self._changed_fact(fact, self._behind.get(fact.mark)) for fact in self.changed]

    @cached_property
    def _behind(self) -> dict[str, LastChange]:
        return LastChange.objects.behind(self.changed)

    def refuse_a_repeat(self) -> None:
        """Raise ``SentBefore`` where all that has changed was changed by this very form."""
        last = list(self._behind.values())
        letter = letter_of(self._request)
        if len(last) == len(self.changed) and {one.letter for one in last} == {letter}:
            raise SentBefore(last[0].answer)

    def _changed_fact(self, fact: Fact, last: LastChange | None) -> ChangedFact:
        if last is None:
            return ChangedFact(fact.label, fact.words, "", None)
        return ChangedFact(fact.label, fact.words, self._name(last.made_by), last.made_at)

    def _name(self, person: Person) -> str:
        """In full for coordinators; a first name is enough for others."""
        return person.name_for(self._request.user)

    def remember(self, by: Person, answer: str) -> None:
        """Say who made the facts what they are now, of those that were asked for and differ."""
        if "facts" not in vars(self):
            return
        before = {fact.mark for fact in self.facts}
        try:
            after = self._facts()
        except Http404:  # what it was about is gone
            return
        changed = [one for one in after if one.mark not in before]
        letter = letter_of(self._request)
        LastChange.objects.remember(changed, by=by, letter=letter, answer=answer)


def letter_of(request: HttpRequest) -> str:
    """The same for the same form, sent again by the same person."""
    fields = {name: request.POST.getlist(name) for name in request.POST if name != TOKEN}
    files = [(name, str(one), len(one)) for name, one in request.FILES.items()]
    told = json.dumps([request.user.pk, request.path, fields, files], sort_keys=True)
    return hashlib.sha256(told.encode()).hexdigest()


def row_of(model: type[models.Model], field: str = "code") -> Find:
    """Finds the row that an address names: ``row_of(Home)``, ``row_of(Item, "pk")``."""

    if field not in ("code", "label"):
        return lambda _request, **named: get_object_or_404(model, **{field: named[field]})
    of_code = written(lambda: model._default_manager.filter(**{field: given("code", str)}))

    def find(_request: HttpRequest, **named: Any) -> models.Model:
        found = of_code.first(code=named[field].upper())
        if found is None:
            raise Http404(f"There is no such {model._meta.verbose_name}.")
        return found

    return find


def of_form(form: type[forms.ModelForm]) -> FactsOf:
    """The fields of the row that the form edits, neither more nor fewer."""
    names = form._meta.fields
    assert isinstance(names, (list, tuple))
    labels = {name: field.label for name, field in form.base_fields.items()}
    return lambda row: fields_of(row, names, labels)


def based_on(
    find: Find,
    facts_of: FactsOf,
    *,
    is_long: bool = False,
) -> Callable[[View], View]:
    """For a view that changes something: what its form is based on, and that it is done alone.

    ``find(request, **kwargs)`` gives what the address is about, ``facts_of`` what is shown of it.
    ``is_long``: it is worked out too long to keep others from writing meanwhile, and what it
    calls looks again under its own lock.
    """

    def wrap(view: View) -> View:
        @wraps(view)
        def checked(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            basis = Basis(request, lambda: facts_of(find(request, **kwargs)))
            vars(request).update(basis=basis)
            if request.method != "POST":
                return view(request, *args, **kwargs)
            try:
                with nullcontext() if is_long else transaction.atomic():
                    if not is_long:
                        _take_turns(find, request, kwargs)
                    answer = view(request, *args, **kwargs)
                    if answer.status_code == FOUND and isinstance(request.user, Person):
                        basis.remember(request.user, answer["Location"])
            except SentBefore as before:
                return redirect(before.answer)
            except ChangedMeanwhile:
                return render(request, "changed_meanwhile.html", status=CONFLICT)
            return answer

        vars(checked)["facts_of"] = facts_of
        return checked

    return wrap


def accepted(request: HttpRequest, form: forms.BaseForm) -> bool:
    """Whether a form was sent, is without fault, and what it was based on still holds.

    If that has changed, the form keeps what was typed, and shows what was not touched as it is now.
    """
    if request.method != "POST" or not form.is_valid():
        return False
    basis: Basis | None = vars(request).get("basis")
    if basis is None or not basis.changed:
        return True
    basis.refuse_a_repeat()
    _take_over(form, basis)
    return False


def refuse_if_changed(request: HttpRequest) -> None:
    """For a button alone. Raises ``ChangedMeanwhile``, which ``based_on`` answers."""
    basis: Basis | None = vars(request).get("basis")
    if basis is not None and basis.changed:
        basis.refuse_a_repeat()
        raise ChangedMeanwhile


def _take_turns(find: Find, request: HttpRequest, kwargs: dict[str, Any]) -> None:
    """Two who change the same wait for each other here (SQLite: since the transaction began)."""
    try:
        subject = find(request, **kwargs)
    except Http404:  # the view says so, to whom it may
        return
    rows = subject if isinstance(subject, tuple) else (subject,)
    there = [one for one in rows if isinstance(one, models.Model) and one.pk is not None]
    # Always in the same order, so that two forms about the same rows never wait in a circle.
    for row in sorted(there, key=lambda one: (one._meta.label, one.pk)):
        found = type(row)._default_manager.filter(pk=row.pk)
        list(found.select_for_update(no_key=True).order_by("pk").values("pk"))


def _take_over(form: forms.BaseForm, basis: Basis) -> None:
    """Fields that were not touched show what is so now: sent once more, they undo nothing."""
    marks = marks_in(basis.sent)
    for fact in basis.changed:
        field = form.fields.get(fact.name)
        if field is None or fact.name not in form.cleaned_data:
            continue
        given = form.cleaned_data[fact.name]
        given = given.pk if isinstance(given, models.Model) else given
        if fact.with_value(given).mark in marks:
            _show(form, fact.name, field.prepare_value(form.initial.get(fact.name)))


def _show(form: forms.BaseForm, name: str, value: Any) -> None:
    data, key = QueryDict(mutable=True), form.add_prefix(name)
    data.update(form.data)
    data.pop(key, None)
    if value is not None and value is not False:
        data[key] = "on" if value is True else str(value)
    form.data = data


def _came_from(request: HttpRequest) -> str:
    """The page with the button, to look at it again; the first page if it is not told."""
    address = request.META.get("HTTP_REFERER", "")
    is_ours = url_has_allowed_host_and_scheme(address, {request.get_host()})
    return address if is_ours else "/"
