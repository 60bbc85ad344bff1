"""Computes the plan for a class: what is bought, cut and handed out, and how long it takes."""
