"""The plan: its document, how it is made and checked, and what explains it."""
