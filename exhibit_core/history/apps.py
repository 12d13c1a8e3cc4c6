from django.apps import AppConfig


class HistoryConfig(AppConfig):
    name = "exhibit_core.history"
