"""The day of the exam: who is there, second samples, incidents, colours named, time given back."""
