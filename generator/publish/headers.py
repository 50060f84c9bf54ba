"""Response headers for a web server: a content security policy as strict as the pages allow.

The policy lets nothing in but the handbook's own files. The theme writes a few short scripts into
each page; they are let in by their hashes, worked out from the pages as they were written.
"""

from __future__ import annotations

import base64
import hashlib
import re
from pathlib import Path

_SCRIPT = re.compile(rb"<script\b([^>]*)>(.*?)</script\s*>", re.DOTALL | re.IGNORECASE)
_TYPE = re.compile(rb"""\btype\s*=\s*["']?([^"'\s>]*)""", re.IGNORECASE)
_RUNS = {b"", b"text/javascript", b"application/javascript", b"module"}

# What each line lets in. Whatever is not named falls back to default-src: nothing.
_POLICY = (
    ("default-src", "'none'"),
    ("script-src", "'self'"),
    ("style-src", "'self'"),
    ("img-src", "'self' data:"),  # the theme's icons are data: addresses in its style sheet
    ("font-src", "'self'"),
    ("media-src", "'self'"),  # a lesson's recording
    # the search index, what is kept for reading without a signal, and results handed in. A policy names a path only behind
    # a host, and the build knows none; so this cannot say "that path only". No other server is reached.
    ("connect-src", "'self'"),
    ("worker-src", "'self'"),  # the search and the same
    ("base-uri", "'none'"),
    ("form-action", "'none'"),
    ("frame-ancestors", "'self'"),  # an intranet page of the same server may show it in a frame
)

_NGINX = """\
# Headers for this edition of the handbook, written with it: when the handbook is published
# again, take this file again. Include it in the location that serves the web folder:
#
#   location ^~ /training/ {{
#     alias /srv/handbook/web/;
#     include /srv/handbook/headers/nginx.conf;
#     error_page 404 /training/404.html;
#   }}
#   location = /training {{ return 301 /training/; }}
#
# The last line is for those who leave out the slash at the end. error_page names the handbook's own page for what is not there, at the path it is published under;
# that page finds its way back from any folder.
#
# A header set by add_header in an outer block does not reach a location that sets its own;
# repeat yours there.
# Beside each page and script lies its packed form, .gz, which is sent as it is. Where nginx has the module for it
# (under Debian libnginx-mod-http-brotli-static), take the mark off brotli_static. Put the new web folder in the place
# of the old one as a whole, by a new folder and a rename: never copy it over the old one.
index index.html;
charset utf-8;
gzip_static on;
# brotli_static on;
gzip on;
gzip_comp_level 6;
gzip_vary on;
gzip_min_length 1000;
gzip_types text/css text/javascript application/javascript application/json application/xml image/svg+xml;
add_header Content-Security-Policy "{policy}" always;
add_header X-Content-Type-Options nosniff always;
add_header Referrer-Policy no-referrer always;
# a browser asks each time whether a page has changed, so that nobody reads an old number
add_header Cache-Control no-cache always;
"""

_APACHE = """\
# Headers for this edition of the handbook for Apache 2.4, written with it: when the handbook is published again, take
# this file again. Needs modules that are there but not all switched on; under Debian: a2enmod headers rewrite
# Include it where the web folder is served:
#
#   Alias /training /srv/handbook/web
#   <Directory /srv/handbook/web>
#     Require all granted
#     Include /srv/handbook/headers/apache.conf
#     ErrorDocument 404 /training/404.html
#   </Directory>
#
# ErrorDocument names the handbook's own page for what is not there, at the path it is published under.
#
# Beside each page and script lies its packed form, .gz, which is sent as it is. Put the new web folder in the place of
# the old one as a whole, by a new folder and a rename: never copy it over the old one.
DirectoryIndex index.html
Options SymLinksIfOwnerMatch
AllowOverride None
Header always set Content-Security-Policy "{policy}"
Header always set X-Content-Type-Options nosniff
Header always set Referrer-Policy no-referrer
# a browser asks each time whether a page has changed, so that nobody reads an old number
Header always set Cache-Control no-cache
Header always merge Vary Accept-Encoding
AddEncoding gzip .gz
AddEncoding br .br
{types}
RewriteEngine on
RewriteCond %{{HTTP:Accept-Encoding}} \\bbr\\b
RewriteCond %{{REQUEST_FILENAME}}.br -f
RewriteRule ^(.+)$ $1.br [L]
RewriteCond %{{HTTP:Accept-Encoding}} \\bgzip\\b
RewriteCond %{{REQUEST_FILENAME}}.gz -f
RewriteRule ^(.+)$ $1.gz [L]
"""

# with the packed forms, whose own endings would say something else
_TYPES = {
    "html": "text/html", "css": "text/css", "js": "text/javascript", "json": "application/json", "svg": "image/svg+xml",
    "xml": "application/xml", "txt": "text/plain",
}  # fmt: skip


def inline_scripts(page: bytes) -> list[bytes]:
    """The scripts that stand in a page itself, as the browser runs them. Data blocks are none."""
    found = []
    for attributes, body in _SCRIPT.findall(page):
        kind = _TYPE.search(attributes)
        if re.search(rb"\bsrc\s*=", attributes, re.IGNORECASE) or not body:
            continue
        if kind is None or kind[1].lower() in _RUNS:
            found.append(body)
    return found


def policy(web: Path) -> str:
    """The content security policy for the pages of a web folder, on one line."""
    hashes = {
        "'sha256-" + base64.b64encode(hashlib.sha256(script).digest()).decode("ascii") + "'"
        for page in web.rglob("*.html")
        for script in inline_scripts(page.read_bytes())
    }
    return "; ".join(" ".join((name, what, *(sorted(hashes) if name == "script-src" else ()))) for name, what in _POLICY)


def write_headers(web: Path, folder: Path) -> None:
    """Write ``nginx.conf`` and ``apache.conf`` to include, and ``policy.txt`` with the policy alone for any other server."""
    made = policy(web)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "policy.txt").write_text(made + "\n", "utf-8", newline="\n")
    (folder / "nginx.conf").write_text(_NGINX.format(policy=made), "utf-8", newline="\n")
    types = "\n".join(
        f'<FilesMatch "\\.{ending}(\\.(gz|br))?$">\n    ForceType "{kind}; charset=utf-8"\n</FilesMatch>' for ending, kind in _TYPES.items()
    )
    (folder / "apache.conf").write_text(_APACHE.format(policy=made, types=types), "utf-8", newline="\n")
