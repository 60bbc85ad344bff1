"""The address of a source: a path or a database, whose text form never shows a password."""

from __future__ import annotations

import re
from os import PathLike, fspath
from urllib.parse import unquote, unquote_plus

HIDDEN = "***"

_SURROGATE = re.compile("[\ud800-\udfff]")
_DRIVE = re.compile(r"[A-Za-z]:[\\/]")
_SCHEME = re.compile(r"[A-Za-z][\w+.-]+:/?")
_USER = re.compile(r"[\w.-]*")
_HOST_AND_PORT = re.compile(r"[^:]*(?::[0-9]{0,5})?(?=[/#?]|$)")
# Bounded repeats: the time to mask a text grows with its length alone.
_IN_WORDS = re.compile(
    r"(?i)((?:pass|pwd|secret|token)\w{0,20}\s{0,9}[=:]\s{0,9})('[^']*'?|\"[^\"]*\"?|\S+)"
)
_IPV6_HOST = re.compile(r"\[[0-9A-Fa-f:.%]*\]")
# A secret this short may occur in any sentence, so sentences that hold it are not shown.
_SHORT = 3


class SourceAddress:
    """Where a source is: the path of a file, or the address of a database.

    ``str``, ``repr`` and format strings give the masked text, so an address can stand in any
    message, file or page. Only what opens the source asks for `as_written`.

    Parameters
    ----------
    written : str, path-like or SourceAddress
        As the user gave it. Behind the first ``#`` stands what is asked for: a sheet of a
        workbook, or a table or query of a database.
    """

    __slots__ = ("_masked", "_written")

    def __init__(self, written: str | PathLike[str] | SourceAddress) -> None:
        text = written.as_written if isinstance(written, SourceAddress) else fspath(written)
        self._written = text
        self._masked = masked(text)

    @property
    def as_written(self) -> str:
        """The text as the user gave it, with the password: never to be shown or kept."""
        return self._written

    @property
    def is_database(self) -> bool:
        """Whether this is the address of a database."""
        return "://" in self._written

    @property
    def location(self) -> str:
        """What stands before the first ``#``, with the password."""
        return self._written.partition("#")[0]

    @property
    def asked(self) -> str:
        """What stands behind the first ``#``, trimmed: a sheet, a table or a query."""
        return self._written.partition("#")[2].strip()

    @property
    def name(self) -> str:
        """The last part of the masked path, as a heading shows it."""
        return re.split(r"[/\\]", self._masked)[-1]

    def scrub(self, message: str) -> str:
        """Return a library's message without this address's secrets.

        It is empty where a secret is so short that it cannot be told from the words.
        """
        for secret in sorted(self._secrets(), key=len, reverse=True):
            if secret in message:
                if len(secret) <= _SHORT:
                    return ""
                message = message.replace(secret, HIDDEN)
        return masked_words(message)

    def _secrets(self) -> set[str]:
        """Return every text that may be a password or a piece of one, raw and decoded."""
        _, _, body = self._written.partition(":")
        found = set[str]()
        if "@" in body:
            user_info = body.rpartition("@")[0].lstrip("/")
            password = user_info.partition(":")[2]
            found |= {password, *re.split(r"[@#:/?]", password)}
        parameters = self.location.partition("?")[2]
        for pair in parameters.split("&"):
            value = pair.partition("=")[2]
            found |= {value, *re.split(r"[;=]", unquote_plus(value))}
        decoded = {decode(text) for text in found for decode in (unquote, unquote_plus)}
        return {text for text in found | decoded if text}

    def __str__(self) -> str:
        return self._masked

    def __format__(self, spec: str) -> str:
        return format(self._masked, spec)

    def __repr__(self) -> str:
        return f"SourceAddress({self._masked!r})"

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SourceAddress) and self._written == other._written

    def __hash__(self) -> int:
        return hash(self._written)


def masked(text: str) -> str:
    r"""Return a path or an address as it may be shown.

    A password is masked wherever an address can hold one, in a mistyped address too, and bytes of
    a path that are no text become escapes such as ``\xff``. What has nothing to hide stays as it
    is. Where it is not certain which part is a password, more is masked rather than less.
    """
    text = _SURROGATE.sub(_escape, text)
    if _DRIVE.match(text):
        return text[:2] + masked_words(text[2:])
    head, body = _parted(text)
    if head.startswith("sqlite") and body.startswith("/"):
        # This kind of address names a file, and has no user.
        body = _without_parameters(body)
    elif "@" in body and (head or ":" in body):
        body = _without_user_info(body)
    elif head and not _HOST_AND_PORT.match(_IPV6_HOST.sub("", body, count=1)):
        # What stands behind the colon is no port, so it may be a password without its host.
        body = f"{body.partition(':')[0]}:{HIDDEN}"
    elif head:
        body = _without_parameters(body)
    return head + masked_words(body)


def _escape(surrogate: re.Match[str]) -> str:
    """Return what a byte of a path that is no text is shown as."""
    code = ord(surrogate[0])
    return f"\\x{code - 0xDC00:02x}" if 0xDC80 <= code <= 0xDCFF else f"\\u{code:04x}"


def _parted(text: str) -> tuple[str, str]:
    """Return the scheme of an address, which may be misspelt or missing, and the rest."""
    if "://" in text:
        scheme, sign, body = text.partition("://")
        return scheme + sign, body
    scheme_found = _SCHEME.match(text)
    if not scheme_found or ("@" in text and not scheme_found[0].endswith("/")):
        return "", text
    return scheme_found[0], text[scheme_found.end() :]


def _without_user_info(body: str) -> str:
    """Return an address with its user and ``***`` for the password.

    A password may hold an unquoted ``@``, so it ends at the last one.
    """
    user_info, _, rest = body.rpartition("@")
    if "?" in user_info:
        # The password may be among the parameters, and what follows the sign a part of it.
        return HIDDEN
    user, colon, _ = user_info.lstrip("/").partition(":")
    shown = user if _USER.fullmatch(user) else HIDDEN
    return f"{shown}{colon}{HIDDEN if colon else ''}@{_without_parameters(rest)}"


def masked_words(text: str) -> str:
    """Return a text in which what follows ``password=`` and the like is masked."""
    return _IN_WORDS.sub(rf"\g<1>{HIDDEN}", text)


def _without_parameters(body: str) -> str:
    """Return an address without the values of its parameters, and without all behind them.

    A password among the parameters may hold an unquoted ``#``.
    """
    before, sign, _ = body.partition("?")
    if not sign or "#" in before:
        return body
    return f"{before}?{HIDDEN}"
