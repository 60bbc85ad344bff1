"""What the shop writes once kits are packed: a row for the bundle, and the stock that is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import typer

from kitsolver.cli.command_errors import NO_KIT
from kitsolver.cli.console import print_error
from kitsolver.cli.results import write

if TYPE_CHECKING:
    from kitsolver.shop.catalogue import Catalogue
    from kitsolver.solve.outcome import Outcome


@dataclass(frozen=True)
class ShopRows:
    """The rows that are asked for.

    Parameters
    ----------
    bundle : str or None
        The file for the row of the bundle.
    sku : str
        The sku of that row.
    stock : str or None
        The file for the rows whose stock changes.
    copies : int
        How many kits are packed.
    """

    bundle: str | None
    sku: str
    stock: str | None
    copies: int

    @property
    def files(self) -> dict[str, str | None]:
        """The files by the options that name them."""
        return {"bundle-row": self.bundle, "stock-after": self.stock}

    @property
    def asked(self) -> bool:
        """Whether any rows are asked for."""
        return any(file is not None for file in self.files.values())

    def check(self, catalogue: Catalogue) -> None:
        """Refuse to write over the shop's own file, and a sku that is none or is taken."""
        from kitsolver.show.home_after import same_file

        for option, file in self.files.items():
            if file is not None and same_file(catalogue.name, file):
                raise typer.BadParameter(
                    "the shop's file is never written over itself", param_hint=f"--{option}"
                )
        if self.bundle is None:
            return
        if not self.sku.strip() or not self.sku.isprintable():
            raise typer.BadParameter("it is blank, or not printable", param_hint="--bundle-sku")
        taken = catalogue.skus.union(catalogue.refused, catalogue.passed_over)
        if self.sku.strip() in taken:
            raise typer.BadParameter(
                f"the catalogue has a row {self.sku}: name another sku", param_hint="--bundle-sku"
            )

    def write(self, outcome: Outcome, catalogue: Catalogue) -> None:
        """Write the rows, if there is a kit.

        Raises
        ------
        BadInput
            If they cannot be written.
        """
        if not self.asked:
            return
        from kitsolver.show.shop_rows import bundle_row, stock_after

        if outcome.kit is None:
            print_error("There is no kit, so nothing is packed, and no rows are written.")
            return
        bundle = stock = b""
        if self.bundle is not None:
            bundle = bundle_row(outcome, catalogue, copies=self.copies, sku=self.sku.strip())
        if self.stock is not None:
            stock = stock_after(outcome, catalogue, copies=self.copies)
        # Both are complete before either is written.
        if self.bundle is not None:
            write(self.bundle, bundle)
        if self.stock is not None:
            write(self.stock, stock)


def refuse_shortage(outcome: Outcome, catalogue: Catalogue, copies: int) -> None:
    """End with what is lacking if the stock does not make so many copies of the kit."""
    from kitsolver.show.shortage import shortage_sentences

    if lacking := list(shortage_sentences(outcome, copies, catalogue)):
        hint = f"hint: kitsolver range finds the best kit of which the stock makes {copies}"
        print_error(*lacking, "Nothing is written for packing.", hint)
        raise typer.Exit(NO_KIT)
