app_name = "exhibitions"

urlpatterns: list = []
