"""The API: each question takes a brief, and gives the record that a command writes."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from tempfile import SpooledTemporaryFile
from typing import Annotated, Any, BinaryIO, cast

from fastapi import APIRouter, Query, Request, Response
from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler, model_validator
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_findings import UnknownCurrency
from kitsolver.brief.numbers import Money
from kitsolver.page import record_tasks, tasks
from kitsolver.page.catalogue_to_read import CatalogueToRead
from kitsolver.page.page_findings import LadderUpsideDown, SumTooFine
from kitsolver.page.service import Service
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.money import exponent
from kitsolver.show.json_record import JsonObject, finding_record, findings_record, json_text
from kitsolver.show.schema.findings import FindingRecord, FindingsRecord
from kitsolver.show.schema.kit import KitRecord
from kitsolver.show.schema.ladder import LadderRecord
from kitsolver.show.schema.others import OthersRecord
from kitsolver.show.schema.recheck import RecheckRecord
from kitsolver.show.schema.why import WhyRecord

UPLOAD_PATH = "/api/catalogues"
# Up to so many bytes an upload is kept in memory while it comes.
_IN_MEMORY = 2**20
_MOST_OTHERS = 10
_MOST_APART = 1_000
# No brief and no saved kit is nested nearly as deeply. What is nested much more deeply cannot be
# pickled for a worker.
_DEEPEST = 32


class _AsBrief:
    """Described as a brief, but read by the brief's own reader, which gives better findings."""

    def __get_pydantic_json_schema__(
        self, _: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return handler(Brief.__pydantic_core_schema__)


class _Body(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    @model_validator(mode="before")
    @classmethod
    def _check_texts_and_depth(cls, body: Any) -> Any:
        level = [body]
        for _ in range(_DEEPEST):
            texts = "".join(part for part in level if isinstance(part, str))
            try:
                texts.encode()
            except UnicodeEncodeError:
                # JSON can spell half a character, which no answer could be written with.
                message = "A text holds half a character"
                raise PydanticCustomError("half_a_character", message) from None
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
    """A brief, and the caps between which its ladder is wanted."""

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
    """A brief, and the row that the question is about."""

    sku: str


class RecheckBody(_Body):
    """A saved kit, and the catalogue that it is checked against."""

    kit: dict[str, Any]
    catalogue: str = ""
    skip_bad_rows: bool = False


class Upload(BaseModel):
    """A catalogue that was uploaded, and what was found in it."""

    catalogue: str = Field(description="Its digest, to be named with a brief.")
    usable_rows: int
    findings: list[FindingRecord]


class Error(BaseModel):
    """What went wrong, as findings where there are any."""

    told: str
    findings: list[FindingRecord]


def _parts(whole: Any) -> Sequence[Any]:
    if isinstance(whole, dict):
        return [*whole, *whole.values()]
    return whole if isinstance(whole, list) else ()


def error_record(sentence: str, findings: Sequence[Finding]) -> JsonObject:
    """Return the record of what went wrong."""
    return {"told": sentence, "findings": [finding_record(finding) for finding in findings]}


_ERRORS: dict[int | str, dict[str, Any]] = {
    code: {"model": Error, "description": says}
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
# The guard answers in plain text what it refuses.
_WORDS = {"text/plain": {"schema": {"type": "string"}}}
_ERRORS[403] = {"description": "Another site's page asks.", "content": _WORDS}
_ERRORS[413]["content"] = _WORDS
_ERRORS[414] = {"description": "The address is too long.", "content": _WORDS}
_ERRORS[421] = {"description": "This is asked under another name.", "content": _WORDS}

# What an answer lets a program ask next, in the words of OpenAPI.
_DIGEST = "$response.body#/catalogue"
_CHECKED_NEXT = {
    "operationRef": "#/paths/~1api~1catalogues~1{digest}/get",
    "parameters": {"digest": _DIGEST},
}


def _next(name: str, **body: str) -> dict[str, Any]:
    """Return a link to a question of the API, with what is sent of an answer."""
    return {"operationRef": f"#/paths/~1api~1{name}/post", "requestBody": body}


_AFTER_CATALOGUE = {"check": _CHECKED_NEXT} | {
    name: _next(name, catalogue=_DIGEST) for name in ("pick", "ladder", "others", "why")
}
_AFTER_KIT = {"recheck": _next("recheck", kit="$response.body")}


def api(service: Service) -> APIRouter:
    """Return the API."""
    router = APIRouter(prefix="/api", responses=_ERRORS)

    async def asked(body: PickBody) -> tuple[CatalogueToRead, Brief]:
        brief = await service.read(tasks.brief_of_body, body.brief, body.sets, body.cap)
        return source(body, brief.currency), brief

    def source(body: PickBody | RecheckBody, currency: str | None) -> CatalogueToRead:
        stored = service.store.get(body.catalogue)
        return service.source_of(stored, currency, skip_bad_rows=body.skip_bad_rows)

    def minor(amount: Decimal | None, brief: Brief, column: str) -> int | None:
        if amount is None:
            return None
        try:
            return brief.minor(amount)
        except ValueError:
            found = SumTooFine(file="the request", column=column, value=str(amount))
            raise BadInput([found]) from None

    @router.post(
        UPLOAD_PATH.removeprefix("/api"),
        response_model=Upload,
        status_code=201,
        responses={201: {"links": _AFTER_CATALOGUE}},
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
        _check_currency(currency)
        with SpooledTemporaryFile(_IN_MEMORY) as content:
            async for chunk in request.stream():
                content.write(chunk)
            content.seek(0)
            copied = await service.copied(name, cast(BinaryIO, content))
        with service.store.add(copied) as stored:
            readable = service.source_of(stored, currency, skip_bad_rows=True)
            summary = await service.summary(readable)
        found = [finding_record(finding) for finding in summary.findings]
        return {"catalogue": stored.digest, "usable_rows": summary.rows, "findings": found}

    @router.get("/catalogues/{digest}", response_model=FindingsRecord)
    async def check(
        digest: str, currency: Annotated[str | None, Query(description="Of its prices.")] = None
    ) -> Any:
        """Give every finding in a catalogue; ``page`` is the one that the page was started with."""
        _check_currency(currency)
        stored = service.store.get("" if digest == "page" else digest)
        readable = service.source_of(stored, currency, skip_bad_rows=True)
        summary = await service.summary(readable)
        return findings_record(stored.name, summary.row_counts, summary.findings)

    @router.post("/pick", response_model=KitRecord, responses={200: {"links": _AFTER_KIT}})
    async def pick(body: PickBody) -> Response:
        """Give the best kit, or why there is none."""
        return _json(await service.do(record_tasks.kit_json, *await asked(body)))

    @router.post("/ladder", response_model=LadderRecord)
    async def ladder(body: LadderBody) -> Response:
        """Give every rung between two caps."""
        catalogue, brief = await asked(body)
        low, high = minor(body.low, brief, "from"), minor(body.high, brief, "to")
        top = 2 * brief.total_cap if high is None else high
        if low is not None and low > top:
            found = LadderUpsideDown(file="the request", column="from", value=str(body.low))
            raise BadInput([found])
        return _json(await service.do(record_tasks.ladder_json, catalogue, brief, low, top))

    @router.post("/others", response_model=OthersRecord | KitRecord)
    async def others(body: OthersBody) -> Response:
        """Give kits that come close; where there is none at all, why."""
        catalogue, brief = await asked(body)
        beyond = minor(body.beyond, brief, "beyond")
        further = brief.total_cap // 10 if beyond is None else beyond
        how = (body.count, body.apart, body.tied, further, body.lines)
        return _json(await service.do(record_tasks.others_json, catalogue, brief, *how))

    @router.post("/why", response_model=WhyRecord)
    async def why(body: WhyBody) -> Response:
        """Say why a row is in the best kit, or why not."""
        return _json(await service.do(record_tasks.why_json, *await asked(body), body.sku))

    @router.post("/recheck", response_model=RecheckRecord)
    async def recheck(body: RecheckBody) -> Response:
        """Say whether a saved kit stands today, and what would mend it."""
        return _json(await service.do(record_tasks.recheck_json, source(body, None), body.kit))

    return router


def _check_currency(currency: str | None) -> None:
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
