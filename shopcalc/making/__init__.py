"""Making the table: bench cards for its joints and the welding sheet."""
