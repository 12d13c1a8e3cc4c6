"""Where every address leads."""

from django.urls import include, path

urlpatterns = [
    path("", include("exhibit_core.exhibitions.urls")),
    path("", include("exhibit_core.accounts.urls")),
    path("", include("exhibit_core.web.urls")),
    path("register/", include("exhibit_core.register.urls")),
    path("rooms/", include("exhibit_core.spaces.urls")),
    path("hangs/", include("exhibit_core.hangs.urls")),
    path("exchange/", include("exhibit_core.exchange.urls")),
    path("history/", include("exhibit_core.history.urls")),
    path("jobs/", include("exhibit_core.jobs.urls")),
]
