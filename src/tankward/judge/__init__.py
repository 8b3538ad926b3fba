"""Floor 4: what the state of a tank means for those who live in it. Decisions are data; only the faces make
sentences.
"""
