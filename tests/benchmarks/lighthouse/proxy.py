"""What stands before the server at a clinic: a proxy that ends TLS and speaks HTTP/2."""

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.support.live import free_port

CONFIG = """
daemon off; pid {folder}/pid; error_log {folder}/errors;
events {{}}
http {{
  access_log off; server_tokens off;
  client_body_temp_path {folder}/body; proxy_temp_path {folder}/proxied;
  fastcgi_temp_path {folder}/f; uwsgi_temp_path {folder}/u; scgi_temp_path {folder}/s;
  server {{
    listen 127.0.0.1:{port} ssl http2;
    ssl_certificate {folder}/certificate; ssl_certificate_key {folder}/key;
    location / {{
      proxy_pass {behind}; proxy_http_version 1.1;
      proxy_set_header Host $host; proxy_set_header X-Forwarded-Proto https;
    }}
  }}
}}
"""


def available() -> bool:
    return bool(shutil.which("nginx") and shutil.which("openssl"))


@contextmanager
def proxy(behind: str, folder: Path) -> Iterator[str]:
    folder.mkdir()
    port = free_port()
    certificate = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"]
    files = ["-keyout", f"{folder}/key", "-out", f"{folder}/certificate", "-subj", "/CN=127.0.0.1"]
    subprocess.run([*certificate, *files], check=True, capture_output=True)
    config = folder / "config"
    config.write_text(CONFIG.format(folder=folder, port=port, behind=behind))
    process = subprocess.Popen(["nginx", "-c", str(config)], stderr=subprocess.DEVNULL)
    try:
        yield f"https://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait()
