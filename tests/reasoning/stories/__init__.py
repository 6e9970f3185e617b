"""Stories: certificates and the exact words expected for them; ``book`` reads and refreshes them."""
