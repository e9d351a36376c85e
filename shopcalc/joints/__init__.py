"""How the pieces are joined. Here so far: fillet welds, and the weld all round the end of a tube."""
