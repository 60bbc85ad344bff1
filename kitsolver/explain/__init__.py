"""Questions to the proven best kit: built on solve, never the reverse."""
