"""What the shop does with wood: how it moves, how it is pulled flat, glued up, inlaid and finished."""
