"""The README's pictures, taken from a fresh demo: `python -m tests.pictures` (in the project's own environment)."""
