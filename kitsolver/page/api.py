"""The same as an API: each question takes a brief, and gives the record that a command writes."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, model_validator
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_findings import UnknownCurrency
from kitsolver.brief.numbers import Money
from kitsolver.brief.reading import brief_of
from kitsolver.brief.settings import with_changes
from kitsolver.page import tasks
from kitsolver.page.page_findings import LadderUpsideDown, SumTooFine
from kitsolver.page.service import Service
from kitsolver.page.work import Shelf
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.money import exponent
from kitsolver.show.json_record import JsonObject, finding_record, findings_record, json_text
from kitsolver.show.schema.findings import FindingRecord, FindingsRecord
from kitsolver.show.schema.kit import KitRecord
from kitsolver.show.schema.ladder import LadderRecord
from kitsolver.show.schema.others import OthersRecord
from kitsolver.show.schema.recheck import RecheckRecord
from kitsolver.show.schema.why import WhyRecord

_MOST_OTHERS = 10
_MOST_APART = 1_000
# No brief and no saved kit goes nearly as deep, and what goes much deeper cannot be handed to a
# worker: trying to would end the one thread that hands tasks out.
_DEEPEST = 32


class _AsBrief:
    """Described as a brief, but read by the brief's own reader, whose findings tell more."""

    def __get_pydantic_json_schema__(
        self, _: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return handler(Brief.__pydantic_core_schema__)


class _Body(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    @model_validator(mode="before")
    @classmethod
    def _can_be_handed_on(cls, body: Any) -> Any:
        level = [body]
        for _ in range(_DEEPEST):
            texts = "".join(part for part in level if isinstance(part, str))
            try:
                texts.encode()
            except UnicodeEncodeError:
                # JSON can spell half a character, which no answer could be written with.
                told = "A text holds half a character"
                raise PydanticCustomError("half_a_character", told) from None
            level = [part for whole in level for part in _parts(whole)]
        if level:
            raise PydanticCustomError("too_deep", "This is nested too deeply")
        return body


class PickBody(_Body):
    """A brief, and which catalogue it is held against."""

    brief: Annotated[dict[str, Any], _AsBrief()]
    catalogue: str = Field("", description="Its digest; blank for the one of the page.")
    skip_bad_rows: bool = Field(False, description="Leave rows with errors out.")
    sets: tuple[str, ...] = Field((), description="Such as needs.fabric.max_price=14.00.")
    cap: str | None = Field(None, description="Replaces the brief's cap; for the whole order.")


class LadderBody(PickBody):
    """A brief, and between which caps its ladder is wanted."""

    low: Money | None = Field(None, alias="from", description="The lowest cap.")
    high: Money | None = Field(None, alias="to", description="The highest cap.")


class OthersBody(PickBody):
    """A brief, and how many other kits are wanted."""

    count: int = Field(3, ge=0, le=_MOST_OTHERS)
    apart: int | None = Field(
        None, ge=1, le=_MOST_APART, description="In how many needs kits differ."
    )
    tied: bool = Field(False, description="Only kits as good in quality and extras.")
    beyond: Money | None = Field(None, description="How far above the cap to look.")
    lines: bool = Field(False, description="Also what each line could give way to.")


class WhyBody(PickBody):
    """A brief, and the row that is asked after."""

    sku: str


class RecheckBody(_Body):
    """A saved kit, and the catalogue it is held against."""

    kit: dict[str, Any]
    catalogue: str = ""
    skip_bad_rows: bool = False


class HandedIn(BaseModel):
    """A catalogue that was handed in, and what was found in it."""

    catalogue: str = Field(description="Its digest, to be named with a brief.")
    usable_rows: int
    findings: list[FindingRecord]


class Trouble(BaseModel):
    """What went wrong, as findings where there are any."""

    told: str
    findings: list[FindingRecord]


def _parts(whole: Any) -> Sequence[Any]:
    if isinstance(whole, dict):
        return [*whole, *whole.values()]
    return whole if isinstance(whole, list) else ()


def trouble_record(told: str, findings: Sequence[Finding]) -> JsonObject:
    """Return the record of what went wrong."""
    return {"told": told, "findings": [finding_record(finding) for finding in findings]}


_TROUBLES: dict[int | str, dict[str, Any]] = {
    code: {"model": Trouble, "description": says}
    for code, says in (
        (400, "The request is no JSON."),
        (404, "The catalogue is not at hand."),
        (413, "The request is too large."),
        (422, "What was handed in cannot be used."),
        (500, "The program is at fault."),
        (503, "Too much is being worked out just now."),
        (504, "Time ran out."),
    )
}
# What the guard refuses never comes as far as the API, and is told in words.
_WORDS = {"text/plain": {"schema": {"type": "string"}}}
_TROUBLES[403] = {"description": "Another site's page asks.", "content": _WORDS}
_TROUBLES[413]["content"] = _WORDS
_TROUBLES[421] = {"description": "This is asked under another name.", "content": _WORDS}


def api(service: Service) -> APIRouter:
    """Return the API."""
    router = APIRouter(prefix="/api", responses=_TROUBLES)

    def asked(body: PickBody) -> tuple[Shelf, Brief]:
        brief = brief_of(with_changes(body.brief, body.sets, body.cap, "sets"))
        return shelf(body, brief.currency), brief

    def shelf(body: PickBody | RecheckBody, currency: str) -> Shelf:
        held = service.stock.get(body.catalogue)
        return service.shelf_of(held, currency, skip_bad_rows=body.skip_bad_rows)

    def minor(amount: Decimal | None, brief: Brief, column: str) -> int | None:
        if amount is None:
            return None
        try:
            return brief.minor(amount)
        except ValueError:
            found = SumTooFine(file="the request", column=column, value=str(amount))
            raise BadInput([found]) from None

    @router.post(
        "/catalogues",
        response_model=HandedIn,
        status_code=201,
        openapi_extra={
            "requestBody": {
                "required": True,
                "content": {"text/csv": {"schema": {"type": "string"}}},
            }
        },
    )
    async def hand_in(
        request: Request,
        name: Annotated[str, Query(max_length=80)] = "the catalogue",
        currency: Annotated[str | None, Query(description="Of its prices (ISO 4217).")] = None,
    ) -> Any:
        """Hand in a catalogue, and see what is found in it."""
        _known(currency)
        held = service.stock.add(name, await request.body())
        rest = service.shelf_of(held, currency, skip_bad_rows=True)
        look = await service.look(rest)
        found = [finding_record(finding) for finding in look.findings]
        return {"catalogue": held.digest, "usable_rows": look.rows, "findings": found}

    @router.get("/catalogues/{digest}", response_model=FindingsRecord)
    async def check(
        digest: str, currency: Annotated[str | None, Query(description="Of its prices.")] = None
    ) -> Any:
        """Give every finding in a catalogue; ``page`` is the one that the page was started with."""
        _known(currency)
        held = service.stock.get("" if digest == "page" else digest)
        look = await service.look(service.shelf_of(held, currency, skip_bad_rows=True))
        return findings_record(held.name, look.rows, look.findings)

    @router.post("/pick", response_model=KitRecord)
    async def pick(body: PickBody) -> Response:
        """Give the best kit, or why there is none."""
        return _json(await service.do(tasks.kit_record, *asked(body), heavy=False))

    @router.post("/ladder", response_model=LadderRecord)
    async def ladder(body: LadderBody) -> Response:
        """Give every rung between two caps."""
        shelf, brief = asked(body)
        low, high = minor(body.low, brief, "from"), minor(body.high, brief, "to")
        top = 2 * brief.total_cap if high is None else high
        if low is not None and low > top:
            found = LadderUpsideDown(file="the request", column="from", value=str(body.low))
            raise BadInput([found])
        return _json(await service.do(tasks.climb_record, shelf, brief, low, top))

    @router.post("/others", response_model=OthersRecord | KitRecord)
    async def others(body: OthersBody) -> Response:
        """Give kits that come close; where there is none at all, why."""
        shelf, brief = asked(body)
        beyond = minor(body.beyond, brief, "beyond")
        further = brief.total_cap // 10 if beyond is None else beyond
        how = (body.count, body.apart, body.tied, further, body.lines)
        return _json(await service.do(tasks.kits_record, shelf, brief, *how))

    @router.post("/why", response_model=WhyRecord)
    async def why(body: WhyBody) -> Response:
        """Say why a row is in the best kit, or why not."""
        return _json(await service.do(tasks.sku_record, *asked(body), body.sku))

    @router.post("/recheck", response_model=RecheckRecord)
    async def recheck(body: RecheckBody) -> Response:
        """Say whether a saved kit stands today, and what would mend it."""
        currency = await service.do(tasks.saved_currency, body.kit, heavy=False)
        return _json(await service.do(tasks.saved_record, shelf(body, currency), body.kit))

    return router


def _known(currency: str | None) -> None:
    if currency is None:
        return
    try:
        exponent(currency)
    except KeyError:
        found = UnknownCurrency(file="the request", column="currency", value=currency)
        raise BadInput([found]) from None


def _json(record: JsonObject) -> Response:
    """Return a record byte for byte as a command writes it."""
    return Response(json_text(record), media_type="application/json")
