from importlib import import_module

from django.apps import AppConfig

from exhibit_core.web import navigation


class ExchangeConfig(AppConfig):
    name = "exhibit_core.exchange"

    def ready(self) -> None:
        import_module("exhibit_core.exchange.applying")  # registers what previews and applies
        navigation.add(order=35, label="Import and export", url_name="exchange:index")
