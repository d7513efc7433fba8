"""More ways in: the bench page, outcomes chosen from lists, files."""
