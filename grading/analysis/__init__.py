"""Pure sums over marks: spread, comparison of groups. No Django, no database; numbers in, numbers out."""
