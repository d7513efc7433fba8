"""Moderation: second marking, settling differences, release, results as page, CSV and XLSX."""
