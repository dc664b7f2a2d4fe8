"""Production plans for pastry kitchens: from orders to the shortest plan across ovens, mixers, cold room and people."""

__version__ = "0.1.0"
