"""The demo: its exams are what its pages promise."""
