#!/usr/bin/python3
"""A WebKitGTK window that WebDriver drives and whose profile outlives it.

The MiniBrowser that Debian ships keeps nothing when it is driven. This runs
under the system's Python, where the bindings are; the folder of the profile is
its one argument.
"""

import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2  # noqa: E402

PHONE = (360, 740)


def main() -> None:
    folder = sys.argv[1]
    data = WebKit2.WebsiteDataManager(
        base_data_directory=f"{folder}/data", base_cache_directory=f"{folder}/cache"
    )
    context = WebKit2.WebContext.new_with_website_data_manager(data)
    context.get_cookie_manager().set_persistent_storage(
        f"{folder}/cookies.sqlite", WebKit2.CookiePersistentStorage.SQLITE
    )
    context.set_automation_allowed(True)

    def view(*_given: object) -> WebKit2.WebView:
        made = WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
        window = Gtk.Window(decorated=False)
        window.set_default_size(*PHONE)
        window.add(made)
        window.show_all()
        return made

    def began(_context: WebKit2.WebContext, session: WebKit2.AutomationSession) -> None:
        # WebDriver compares these with what it asked for.
        session.set_application_info(WebKit2.ApplicationInfo.new())
        session.connect("create-web-view", view)

    context.connect("automation-started", began)
    Gtk.main()


if __name__ == "__main__":
    main()
