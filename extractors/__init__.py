"""Words in, mentions out: pure functions over timed words and the vocabulary's tables."""
