"""How fast sync is, beside two general replicators. Run: python -m tests.benchmarks.sync"""
