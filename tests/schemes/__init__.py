"""Mark schemes in the browser."""
