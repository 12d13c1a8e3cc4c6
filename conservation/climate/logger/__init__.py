"""Exports of climate loggers: readings, what was assumed about them, and what has to be asked."""

from conservation.climate.logger.asking import (
    Assumption,
    FileRefusedError,
    LoggerOptions,
    LoggerRecord,
    Question,
    QuestionError,
)
from conservation.climate.logger.clock import local_to_utc
from conservation.climate.logger.reading import read_logger

__all__ = [
    "Assumption",
    "FileRefusedError",
    "LoggerOptions",
    "LoggerRecord",
    "Question",
    "QuestionError",
    "local_to_utc",
    "read_logger",
]
