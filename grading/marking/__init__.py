"""Marking: entering records, the examiner's page with suggestions, awards, overriding with a reason."""
