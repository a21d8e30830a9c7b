"""From packs and lots through batches to containers, and back again; pure."""
