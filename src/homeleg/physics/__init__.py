"""Laws of nature as pure functions, each citing its source."""
