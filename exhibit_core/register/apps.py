from django.apps import AppConfig

from exhibit_core.web import navigation


class RegisterConfig(AppConfig):
    name = "exhibit_core.register"

    def ready(self) -> None:
        navigation.add(order=20, label="Register", url_name="register:index")
