"""Addresses of designs and builds."""

from django.urls import URLPattern, URLResolver

app_name = "builds"
urlpatterns: list[URLPattern | URLResolver] = []
