from django.apps import AppConfig

from exhibit_core.web import navigation


class JobsConfig(AppConfig):
    name = "exhibit_core.jobs"

    def ready(self) -> None:
        navigation.add(order=40, label="Long work", url_name="jobs:index")
