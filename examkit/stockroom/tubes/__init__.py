"""Tubes filled and weighed: tolerance, progress, and which sample came from which bottle."""
