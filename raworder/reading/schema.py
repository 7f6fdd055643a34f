"""How the form is told to editors: a field that may be left out is still never `null`."""

from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema


class EditorSchema(GenerateJsonSchema):
    """The JSON Schema of what may be written, without what only the program knows."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """An optional field's own schema: leaving a field out is not writing `null`."""
        return self.generate_inner(schema["schema"])

    def dict_schema(self, schema: core_schema.DictSchema) -> JsonSchemaValue:
        """A mapping whose keys are of a few words says which."""
        keys = self.generate_inner(schema["keys_schema"]) if "keys_schema" in schema else {}
        values = self.generate_inner(schema["values_schema"]) if "values_schema" in schema else {}
        names = {"enum": keys["enum"]} if "enum" in keys else {}
        return {"type": "object", "propertyNames": names, "additionalProperties": values}

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """The field's schema, with the default only where it is a plain value."""
        default: Any = schema.get("default")
        inner = self.generate_inner(schema["schema"])
        return {**inner, "default": default} if isinstance(default, str | int) else inner
