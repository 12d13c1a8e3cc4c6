from django.apps import AppConfig

from exhibit_core.web import navigation


class ExhibitionsConfig(AppConfig):
    name = "exhibit_core.exhibitions"

    def ready(self) -> None:
        from exhibit_core.exhibitions.panels import listed_in
        from exhibit_core.register import panels

        panels.add(order=10, panel=listed_in)
        navigation.add(order=10, label="Exhibitions", url_name="exhibitions:index")
