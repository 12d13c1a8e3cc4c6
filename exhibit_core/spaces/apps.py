from django.apps import AppConfig

from exhibit_core.web import navigation


class SpacesConfig(AppConfig):
    name = "exhibit_core.spaces"

    def ready(self) -> None:
        navigation.add(order=30, label="Rooms", url_name="spaces:index")
