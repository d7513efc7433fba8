"""What a centre has of its own over the shipped knowledge base: entries, their checks, pages."""
