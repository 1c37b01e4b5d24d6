"""What the pages show that people read: cells and sentences, told of a study; nothing is decided here."""
