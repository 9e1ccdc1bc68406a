"""Many independent pieces of work on all cores of this machine, or on the workers of a Dask cluster.

``in_order(task, items)`` gives the answers in the order of the items, whoever did the work and when.
"""

from proveout.spread.order import Lost, in_order
from proveout.spread.processes import cores

__all__ = ["Lost", "cores", "in_order"]
