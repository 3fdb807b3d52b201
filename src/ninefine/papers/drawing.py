"""Drawing a chart for paper: a Vega-Lite specification to SVG, on this machine alone."""

#: The grammar's version: the newest that the drawing library carries.
VEGA_LITE = "6.4"


def plain_svg(spec: str) -> str:
    """Draw a specification, given as JSON, without any network; its letters are named, not enclosed."""
    import vl_convert  # noqa: PLC0415 - heavy: 80 MB of drawing engine, loaded when the first chart is asked for

    drawn: str = vl_convert.vegalite_to_svg(spec, vl_version=VEGA_LITE, allowed_base_urls=[])
    return drawn
