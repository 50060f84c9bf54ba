"""Server files with which the company's own web server takes results in: a folder that things are only ever put into.

Written where ``hand_in`` stands in settings.yml. What is sent with PUT is kept under a name that the server makes, so
that nothing there is ever written over; nothing can be read, listed or taken away. Tried by ``tests/servers``.
"""

from __future__ import annotations

from pathlib import Path

NGINX = "nginx-hand-in.conf"
NGINX_HTTP = "nginx-hand-in-http.conf"
APACHE = "apache-hand-in.conf"
FILES = (NGINX, NGINX_HTTP, APACHE)

DROP = "/srv/handbook-hand-in"  # what the files name; whoever runs the server may change it there
MOST_BYTES = 65_536
A_MINUTE = 30  # requests from one address, and as many at once

_FOLDER = """\
# The folder. It lies outside of what the server gives out. Nobody but the server's user (www-data under Debian) writes
# there; those who run seatwork tally read it, as members of a group. As root:
#
#   groupadd --system handbook
#   usermod -aG handbook NAME                  # whoever runs seatwork tally; they log in again after it
#   install -d -o www-data -g handbook -m 2750 @DROP@
#   install -d -o www-data -g handbook -m 2700 @DROP@/.arriving
#
# Another folder: change @DROP@ below, everywhere it stands. .arriving must lie in it: a result is written there first
# and then renamed, so that seatwork tally never sees half of one. On two file systems it would be copied instead.
# How much can come in altogether is for the file system to say: give the folder one of its own, or a quota. A full
# disk is answered with an error; the phone keeps its result and sends it again.
#
# Then, where the tables of the site are:   seatwork tally FOLDER @DROP@ --watch
"""

_NGINX_HTTP = """\
# Hand in results, nginx, part 1 of 2: goes into the http block, once for the whole server. Under Debian:
#
#   cp @HTTP@ /etc/nginx/conf.d/
#
# How many requests one address may make, counted in 10 MB of memory (160,000 addresses). People behind one address, as
# phones on one wireless network often are, share it: @RATE@ a minute, and @RATE@ at once after a quiet minute. A crew
# larger than that: raise the rate here, and the burst in part 2 with it. What is over is answered with 429, and the
# phone sends it again later.
limit_req_zone $binary_remote_addr zone=seatwork_hand_in:10m rate=@RATE@r/m;
"""

_NGINX = """\
# Hand in results, nginx, part 2 of 2: goes into the server block that serves the handbook. Under Debian, in the file
# of that server below /etc/nginx/sites-available:
#
#   include /srv/handbook/headers/@NAME@;
#
# Part 1, @HTTP@, goes into the http block. Make the folder (below); then: nginx -t && systemctl reload nginx
# Needs nginx 1.11 or newer with its dav module, as Debian's nginx, nginx-light and nginx-full are.
#
# What it does: PUT to @PATH@ keeps what was sent, up to 64 KB, in the drop folder as ID.json. nginx makes the ID; the
# name that was asked for is not used. So nothing is ever written over, and nobody needs to ask first whether a name
# is free: nginx ignores "If-None-Match: *" with PUT, and a test with if (-e ...) loses to another request of the same
# moment. Everything but PUT is refused: no reading, no listing, no taking away. An empty file, which nginx would take,
# is refused for its length.
#
@FOLDER@#
# Who may hand in: whoever reaches this server. What comes is marked again by seatwork tally, which trusts nothing.
# To ask for a name and a password set auth_basic for the whole server block: phones then ask as the handbook is opened.
# Asked here alone, in the middle of handing in, a person has 30 seconds to type them.
location ^~ @PATH@ {
    if ($request_method != PUT) { return 405; }
    if ($http_content_length !~ "^0*[1-9][0-9]*$") { return 411; }
    limit_req zone=seatwork_hand_in burst=@RATE@ nodelay;
    limit_req_status 429;

    client_max_body_size @BYTES@;
    client_body_timeout 30s;
    client_body_temp_path @DROP@/.arriving;

    root @DROP@;
    rewrite ^ /$request_id.json break;
    dav_methods PUT;
    create_full_put_path off;
    dav_access user:rw group:r;

    add_header Content-Security-Policy "default-src 'none'; frame-ancestors 'none'" always;
    add_header X-Content-Type-Options nosniff always;
    add_header Referrer-Policy no-referrer always;
    add_header Cache-Control no-store always;
}
"""

