"""Addresses of faults and of looking over."""

from django.urls import path

from habitats.faults.views import faults, looking_over

urlpatterns = [
    path("enclosures/<slug:code>/check/", looking_over.check_enclosure, name="check_enclosure"),
    path("enclosures/<slug:code>/fault/", faults.report_fault, name="report_fault"),
    path("faults/", faults.faults, name="faults"),
    path("faults/<int:pk>/", faults.fault, name="fault"),
    path("faults/<int:pk>/photo/", faults.fault_photo, name="fault_photo"),
]
