"""Address of the printed leaflets."""

from django.urls import path

from builds.leaflets import views

urlpatterns = [path("help/<slug:role>.pdf", views.leaflet_pdf, name="leaflet_pdf")]
