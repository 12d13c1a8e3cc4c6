from django.apps import AppConfig


class ExchangeConfig(AppConfig):
    name = "exhibit_core.exchange"
