"""Static files under hashed names, module imports included."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStaticStorage(CompressedManifestStaticFilesStorage):
    """Rewrites `import ... from "./x.js";` so that modules may be cached for ever."""

    support_js_module_import_aggregation = True
