"""Floor 9: the local web app. Parses at the border, asks the desk, shows."""
