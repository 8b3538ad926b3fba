"""Kinds of life: how the numbers of an organism become rows and flows. The tables are described in
`organisms.py`.
"""
