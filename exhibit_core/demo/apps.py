from django.apps import AppConfig


class DemoConfig(AppConfig):
    name = "exhibit_core.demo"
