"""Pages that look things up in the knowledge base; nothing of any exam stands on them."""
