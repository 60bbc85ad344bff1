"""What all views have in common: reading an address, and the frame around what they show."""

from __future__ import annotations

from dataclasses import dataclass, replace
from urllib.parse import parse_qsl

from fastapi import Request
from fastapi.responses import HTMLResponse

from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.page import view_models
from kitsolver.page.address import Address
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.form_fields import groups_of, sum_group
from kitsolver.page.service import Service
from kitsolver.shop.findings import BadInput

BAD_INPUT, SEE_OTHER = 422, 303


@dataclass(frozen=True)
class Frame:
    """Reads addresses and fills templates for views."""

    service: Service

    def address(self, request: Request, *others: str) -> Address:
        """Return the address of a request, without the view's `others` parameters.

        An address that asks for nothing stands for what the page was started with.
        """
        pairs = request.query_params.multi_items()
        address = Address.read(pair for pair in pairs if pair[0] not in others)
        if not address.settings and not address.catalogue and not address.skip_bad_rows:
            return self.service.start
        return address

    def address_in(self, query: str) -> Address:
        """Return the address that a form sends along, as it stands after a question mark."""
        return Address.read(parse_qsl(query, keep_blank_values=True))

    def made_here(self, address: Address) -> Address:
        """Return the address marked as made on the page's own catalogue, if it asks for that."""
        own = "" if address.catalogue else self.service.store.own.digest
        return replace(address, made_on=own)

    async def context(
        self, address: Address, currency: str | None
    ) -> tuple[view_models.Context, CatalogueSummary]:
        """Return what every view of a catalogue shows, and what the catalogue holds."""
        summary = await self.service.summary(self.service.source(address, currency))
        stored = self.service.store.get(address.catalogue)
        context = view_models.frame(self.made_here(address), stored.name, summary)
        context["made_elsewhere"] = address.made_on not in ("", stored.digest)
        return context, summary

    async def currency(self, address: Address) -> str | None:
        """Return the currency that an address asks in; None if it has no brief that can be used."""
        if not address.settings:
            return None
        try:
            return (await self.service.brief(address)).currency
        except BadInput:
            return None

    async def ask_again(self, address: Address, fault: BadInput | None = None) -> HTMLResponse:
        """Return the form alone: nothing is asked yet, or what is asked cannot be used."""
        context, summary = await self.context(address, None)
        groups = groups_of(DEFAULT_NEEDS, summary) if fault else ()
        fields = [field for group in (sum_group(), *groups) for field in group.fields]
        values = {field.name: [""] for field in fields}
        values |= {key: [text] for key, text in address.settings.items()}
        context |= view_models.form_context(values, groups, fault.findings if fault else ())
        return page("start.html", context, BAD_INPUT if fault else 200)


def page(template: str, context: view_models.Context, status: int = 200) -> HTMLResponse:
    """Return a template of the page, filled."""
    return HTMLResponse(view_models.page_of(template, context), status)
