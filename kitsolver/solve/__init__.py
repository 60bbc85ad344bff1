"""From a catalogue and a brief to the proven best kit."""
