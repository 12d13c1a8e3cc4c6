from importlib import import_module

from django.apps import AppConfig


class ExchangeConfig(AppConfig):
    name = "exhibit_core.exchange"

    def ready(self) -> None:
        import_module("exhibit_core.exchange.applying")  # registers both kinds of its jobs
