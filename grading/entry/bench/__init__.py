"""The bench page: candidates type at the bench, let in by a one-time code; a teacher keeps the door."""
