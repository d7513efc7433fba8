"""Printing: documents, PDFs read back, print runs."""
