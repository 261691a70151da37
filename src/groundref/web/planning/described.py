"""How the interface describes what a plan may be asked for with."""

from __future__ import annotations

from dataclasses import dataclass

from litestar.openapi.spec import Operation, Parameter, Schema
from litestar.openapi.spec.enums import OpenAPIType

from groundref.web.planning.fields import Field, fields


@dataclass
class PlanAsking(Operation):
    """An operation whose parameters are the fields of the form."""

    def __post_init__(self) -> None:
        """Add the fields to the parameters."""
        self.parameters = [*(self.parameters or []), *map(_parameter, fields().values())]


def _parameter(field: Field) -> Parameter:
    """Return a field as a parameter of the address."""
    return Parameter(
        name=field.name,
        param_in="query",
        schema=_schema(field),
        description=f"{field.label}, as the option {field.option} of groundref plan",
    )


def _schema(field: Field) -> Schema:
    if field.looks == "number":
        return Schema(type=OpenAPIType.NUMBER)
    if field.looks == "tick":
        return Schema(type=OpenAPIType.STRING, enum=["on"])
    if field.looks == "choice" and field.name != "aircraft":  # the record may have further airplanes
        return Schema(type=OpenAPIType.STRING, enum=[value for value, _ in field.choices if value])
    return Schema(type=OpenAPIType.STRING)
