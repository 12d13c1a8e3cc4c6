"""Take files in without ever holding more of one than the limit allows."""

from typing import Any

from django.conf import settings
from django.core.files.uploadhandler import FileUploadHandler, SkipFile


class LimitedUpload(FileUploadHandler):
    """Let the rest of a file that is too large go by unread; `too_large` then says its size."""

    def __init__(self, request: Any) -> None:
        super().__init__(request)
        self.too_large = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        if start + len(raw_data) > settings.IMPORT_MAX_BYTES:
            self.too_large = int(self.request.META.get("CONTENT_LENGTH") or 0)
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> None:
        return None
