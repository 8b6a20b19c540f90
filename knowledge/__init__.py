"""What the firm knows about machines: the schema, the loader, structural checks and the packs."""
