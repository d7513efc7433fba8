"""Moderation: records to read by sample code, release by two people, results as page, CSV and XLSX."""
