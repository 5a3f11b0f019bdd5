"""The light of a day, of a place and of a frame, for whoever asks."""
