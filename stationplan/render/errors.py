"""What can go wrong while showing a plan.

RenderError
└── MissingLibraryError  a format needs a library that is not installed
"""


class RenderError(Exception):
    """Anything the render layer raises on purpose."""


class MissingLibraryError(RenderError):
    """A format needs a library that is not installed.

    Args:
        library: its name.
        extra: the extra of stationplan that brings it.
    """

    def __init__(self, library: str, extra: str) -> None:
        super().__init__(f"this needs {library}, which is not installed: pip install 'stationplan[{extra}]'")
