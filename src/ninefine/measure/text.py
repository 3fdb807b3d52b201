"""What a text can hold that is typed or read."""


def unfit(text: str) -> str:
    """What keeps a text from being taken, as a sentence; empty where nothing does.

    Control characters are never seen, so nobody means them: kept, they would break a paper or steer a terminal. Line
    ends and tabs are taken.
    """
    if text.isprintable():
        return ""
    for one in text:
        if "\ud800" <= one <= "\udfff":
            return "This is not text in UTF-8. Type it again, or save it as UTF-8."
        if (one < " " and one not in "\n\r\t") or "\x7f" <= one <= "\x9f":
            return f"There is a control character in this (code {ord(one)}). Type it again without."
    return ""
