"""The house: sign-in, first page, audit trail, commands, settings."""
