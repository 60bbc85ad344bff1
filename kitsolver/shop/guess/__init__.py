"""Drafts the map of a source: what each of its columns means, guessed and explained."""
