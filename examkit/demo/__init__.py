"""The demo: an invented school with one exam, built through the same services that the pages use."""
