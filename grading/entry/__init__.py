"""More ways in for records: typed at the bench, outcomes chosen from lists, files."""
