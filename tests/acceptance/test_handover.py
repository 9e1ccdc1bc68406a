"""A case signed, stamped, handed over in one file, and checked where nothing else of it is."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from helpers_cli import proveout
from proveout import __version__

#: Of the checkout.
ROOT = Path(__file__).resolve().parents[2]

#: An authority of our own, for openssl: the tests ask nobody else.
AUTHORITY = """
[req]
distinguished_name = dn
x509_extensions = ca
prompt = no
[dn]
CN = Root of the tests
[ca]
basicConstraints = critical,CA:TRUE
keyUsage = critical,keyCertSign
subjectKeyIdentifier = hash
[leaf]
basicConstraints = critical,CA:FALSE
keyUsage = critical,digitalSignature
extendedKeyUsage = critical,timeStamping
subjectKeyIdentifier = hash
authorityKeyIdentifier = keyid
[stamps]
serial = ./serial
crypto_device = builtin
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256
ess_cert_id_alg = sha256
"""


class Shop:
    """A directory with a case in it and a user's own directories beside."""

    def __init__(self, home: Path) -> None:
        self.home, self.case = home, home / "mycar.yaml"
        self.run("intake", self.case, "--code", "P0442", "--age", "14")
        self.run("record", self.case, "cap-seal-look", "sound")

    def run(self, *arguments: object) -> str:
        found = proveout(*arguments, home=self.home)
        assert found.code == 0, found.err
        return found.out + found.err

    def code(self, *arguments: object) -> tuple[int, str]:
        found = proveout(*arguments, home=self.home)
        return found.code, found.out + found.err


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    home = tmp_path / "shop"
    home.mkdir()
    return Shop(home)


def handed(shop: Shop) -> Path:
    out = shop.home / "mycar.handover"
    shop.run("audit", shop.case, "--export", out)
    return out


def test_a_handed_over_case_is_replayed_where_nothing_else_of_it_is(shop: Shop, tmp_path: Path) -> None:
    layer = shop.home / "our-rules"
    layer.mkdir()
    (layer / "cap.yaml").write_text(
        "causes:\n"
        "  - {id: our-own, title: Our own fault, component: purge-valve, base_rate: 1 per 1000,\n"
        "     base_rate_source: own jobs, remedy: {action: clean, minutes: 5}}\n"
        "inspections:\n"
        "  - id: our-own-look\n    title: Look at our own\n    kind: visual\n    minutes: 2\n"
        "    results:\n"
        "      fine: {is: normal, means: Nothing.}\n"
        "      bad: {is: abnormal, means: There it is., shows: [our-own], seen_with: {our-own: 0.9},\n"
        "            otherwise: 0.01}\n"
        "    steps: [Look.]\n    source: own jobs\n"
        "rules:\n"
        "  - {id: our-own-code, when: {code: P0442}, seen_with: {our-own: often}, because: Seen here.,\n"
        "     source: own jobs}\n"
    )
    noted = shop.run("triage", shop.case, "--rules", layer)
    assert (
        "was given with the shipped rules alone; this is answered with the shipped rules and our-rules"
        in noted
    )
    shop.run("record", shop.case, "our-own-look", "fine", "--rules", layer)
    out = handed(shop)
    shutil.rmtree(layer)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    found = proveout("audit", out, home=elsewhere)
    assert found.code == 0, found.out + found.err
    said = " ".join(found.out.split())
    assert "Handed over: mycar.yaml" in said and "the shipped rules and our-rules" in said
    assert "Look at our own" in said and not (elsewhere / "data").exists()


def later_version(home: Path) -> Path:
    """Return a copy of the program as a later version with another book, as a directory to import it from."""
    for name in ("engine/proveout", "rules", "schemas", "cases"):
        shutil.copytree(ROOT / name, home / name, ignore=shutil.ignore_patterns("__pycache__"))
    version = home / "engine" / "proveout" / "__init__.py"
    version.write_text(version.read_text("utf-8").replace(f'"{__version__}"', '"99.1.0"'), "utf-8")
    rates = home / "rules" / "evap" / "purge-valve.yaml"
    changed = re.sub(r"base_rate: [0-9.]+ per 1000", "base_rate: 1.5 per 1000", rates.read_text("utf-8"))
    rates.write_text(changed, "utf-8")
    return home / "engine"


