"""Printed sheets: a record of sentences, a typst file that lays them out, and the press between them."""
