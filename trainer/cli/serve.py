"""`trainer serve`: make the instance at the first run, say where the pages are, and serve them."""

from __future__ import annotations

import gc
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from trainer.cli.opening import keep_to_oneself, now
from trainer.errors import Refused
from trainer.serving.addresses import Address, lan_addresses, qr_text
from trainer.serving.backups import keep_backups
from trainer.serving.log import keep_log
from trainer.serving.server import check_port, make_server, run_until_stopped
from trainer.serving.sole import sole
from trainer.settings import Settings

if TYPE_CHECKING:
    from flask import Flask

    from trainer.serving.tls import TlsServer
    from trainer.web.access import Parts

PORT = 8000
THIS_MACHINE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
DEMO_FOLDER = "demo"
ANOTHER = (
    "CAUTION: another trainer is running on these records. Nothing is lost by that, but a passphrase typed in one "
    "is not known to the other, and each counts wrong sign-ins for itself. Stop one of them."
)


@click.command()
@click.option("--demo", is_flag=True, help="Invented people and records, in an instance folder of their own.")
@click.option(
    "--lan", is_flag=True, help="Let other machines and phones on this network reach the sign-in page."
)
@click.option("--host", default="", metavar="H", help="Listen on this address only.")
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(1, 65535), metavar="P")
@click.option(
    "--https", is_flag=True, help="Encrypt the connection, by an authority of this installation's own."
)
@click.pass_obj
def serve(settings: Settings, demo: bool, lan: bool, host: str, port: int, https: bool) -> None:
    """Start the pages; the first run makes the instance folder and offers the first account.

    Without options only this machine can reach them. Stop with Ctrl-C.

    \b
    Examples:
      trainer serve --demo
      trainer serve --lan
      trainer serve --lan --host 192.168.4.1 --port 8080
      trainer serve --lan --https
    """
    if demo:
        # Never the database that a setting names: invented people must not mix with real ones.
        settings = replace(Settings.load(settings.instance / DEMO_FOLDER), database="")
    listen = host or (EVERYWHERE if lan else THIS_MACHINE)
    addresses = offered(lan, host)
    check_port(listen, port)
    with nothing_thrown_away():
        own = names(listen, addresses)
        app = application(replace(settings, hosts=(*settings.hosts, *own)), demo)
        server = encrypted(app, settings, own, listen, port) if https else make_server(app, listen, port)
    keep_log(settings.instance)
    over = threading.Event()
    keep_backups(settings, now, over)  # first, since a passphrase that is missing is no trainer that runs
    walk_chain(app, over)
    watch_clock(app, over)
    local = Address(host if host not in ("", EVERYWHERE, "::") else THIS_MACHINE, "")
    scheme = "https" if https else "http"
    announce(app, local.url(port, scheme), demo)
    if https:
        announce_authority(settings)
    if lan:
        announce_lan(addresses, port, scheme)
    try:
        with sole(settings.instance) as alone:
            if not alone:
                click.echo(ANOTHER, err=True)
            run_until_stopped(server)
    finally:
        over.set()


def walk_chain(app: Flask, over: threading.Event) -> None:
    """Have the chain of notes walked beside the pages."""
    from trainer.serving.walking import keep_walking
    from trainer.web.employer.chain import pace_of

    keep_walking(pace_of(app), over)


def watch_clock(app: Flask, over: threading.Event) -> None:
    """Have the clock watched: running examinations follow one that is set back.

    Not where records are on a server: other machines, whose clocks are right, may hold the same examination.
    """
    from trainer.serving.clock_watch import ClockWatch, keep_watch

    parts: Parts = app.extensions["trainer"]
    if parts.database.is_sqlite:
        keep_watch(ClockWatch(parts.database, parts.clock), over)


@contextmanager
def nothing_thrown_away() -> Iterator[None]:
    """Leave what a start makes alone: it is all needed until the end, so Python need not look for rubbish in it.

    Looking costs a tenth of the start, and afterwards some 30 ms in the midst of an answer. What comes later is looked
    through less often than usual: a page makes some thousand small things and needs none of them once it is sent.
    """
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.set_threshold(20_000, *gc.get_threshold()[1:])
        gc.enable()


