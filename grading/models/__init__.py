"""What is stored for marking: records as written, awards with their reasons, second marks beside them,
consents to a release."""

from grading.models.approval import Approval
from grading.models.award import Award
from grading.models.bench import BenchCode, BenchRules
from grading.models.foreseen import Foreseen
from grading.models.record import Record, RecordLine, Way
from grading.models.second import SecondDraw, SecondMark, SecondMarking, SecondRules

__all__ = ["Approval", "Award", "BenchCode", "BenchRules", "Foreseen", "Record", "RecordLine", "SecondDraw",
           "SecondMark", "SecondMarking", "SecondRules", "Way"]
