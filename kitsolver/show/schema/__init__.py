"""The types of all results, from which their JSON Schemas and the API are made."""
