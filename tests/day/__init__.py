"""The day: notes, rooms that update, pages on a phone."""
