from django.apps import AppConfig

from exhibit_core.web import navigation


class AccountsConfig(AppConfig):
    name = "exhibit_core.accounts"

    def ready(self) -> None:
        navigation.add(order=50, label="People", url_name="accounts:people")
