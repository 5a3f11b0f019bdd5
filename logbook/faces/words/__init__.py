"""The words that people read, for pages, sheet, brief and command line alike."""
