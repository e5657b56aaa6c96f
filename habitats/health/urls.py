"""Addresses of the health log."""

from django.urls import path

from habitats.health.views import checks, doses, log, printing, treatments

OF_ANIMAL = "animals/<slug:code>/health/"
OF_DOSE = f"{OF_ANIMAL}treatments/<int:pk>/<slug:dose>/"

urlpatterns = [
    path("health/checks/", checks.routine_checks, name="routine_checks"),
    path(OF_ANIMAL, log.health_log, name="health_log"),
    path(f"{OF_ANIMAL}print.pdf", printing.health_log_pdf, name="health_log_pdf"),
    path(f"{OF_ANIMAL}new/", log.new_health_entry, name="new_health_entry"),
    path(f"{OF_ANIMAL}report/", log.report_animal, name="report_animal"),
    path(f"{OF_ANIMAL}<int:pk>/correct/", log.correct_health_entry, name="correct_health_entry"),
    path(f"{OF_ANIMAL}treatments/new/", treatments.new_treatment, name="new_treatment"),
    path(f"{OF_ANIMAL}treatments/<int:pk>/", treatments.treatment, name="treatment"),
    path(f"{OF_ANIMAL}treatments/<int:pk>/stop/", treatments.stop_treatment, name="stop_treatment"),
    path(f"{OF_DOSE}given/", doses.give_dose, name="give_dose"),
    path(OF_DOSE, doses.record_dose, name="record_dose"),
]
