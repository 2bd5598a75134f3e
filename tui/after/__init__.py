"""The after screen: what finished pours still ask for - cure and openings, checks, change orders, visits - under both calls."""
