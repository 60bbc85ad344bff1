"""The local web page, and the same as an API."""
