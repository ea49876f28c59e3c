"""Long work in parts that any executor can do: this machine's processes (pool.py) or a cluster's (cluster.py)."""
