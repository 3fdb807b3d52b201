"""The keys of one run of the pages: who may open them, and which forms are the program's own.

Two start keys open the pages. The one printed in the terminal works until the run ends, so that a second browser can be
let in. The one handed to the browser on its command line, where other people of the same machine might read it, works
once. Either is exchanged at once for a cookie. Cookies are not told apart by port, so the cookie's name holds the port:
two books open at a time do not close each other.
"""

import hashlib
import hmac
import secrets
from threading import Lock

#: Bytes of chance behind each key.
_CHANCE = 32


class Keys:
    """The start keys, the cookie and the form key of one run.

    Args:
        token: the printed start key; made by chance when not given.
    """

    def __init__(self, token: str | None = None) -> None:
        self.token = token if token is not None else secrets.token_urlsafe(_CHANCE)
        self.session = secrets.token_urlsafe(_CHANCE)
        self.form_key = hmac.new(self.session.encode(), b"form", hashlib.sha256).hexdigest()
        self._once: set[str] = set()
        self._lock = Lock()

    def mint_once(self) -> str:
        """A start key that opens the pages one time."""
        key = secrets.token_urlsafe(_CHANCE)
        with self._lock:
            self._once.add(key)
        return key

    def opens(self, start: str) -> bool:
        """Whether a start key opens the pages; a once-key is used up by asking."""
        if same(start, self.token):
            return True
        with self._lock:
            used = [key for key in self._once if same(start, key)]
            self._once.difference_update(used)
        return bool(used)

    def knows(self, cookie: str) -> bool:
        """Whether a cookie is the one handed out in this run."""
        return same(cookie, self.session)

    def owns_form(self, given: str) -> bool:
        """Whether a form carries the key that this run writes into its forms."""
        return same(given, self.form_key)


def same(one: str, other: str) -> bool:
    """Compare two secrets in a time that does not tell where they differ."""
    return hmac.compare_digest(one.encode(), other.encode())


def cookie_name(authority: str) -> str:
    """The cookie's name for an address such as `127.0.0.1:8765`."""
    return "ninefine_" + authority.rpartition(":")[2]
