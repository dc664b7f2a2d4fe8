"""Orders to quantities, batches and the scheduling problem."""

from stationplan.network.build import build
from stationplan.network.errors import BatchError, FlowError, NetworkError, QuantityError, StaffError
from stationplan.network.network import Network

__all__ = ["BatchError", "FlowError", "Network", "NetworkError", "QuantityError", "StaffError", "build"]
