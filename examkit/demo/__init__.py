"""The demo: an invented school with its exams, built through the same services that the pages use."""
