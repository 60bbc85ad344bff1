"""The form in which a brief is asked for: sentences with blanks to fill in."""
