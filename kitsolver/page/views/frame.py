"""What all views have in common: reading an address, and the frame around what they show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from urllib.parse import parse_qsl

from fastapi import Request, UploadFile
from fastapi.responses import HTMLResponse

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import toml_of
from kitsolver.page import beside_models, ladder_models, tasks, view_models
from kitsolver.page.address import Address, encoded
from kitsolver.page.catalogue_store import StoredCatalogue
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.service import Service
from kitsolver.page.wishes.beginning import WAYS as BEGINNINGS
from kitsolver.page.wishes.beginning import Beginning
from kitsolver.page.wishes.form_view import Fault, form_view, way_of
from kitsolver.page.wishes.values import Values
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.solve.outcome import Kit

BAD_INPUT, SEE_OTHER = 422, 303
_LONGEST_NAME = 80
_KEPT_SHOWN = 20
# What a map is called that was made on the page.
MAP_NAME = "the map"
_FILES = ("/sheet", "/friend", "/kit.json", "/kit.csv", "/brief.toml", "/ladder.json")


def file_links(address: Address) -> dict[str, str]:
    """Return the addresses of what can be taken along, by their paths."""
    return {path: address.href(path) for path in _FILES}


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

    def query(self, address: Address, more: Iterable[tuple[str, str]]) -> str:
        """Return the part of an address behind its question mark, with further parameters."""
        return encoded([*address.pairs, *more])

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

    async def kit_page(
        self,
        address: Address,
        brief: Brief,
        typed: Values | None = None,
        findings: Sequence[Finding] = (),
    ) -> HTMLResponse:
        """Return the view of the best kit of a brief, or of why there is none.

        Parameters
        ----------
        typed, findings : optional
            What was typed into the form and cannot be used, and why: the kit is then the last one
            that could be found.

        Raises
        ------
        BadInput
            If the brief does not go with the catalogue.
        """
        service = self.service
        context, summary = await self.context(address, brief.currency)
        sent = self.made_here(address)
        address = replace(sent, seen="")
        answer = await service.answer(address, brief)
        context |= view_models.kit_context(address, brief, answer)
        if answer.answer.outcome.kit is not None:
            held = await self._held(address, brief)
            context |= beside_models.held_context(address, brief, answer.answer.outcome.kit, held)
            skus, names = beside_models.seen_skus(sent), {}
            if skus:
                source = service.source(address, brief.currency)
                names = await service.do(tasks.names_of, source, skus, kind="names")
            context |= beside_models.sent_context(sent, brief, answer.answer.outcome.kit, names)
        context["unfinished"] = 0 if answer.complete else round(service.next_pick(address, brief))
        way = way_of(address.way, brief, address.copies)
        context["form"] = form_view(
            brief,
            summary,
            way,
            address.copies,
            ways=address.ways(),
            typed=typed,
            findings=findings,
            stays=True,
        )
        ladder = service.known_ladder(address, brief)
        next_look = service.next_ladder(address, brief)
        context |= ladder_models.ladder_context(address, brief, ladder, next_look)
        context |= {"files": file_links(address), "toml": toml_of(brief)}
        context["keeps"] = self.service.store.kept is not None
        context["home_list"] = service.store.get(address.home).name if address.home else ""
        context["without_home"] = replace(address, home="").href()
        return page("kit.html", context, BAD_INPUT if findings else 200)

    async def _held(self, address: Address, brief: Brief) -> Kit | None:
        """Return the kit that an address holds beside its own; None if it holds none."""
        if not address.held:
            return None
        other = replace(self.address_in(address.held), held="")
        # What can no longer be had is not held any more.
        with suppress(BadInput):
            asked = await self.service.brief(other)
            if asked.currency == brief.currency:
                return (await self.service.answer(other, asked)).answer.outcome.kit
        return None

    async def take(self, file: UploadFile) -> StoredCatalogue:
        """Keep a file that was handed in.

        Raises
        ------
        BadInput
            If it is too large.
        """
        name = (file.filename or "the file")[:_LONGEST_NAME]
        with self.service.store.add(await self.service.copied(name, file.file)) as stored:
            return stored

    async def begin_page(
        self,
        address: Address,
        given: Beginning | None = None,
        faults: Mapping[str | None, Fault] | None = None,
        *,
        chosen: bool = False,
    ) -> HTMLResponse:
        """Return the view with the sentence to complete, with what is wrong in it if anything.

        Who has `chosen` a way in goes on with the sum.
        """
        context, _ = await self.context(address, None)
        context["chosen_way"] = chosen
        if given is None:
            currency = address.settings.get("currency", Beginning.currency)
            given = Beginning(currency=currency, way=address.way or "one")
        context |= {
            "given": given,
            "faults": faults or {},
            "ways": BEGINNINGS,
            "example": self.service.example and self.service.example.href(),
            "kept_kits": [],
            "kept_goods": [],
            "kept_homes": [],
            "home_list": self.service.store.get(address.home).name if address.home else "",
            "without_home": replace(address, home="").href("/begin"),
        }
        if (kept := self.service.store.kept) is not None:
            context["kept_kits"] = [
                (kit, address.href("/kept", name=kit.name)) for kit in kept.kits()
            ][:_KEPT_SHOWN]
            context["kept_goods"] = [
                (file.name, Address({}, file.digest).href("/goods"))
                for file in kept.files()
                if file.name != MAP_NAME and not file.home
            ][:_KEPT_SHOWN]
            context["kept_homes"] = [
                (file.name, replace(address, home=file.digest).href("/begin"))
                for file in kept.files()
                if file.home
            ][:_KEPT_SHOWN]
        return page("begin.html", context, BAD_INPUT if faults else 200)

    async def ask_again(
        self, address: Address, fault: BadInput | None = None, typed: Values | None = None
    ) -> HTMLResponse:
        """Return the form alone: nothing is asked yet, or what is asked cannot be used."""
        context, summary = await self.context(address, None)
        if typed is None:
            typed = {key: [text] for key, text in address.settings.items()}
        found = fault.findings if fault else ()
        way = way_of(address.way, None, address.copies)
        context["form"] = form_view(
            None, summary, way, address.copies, ways=address.ways(), typed=typed, findings=found
        )
        return page("start.html", context, BAD_INPUT if fault else 200)


def page(template: str, context: view_models.Context, status: int = 200) -> HTMLResponse:
    """Return a template of the page, filled."""
    return HTMLResponse(view_models.page_of(template, context), status)
