from django.apps import AppConfig


class HangsConfig(AppConfig):
    name = "exhibit_core.hangs"
