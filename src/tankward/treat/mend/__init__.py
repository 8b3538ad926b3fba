"""What mends a slip: how much to put back, when the late dose comes, who goes where, how warmth returns."""
