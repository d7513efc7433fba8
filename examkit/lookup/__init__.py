"""Pages that look up the chemistry: what a salt shows, what each ion shows in a test."""
