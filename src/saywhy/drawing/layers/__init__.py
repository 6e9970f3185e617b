"""The layers of a board, one file each, in the order in which ink goes on the paper."""
