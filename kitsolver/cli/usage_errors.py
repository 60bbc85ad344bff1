"""Usage errors without secrets: they quote arguments, and an argument may hold a password."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from typer.core import TyperGroup
from typer.exceptions import TyperException

_ARGUMENTS = "kitsolver.arguments"
_NOT_TOLD = "An argument cannot be used, and is not shown, for it may hold a password."


class MaskingGroup(TyperGroup):
    """Commands whose usage errors show no password of a database's address."""

    def make_context(
        self, info_name: str | None, args: list[str], parent: Any = None, **extra: Any
    ) -> Any:
        """Return the context of a call; its arguments are remembered for `invoke`."""
        given = tuple(args)
        with _masking(given):
            context = super().make_context(info_name, args, parent, **extra)
        context.meta[_ARGUMENTS] = given
        return context

    def invoke(self, ctx: Any) -> Any:
        """Run the command that the arguments name."""
        with _masking(ctx.meta[_ARGUMENTS]):
            return super().invoke(ctx)


@contextmanager
def _masking(arguments: Sequence[str]) -> Iterator[None]:
    """Mask what the arguments hold of secrets in the message of a usage error."""
    try:
        yield
    except TyperException as fault:
        if isinstance(message := getattr(fault, "message", None), str):
            fault.message = masked_message(message, arguments)
        raise


def masked_message(message: str, arguments: Sequence[str]) -> str:
    """Return the message of a usage error without the secrets of the arguments."""
    from kitsolver.shop.sources.source_address import SourceAddress, masked

    for argument in arguments:
        # Behind the sign of an option stands its value.
        for text in (argument, argument.partition("=")[2]):
            if masked(text) != text and message:
                message = SourceAddress(text).scrub(message)
    return message or _NOT_TOLD
