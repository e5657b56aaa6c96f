"""The page on which two records of one thing are laid beside each other and made one."""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib import messages
from django.db import models
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common.merging import DOUBLE, KEPT, CannotMerge, ContraryFact
from habitats.common.sent import form_page, sent_with

MOST_OFFERED = 20


@dataclass(frozen=True)
class Merging:
    """What one noun's page knows. ``key``: how addresses name a row; ``offered``: likely doubles;
    ``moved``: what goes with it, in one sentence; ``cautions``: what to think of before."""

    kept: Any
    double: Any | None
    offered: Iterable[models.Model]
    contrary: Callable[[Any, Any], list[ContraryFact]]
    merge: Callable[[Any, Any, Mapping[str, str]], None]
    page: str
    merge_page: str
    key: Callable[[Any], object]
    moved: str
    cautions: Callable[[Any, Any], list[str]] = lambda _kept, _double: []


class MergeForm(forms.Form):
    shown = forms.CharField(widget=forms.HiddenInput)
    is_same = forms.BooleanField(
        label=gettext_lazy("I have checked: they are one and the same. This cannot be undone.")
    )

    def __init__(
        self, *args: Any, facts: Sequence[ContraryFact], keys: tuple[object, object]
    ) -> None:
        super().__init__(*args)
        ours, theirs = keys
        self.initial["shown"] = _mark(facts)
        self.facts = facts
        for one in facts:
            self.fields[one.key] = forms.ChoiceField(
                label=one.label,
                choices=[(KEPT, f"{one.kept} ({ours})"), (DOUBLE, f"{one.double} ({theirs})")],
                widget=forms.RadioSelect,
            )
        self.order_fields([*(one.key for one in facts), "shown", "is_same"])

    def clean_shown(self) -> str:
        shown: str = self.cleaned_data["shown"]
        if shown != _mark(self.facts):
            raise forms.ValidationError(
                _("The records have changed since. Open this page again and choose again.")
            )
        return shown

    @property
    def chosen(self) -> dict[str, str]:
        return {one.key: self.cleaned_data[one.key] for one in self.facts}


def merging_page(request: HttpRequest, one: Merging) -> HttpResponse:
    """Which is the double; then what they tell otherwise; then they are one."""
    if one.double is None:
        form = forms.Form(sent_with(request))
        if form.is_bound:
            form.add_error(None, _("Choose the other record first. It may be merged already."))
        return form_page(request, "merge_choose.html", form=form, merging=one, **_named(one))
    try:
        facts = one.contrary(one.kept, one.double)
    except CannotMerge as cannot:
        messages.error(request, str(cannot))
        return redirect(one.merge_page, one.key(one.kept))
    keys = (one.key(one.kept), one.key(one.double))
    form = MergeForm(sent_with(request), facts=facts, keys=keys)
    if form.is_bound and form.is_valid() and _merged(form, one):
        messages.success(request, _("Two records are one now: %(name)s.") % {"name": one.kept})
        return redirect(one.page, one.key(one.kept))
    cautions = one.cautions(one.kept, one.double)
    return form_page(
        request, "merge.html", form=form, merging=one, cautions=cautions, **_named(one)
    )


def _merged(form: MergeForm, one: Merging) -> bool:
    try:
        one.merge(one.kept, one.double, form.chosen)
    except CannotMerge as cannot:
        one.kept.refresh_from_db()
        form.add_error(None, str(cannot))
        return False
    return True


def _named(one: Merging) -> dict[str, object]:
    return {
        "kept": one.kept,
        "double": one.double,
        "key": one.key(one.kept),
        "double_key": one.key(one.double) if one.double else "",
        "offered": [(row, one.key(row)) for row in one.offered],
    }


def _mark(facts: Sequence[ContraryFact]) -> str:
    """Of what was shown, so that nothing is chosen from what has changed since."""
    told = "\0".join("\0".join(map(str, one)) for one in facts)
    return hashlib.sha256(told.encode()).hexdigest()[:16]