_APACHE = """\
# Hand in results, Apache 2.4: goes into the <VirtualHost> that serves the handbook. Under Debian:
#
#   a2enmod dav dav_fs unique_id alias allowmethods headers
#   Include /srv/handbook/headers/@NAME@     in the file of that host below /etc/apache2/sites-available
#   apachectl configtest && systemctl restart apache2      once the folders are made (below)
#
# What it does: PUT to @PATH@ keeps what was sent, up to 64 KB, in the drop folder as ID.json. Apache makes the ID
# (mod_unique_id); the name that was asked for is not used. So nothing is ever written over; without that module
# nothing is taken in. Everything but PUT is refused: no reading, no listing, no taking away. An empty file is refused,
# and so is part of a file.
#
# What it cannot do: Apache has no module of its own that counts the requests of one address. (mod_ratelimit slows
# down what the server sends, which is something else.) Here 64 KB a request and the size of the drop folder are the
# bounds. Where the server is open to more than your own network, limit addresses in front of it: in a proxy (the
# nginx files beside this one allow @RATE@ a minute and address), or in the firewall. People behind one address share
# such a limit.
#
@FOLDER@#
# Apache itself needs no .arriving: it writes to a hidden file in the folder, and renames it. It does need a place for
# its lock file, though nobody can lock anything. That lies outside of the drop folder: were it made on a full disk,
# Apache would answer 500 for ever after, until @DROP@-locks is emptied.
#
#   install -d -o www-data -g www-data -m 700 @DROP@-locks
#
# Who may hand in: whoever reaches this server. What comes is marked again by seatwork tally, which trusts nothing.
# To ask for a name and a password add AuthType and what goes with it, and put both Require lines in <RequireAll>. Do it
# for the whole handbook, so that phones ask as it is opened: here alone a person has 30 seconds to type them.
DavLockDB @DROP@-locks/locks
<Location "@PATH@">
    Alias "@DROP@/%{reqenv:UNIQUE_ID}.json"
    Dav On
    AllowMethods PUT
    Require expr "%{reqenv:UNIQUE_ID} != '' && %{HTTP:Content-Length} =~ /^0*[1-9][0-9]*$/ && %{HTTP:Content-Range} == ''"
    LimitRequestBody @BYTES@
    Options None

    Header always set Content-Security-Policy "default-src 'none'; frame-ancestors 'none'"
    Header always set X-Content-Type-Options nosniff
    Header always set Referrer-Policy no-referrer
    Header always set Cache-Control no-store
</Location>
<Directory "@DROP@">
    AllowOverride None
</Directory>
"""


def server_files(path: str, site: str = "") -> dict[str, str]:
    """The server files by name, for the path from the server's root where phones hand in, as ``/training/hand-in/``.

    With ``site``, the key of one of several sites on one server, files and drop folder are named after it: a result counts
    for the site it is from alone. The file for the http block is the same for all.
    """
    said = {
        "@FOLDER@": _FOLDER, "@PATH@": path, "@DROP@": f"{DROP}-{site}" if site else DROP, "@RATE@": str(A_MINUTE), "@BYTES@": str(MOST_BYTES), "@HTTP@": NGINX_HTTP,
    }  # fmt: skip
    made = {}
    for name, text in ((NGINX, _NGINX), (NGINX_HTTP, _NGINX_HTTP), (APACHE, _APACHE)):
        if site and name != NGINX_HTTP:
            name = name.replace(".conf", f"-{site}.conf")
        for mark, value in (said | {"@NAME@": name}).items():
            text = text.replace(mark, value)
        made[name] = text
    return made


def write_server_files(folder: Path, path: str | None, site: str = "") -> None:
    """Write the server files into the folder of headers; none where no ``path`` is set. ``site`` is as with :func:`server_files`."""
    for name, text in server_files(path, site).items() if path else ():
        (folder / name).write_text(text, "utf-8", newline="\n")
