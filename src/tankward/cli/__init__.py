"""Floor 9: the command line. Parses at the border, asks the desk, prints."""
