"""What is stored for marking: records as written, awards with their reasons, consents to a release."""

from grading.models.approval import Approval
from grading.models.award import Award
from grading.models.record import Record, RecordLine

__all__ = ["Approval", "Award", "Record", "RecordLine"]
