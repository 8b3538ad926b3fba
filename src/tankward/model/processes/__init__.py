"""What happens in the water, one file each: the body is written once, for one draw or for all of them at
once.
"""