def offered(lan: bool, host: str) -> tuple[Address, ...]:
    """The addresses to show to a classroom: the chosen one, or every private one of this machine."""
    if not lan:
        return ()
    if host and host != EVERYWHERE:
        return (Address(host, "chosen"),)
    found = lan_addresses()
    if not found:
        raise Refused(
            "This machine is on no private network, so nobody could reach it. Join a Wi-Fi or switch on this "
            "machine's own hotspot, then try again; or name an address with --host."
        )
    return found


def names(listen: str, addresses: tuple[Address, ...]) -> tuple[str, ...]:
    """What browsers may call this machine: only these host names are answered."""
    own = [address.ip for address in addresses]
    if listen not in (EVERYWHERE, THIS_MACHINE):
        own.append(f"[{listen}]" if ":" in listen else listen)
    if addresses:
        own += [socket.gethostname().lower(), f"{socket.gethostname().lower()}.local"]
    return tuple(dict.fromkeys(own))


def application(settings: Settings, demo: bool) -> Flask:
    """The pages over an instance folder, which is made or filled at the first run.

    Raises Refused when the folder cannot be written.
    """
    from trainer.app import create_app
    from trainer.services.proving import signing_key

    keep_to_oneself()
    try:
        settings.prepare()
        signing_key.ensure(settings.instance)
        app = create_app(settings)
    except OSError as problem:
        raise Refused(
            f"The folder {settings.instance} cannot be written ({problem.strerror or problem}). "
            "Choose another with: trainer --instance DIR serve"
        ) from problem
    if demo:
        fill_with_demo(app.extensions["trainer"])
    return app


def fill_with_demo(parts: Parts) -> None:
    """Fill an instance that nobody is in yet with the invented shop, and say how to sign in."""
    from trainer.services.inventing import demo

    for line in demo.fill(parts.database, parts.shelf, parts.clock()):
        click.echo(line)


def announce(app: Flask, url: str, demo: bool) -> None:
    """Say where the pages are, how the first person gets in, and whether the clock cannot be right."""
    from flask import url_for

    from trainer.services.admitting import joining
    from trainer.services.keeping import audit, clock

    parts: Parts = app.extensions["trainer"]
    click.echo(f"The trainer is running at {url}  (stop with Ctrl-C; records in {parts.settings.instance})")
    with parts.database.writing() as session:
        token, newest = joining.first_code(session, now()), audit.newest_time(session)
    if wrong := clock.trouble(now(), newest):
        click.echo(f"CAUTION: the clock of this machine {wrong}", err=True)
    if token:
        with app.test_request_context(base_url=url):
            link = url_for("public.make_first", token=token, _external=True)
        click.echo(f"Nobody has an account yet. Open this link once to make the first one:\n  {link}")


def encrypted(app: Flask, settings: Settings, own: tuple[str, ...], listen: str, port: int) -> TlsServer:
    """The server behind TLS, with a certificate for the names that browsers call this machine by."""
    from trainer.serving.certificates import context
    from trainer.serving.tls import TlsServer

    hosts = dict.fromkeys(("localhost", THIS_MACHINE, "::1", *own, *settings.hosts))
    return TlsServer(app, context(settings.instance, [*hosts], now()), listen, port)


def announce_authority(settings: Settings) -> None:
    """Say why a browser warns, and how it is told to trust this installation."""
    from trainer.serving.certificates import AUTHORITY, FOLDER, fingerprint

    click.echo(
        "\nA browser warns, since no authority that it knows vouches for this machine. Give each device the file\n"
        f"  {settings.instance / FOLDER / AUTHORITY}\n"
        "to trust, by a stick and not by the network. Before it is trusted the device shows its SHA-256; compare:\n"
        f"  {fingerprint(settings.instance)}\n"
        "It vouches for private addresses and this machine's own names only."
    )


def announce_lan(addresses: tuple[Address, ...], port: int, scheme: str = "http") -> None:
    """Say what listening on the network means, and show the address as text and as a QR code."""
    says = "Anybody on this network can reach the sign-in page."
    if scheme == "http":
        says += (
            " The connection is plain http: use it on a network\n"
            "you trust, such as a router or hotspot of your own, and stop the trainer when the class is over."
        )
    click.echo(f"\n{says}\n")
    for address in addresses:
        click.echo(f"  {address.url(port, scheme)}   ({address.interface})")
    for line in qr_text(addresses[0].url(port, scheme)).splitlines():
        click.echo("  " + click.style(line, fg="bright_white", bg="black"))
    if len(addresses) > 1:
        click.echo(f"The code is for {addresses[0].ip}. For another one: trainer serve --lan --host ADDRESS")
