"""The people of the rescue: who may log in, and as what."""

from axes.utils import reset as let_try_again
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from habitats.access import coordinator_or_403
from habitats.forms.people import NewPasswordForm, NewPersonForm, PersonForm
from habitats.models import Person
from habitats.views.sent import form_page, sent_with


@require_GET
def people(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    everybody = Person.objects.order_by("-is_active", "first_name", "username", "pk")
    return render(request, "people/people.html", {"people": everybody})


@require_http_methods(["GET", "POST"])
def new_person(request: HttpRequest) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    form = NewPersonForm(sent_with(request), asked_by=coordinator)
    if request.method == "POST" and form.is_valid():
        person = form.save()
        messages.success(request, f"{person} can log in now.")
        return redirect("people")
    return form_page(request, "people/new_person.html", form=form)


@require_http_methods(["GET", "POST"])
def person(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk)
    name = str(person)  # the form writes into the person, also what it then refuses
    form = PersonForm(sent_with(request), instance=person, asked_by=coordinator)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"What you changed about {person} is kept.")
        return redirect("people")
    return form_page(request, "people/person.html", form=form, name=name, pk=pk)


@require_http_methods(["GET", "POST"])
def new_password(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk)
    form = NewPasswordForm(person, sent_with(request))
    if request.method == "POST" and form.is_valid():
        person.set_password(form.cleaned_data["password"])
        person.save(update_fields=["password"])
        let_try_again(username=person.username)
        if person == coordinator:
            update_session_auth_hash(request, person)
        messages.success(request, f"{person} has a new password, and is logged out elsewhere.")
        return redirect("people")
    return form_page(request, "people/new_password.html", form=form, name=str(person), pk=pk)
