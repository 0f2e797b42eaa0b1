"""One function per use case; the only room that joins the edges."""
