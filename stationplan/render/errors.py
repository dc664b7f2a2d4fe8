"""What can go wrong while showing a plan."""


class RenderError(Exception):
    """Anything the render layer raises on purpose."""
