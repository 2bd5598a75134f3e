"""Forms filled in by keys: a job of one's own, a mix card from a bag's label."""
