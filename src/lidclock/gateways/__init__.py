"""Everything outside the process: printers so far."""
