"""What is stored for marking: records as written, and awards with their reasons."""

from grading.models.award import Award
from grading.models.record import Record, RecordLine

__all__ = ["Award", "Record", "RecordLine"]
