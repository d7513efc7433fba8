"""Release, results and exports."""
