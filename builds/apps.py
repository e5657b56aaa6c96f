from django.apps import AppConfig


class BuildsConfig(AppConfig):
    name = "builds"
    verbose_name = "Builds"
