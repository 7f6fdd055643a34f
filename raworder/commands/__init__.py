"""Commands: the words typed after `raworder`, each read, worked out by the folders below, and printed or written."""
