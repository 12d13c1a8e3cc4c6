from django.apps import AppConfig

from exhibit_core.web import navigation


class ExhibitionsConfig(AppConfig):
    name = "exhibit_core.exhibitions"

    def ready(self) -> None:
        navigation.add(order=10, label="Exhibitions", url_name="exhibitions:index")
