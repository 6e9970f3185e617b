"""Stories: a certificate and the exact words expected for it, in Markdown; ``book`` reads and refreshes them."""
