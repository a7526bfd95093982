"""Reads FHIR Bundles with the model library, R4B, and prints what it refuses: {path: reason or null}."""

import json
import sys

from fhir.resources.R4B.bundle import Bundle


def refusal(path):
    with open(path, encoding="utf-8") as file:
        bundle = json.load(file)
    try:
        Bundle.model_validate(bundle)
    except ValueError as error:
        return str(error).splitlines()[0]
    return None


print(json.dumps({path: refusal(path) for path in sys.argv[1:]}))
