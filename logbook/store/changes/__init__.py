"""What commands changed: a journal kept by triggers, taking changes back, and versions for merging."""
