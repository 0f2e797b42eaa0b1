"""The screens: a thin face over the desk, served to a browser on the same machine.

How to add a screen
-------------------
1. `screens/NAME.py` holds functions of a request that return `page(request, "NAME.html", ...)`,
   and `ROUTES`, a tuple of `starlette.routing.Route`. A form comes in through `posted(function)`,
   which hands over request and fields; it answers with a redirect (303), or with the page and what
   is wrong.
2. `application.SCREENS` lists it. `Guard` sees to host, origin, key, size and content policy.
3. `templates/NAME.html` extends `page.html` and fills its blocks: `sentence` (the full-width
   sentence on top), `second` (one line under it), `main` (one key picture and what belongs to it),
   `act` (the next action, bottom right), `caution`. No inline script or style: the policy refuses
   both.
4. Questions asked one a page are `questions.Question`s, read by `read_answers` and shown by
   `question.html`: choices as boxes, numbers with a keypad, an offered answer, "don't know".
5. What the screen does is one function of `homeleg.desk`; nothing else is imported from the house.
"""
