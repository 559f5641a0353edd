"""What a part can still become when one of its sizes has gone too far, or cannot be cut any more."""
