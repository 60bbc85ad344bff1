"""Several kits from one stock."""
