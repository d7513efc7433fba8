"""The house: sign-in and sign-out, each role's first page, the audit trail's page, error pages."""
