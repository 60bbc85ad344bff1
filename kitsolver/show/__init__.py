"""An outcome for people and programs."""
