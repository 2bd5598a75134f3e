"""Proofs by weight of numbers: hostile files, and crashes at every moment. Run by hand; a small part runs with the tests."""
