"""Addresses of traces of a suspected infection."""

from django.urls import path

from habitats.traces import views

urlpatterns = [
    path("traces/", views.traces, name="traces"),
    path("traces/new/", views.new_trace, name="new_trace"),
    path("traces/<slug:code>/", views.trace, name="trace"),
    path("traces/<slug:code>.pdf", views.trace_pdf, name="trace_pdf"),
    path("traces/<slug:code>/tick/", views.tick_trace, name="tick_trace"),
    path("traces/<slug:code>/set-aside/", views.set_aside_linens, name="set_aside_linens"),
    path("traces/<slug:code>/close/", views.close_trace, name="close_trace"),
    path("traces/<slug:code>/reopen/", views.reopen_trace, name="reopen_trace"),
]
