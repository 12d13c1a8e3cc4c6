from django.apps import AppConfig


class HangsConfig(AppConfig):
    name = "exhibit_core.hangs"

    def ready(self) -> None:
        # Importing registers what they handle and what they undo.
        from exhibit_core.hangs import actions, jobs  # noqa: F401
