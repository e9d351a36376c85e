"""The table: its job file, geometry, loads, members, pieces and stability."""