def test_a_later_version_with_another_book_replays_it(shop: Shop, tmp_path: Path) -> None:
    out, home = handed(shop), tmp_path / "later"
    places = {f"XDG_{name}_HOME": str(tmp_path / name) for name in ("DATA", "CACHE", "CONFIG")}
    environment = {**os.environ, **places, "PYTHONPATH": str(later_version(home)), "COLUMNS": "200"}

    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        program = "from proveout.cli.entry import entry; entry()"
        command = [sys.executable, "-c", program, *map(str, arguments)]
        return subprocess.run(
            command, env=environment, cwd=tmp_path, text=True, capture_output=True, check=False, timeout=900
        )

    assert run("--version").stdout.startswith("proveout 99.1.0 ")
    found = run("audit", out)
    assert found.returncode == 0, found.stdout + found.stderr
    assert f"proveout {__version__}" in found.stdout


def test_a_changed_archive_is_found(shop: Shop, tmp_path: Path) -> None:
    out = handed(shop)
    with zipfile.ZipFile(out) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    for name, data in members.items():
        if name == "handover.json":
            continue
        changed = tmp_path / "changed.handover"
        with zipfile.ZipFile(changed, "w") as archive:
            for other, content in members.items():
                archive.writestr(other, data[:-40] + data[-39:] if other == name else content)
        (shop.home / "elsewhere").mkdir(exist_ok=True)
        found = proveout("audit", changed, "--rules", "-", home=shop.home / "elsewhere")
        # A list of packs only says where to look; all else is held by a digest of the case.
        today = not name.endswith(".yaml")
        assert found.code in ((0,) if today else (4,)), (name, found.out)


def test_what_is_no_archive_of_ours_is_refused(shop: Shop) -> None:
    other = shop.home / "other.zip"
    with zipfile.ZipFile(other, "w") as archive:
        archive.writestr("../../evil.yaml", b"x")
    code, said = shop.code("audit", other)
    assert (code, "no-handover" in said) == (3, True)
    other.write_bytes(b"PK\x03\x04torn")
    code, said = shop.code("audit", other)
    assert (code, "no-handover" in said) == (3, True)


def test_nothing_is_written_over(shop: Shop) -> None:
    out = handed(shop)
    code, said = shop.code("audit", shop.case, "--export", out)
    assert (code, "file-exists" in said) == (3, True)


def test_a_signed_case_says_who_cannot_have_changed_it(shop: Shop) -> None:
    assert "proves nothing against its own keeper" in " ".join(shop.run("audit", shop.case).split())
    key = shop.home / "shop.key"
    shop.run("seal", "--new-key", key)
    assert key.stat().st_mode & 0o077 == 0
    shop.run("seal", shop.case, "--key", key)
    public = shop.home / "shop.key.pub"
    said = " ".join(shop.run("audit", shop.case, "--signer", public).split())
    assert "Up to event 4 nobody without the key you named can have changed it" in said
    shop.run("record", shop.case, "cap-seat-and-click", "seated")
    code, said = shop.code("audit", shop.case, "--signer", public)
    assert (code, "not-signed" in said) == (1, True)


@pytest.mark.skipif(shutil.which("openssl") is None, reason="openssl plays the authority")
def test_a_time_stamp_is_verified_offline(shop: Shop) -> None:
    home = shop.home
    (home / "tsa.cnf").write_text(AUTHORITY)
    (home / "serial").write_text("01")

    def openssl(line: str) -> None:
        subprocess.run(["openssl", *line.split()], cwd=home, check=True, capture_output=True)

    new = "-newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes"
    openssl(f"req -x509 {new} -keyout ca.key -out ca.pem -days 30 -config tsa.cnf -extensions ca")
    openssl(f"req {new} -keyout tsa.key -out tsa.csr -subj /CN=Stamps -config tsa.cnf")
    signing = "-CA ca.pem -CAkey ca.key -CAcreateserial -days 30 -extfile tsa.cnf -extensions leaf"
    openssl(f"x509 -req -in tsa.csr {signing} -out tsa.pem")
    shop.run("seal", shop.case, "--request", home / "q.tsq")
    openssl(
        "ts -reply -queryfile q.tsq -config tsa.cnf -section stamps -signer tsa.pem -inkey tsa.key -out r.tsr"
    )
    shop.run("seal", shop.case, "--stamp", home / "r.tsr")
    said = shop.run("audit", shop.case, "--authority", home / "ca.pem")
    assert "UTC by CN=Stamps: holds" in said and "Event 4 and all before it existed" in said
    assert "no certificate of an authority was given" in " ".join(shop.run("audit", shop.case).split())
    openssl(f"req -x509 {new} -keyout o.key -out other.pem -days 30 -config tsa.cnf -extensions ca")
    code, said = shop.code("audit", shop.case, "--authority", home / "other.pem")
    assert (code, "false-stamp" in said) == (1, True)
    other = home / "other.yaml"
    shop.run("intake", other, "--code", "P0442")
    code, said = shop.code("seal", other, "--stamp", home / "r.tsr")
    assert (code, "other-stamp" in said) == (3, True)
