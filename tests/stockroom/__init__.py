"""The stock room: sums, shelf, ticks, pages."""
