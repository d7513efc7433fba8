"""What a centre has of its own: services, pages, who sees it."""
