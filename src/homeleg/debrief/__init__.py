"""Will hold: aircraft from recordings and from two numbers; test cards."""
