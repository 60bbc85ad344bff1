"""The sheet to print: one file of HTML that needs nothing else."""
