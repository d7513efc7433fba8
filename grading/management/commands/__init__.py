"""`mark`: a record from a file, marked and explained."""
