"""What a message complains of or denies: phrases and frames, what is over, what words are about."""
