"""What was read from an aircraft and how it compares, as JSON."""

from homeleg.desk.link import Aboard
from homeleg.desk.reading_json import reading_document
from homeleg.formats.comparison_json import comparison_document, document_text

__all__ = ["aboard_json"]


def aboard_json(aboard: Aboard) -> str:
    """Return a comparison, and all that is known of the aircraft's plans, as JSON text."""
    release = aboard.compared.release
    document = comparison_document(aboard.compared.comparison, release.code, release.digest)
    told = {
        "end": aboard.end.value,
        "settings_to_read": list(aboard.to_read),
        "aircraft": reading_document(aboard.reading),
    }
    return document_text({**document, **told})
