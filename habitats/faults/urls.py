"""Addresses of faults and safety checks."""

from django.urls import path

from habitats.faults.views import faults, safety_checks

urlpatterns = [
    path("enclosures/<slug:code>/check/", safety_checks.check_enclosure, name="check_enclosure"),
    path("enclosures/<slug:code>/fault/", faults.report_fault, name="report_fault"),
    path("faults/", faults.faults, name="faults"),
    path("faults/<int:pk>/", faults.fault, name="fault"),
    path("faults/<int:pk>/seen/", faults.see_mended_fault, name="see_mended"),
    path("faults/<int:pk>/photo/", faults.fault_photo, name="fault_photo"),
]
