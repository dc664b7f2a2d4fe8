"""What can go wrong in the engine.

EngineError
├── ProblemError   the problem is not well formed
└── ModelError     the solver refused a model (our fault)
"""


class EngineError(Exception):
    """Anything the engine raises on purpose."""


class ProblemError(EngineError):
    """The problem refers to something that does not exist or has impossible numbers."""


class ModelError(EngineError):
    """The solver refused the model, or returned a schedule that fails verification."""
