"""From a catalogue and a brief to candidates: what can be in no best kit is left out."""
