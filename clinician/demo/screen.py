"""What the demo tells whoever started it."""

from clinician.demo.load import Loaded


def facts(loaded: Loaded, url: str, sign_in: str) -> dict:
    """The one JSON object that scripts read."""
    return {
        "url": url,
        "login_url": f"{url}{sign_in}",
        "clinician": {"login": loaded.logins[0], "password": loaded.password},
        "patients": [
            {"label": one.label, "pairing_code": one.pairing_code} for one in loaded.patients
        ],
    }


def screen(loaded: Loaded, url: str, sign_in: str) -> str:
    """The same for people, and how to try it."""
    width = max(len(one.label) for one in loaded.patients)
    codes = "\n".join(f"    {one.label:<{width}}  {one.pairing_code}" for one in loaded.patients)
    others = ", ".join(loaded.logins[1:])
    return f"""
  Boutwise demo: an invented clinic, invented people. Nothing here is medical advice.

  The desk    {url}{sign_in}
              sign in as {loaded.logins[0]} (lead) or {others}
              password   {loaded.password}

  The phone   {url}/p/
              Open it in a private window and make the window phone-sized
              (developer tools, device toolbar, 360 x 740). Type one of these codes:

{codes}

  A real phone on your network cannot use this address: without https it is not
  a secure context, so there would be no offline start. Put it behind https for that.

  Ctrl-C ends the demo. The next start makes the clinic anew.
"""
