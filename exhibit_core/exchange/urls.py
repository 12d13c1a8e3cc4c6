from django.urls import path

from exhibit_core.exchange.views import exports, lists

app_name = "exchange"

urlpatterns = [
    path("", lists.index, name="index"),
    path("new/", lists.new, name="new"),
    path("<int:pk>/sheet/", lists.sheet, name="sheet"),
    path("<int:pk>/matching/", lists.matching, name="matching"),
    path("<int:pk>/preview/", lists.preview, name="preview"),
    path("<int:pk>/apply/", lists.apply, name="apply"),
    path("<int:pk>/done/", lists.done, name="done"),
    path("<int:pk>/refused.xlsx", exports.refused, name="refused"),
    path("register.xlsx", exports.register_xlsx, name="register_xlsx"),
    path("register.csv", exports.register_csv, name="register_csv"),
    path("exhibition/<int:pk>/list.xlsx", exports.list_xlsx, name="list_xlsx"),
    path("exhibition/<int:pk>/list.csv", exports.list_csv, name="list_csv"),
]
