#!/usr/bin/env python
"""Run Evenhang's commands."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "exhibit_core.settings")
    if sys.argv[1:2] == ["demo"]:
        os.environ.setdefault("EVENHANG_MODE", "demo")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
