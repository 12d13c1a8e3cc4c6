from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "exhibit_core.web"
