"""Square codes for phones (QR, ISO/IEC 18004), drawn as SVG in black."""

import io


def qr_svg(text: str) -> str:
    """A code that says some text, error correction M (about 15% may be lost), with its quiet border."""
    import segno  # noqa: PLC0415 - only papers with codes need it

    held = io.BytesIO()
    segno.make_qr(text, error="m").save(held, kind="svg", xmldecl=False, border=4, dark="#000", omitsize=True)
    return held.getvalue().decode("utf-8")
