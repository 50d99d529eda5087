"""Outside check of custody: for the demonstration and every log of the corpus's clean folder a bundle is made; GNU
sha256sum (--strict --warn) accepts its manifest without a warning, the tree head is that of RFC 6962, 2.1, worked out here
by its recursive definition over the lines of the file, and ssh-keygen signs and verifies the manifest, unchanged and
changed. Both programs must be there.
Usage: custody.py PATH-TO-LOGASSAY
"""
import hashlib
import pathlib
import re
import subprocess
import sys
import tempfile


def head(leaves):
    if not leaves:
        return hashlib.sha256(b"").digest()
    if len(leaves) == 1:
        return hashlib.sha256(b"\0" + leaves[0]).digest()
    half = 1
    while half * 2 < len(leaves):
        half *= 2
    return hashlib.sha256(b"\1" + head(leaves[:half]) + head(leaves[half:])).digest()


def run(*command, **more):
    return subprocess.run(list(map(str, command)), capture_output=True, text=True, **more)


def verify(folder, signers):
    manifest = folder / "MANIFEST.sha256"
    command = ["ssh-keygen", "-Y", "verify", "-n", "logassay-custody", "-f", str(signers), "-I", "expert@kestrane"]
    with manifest.open() as stream:
        done = subprocess.run([*command, "-s", f"{manifest}.sig"], stdin=stream, capture_output=True)
    return done.returncode


def main():
    binary = pathlib.Path(sys.argv[1]).resolve()
    bundles = heads = 0
    with tempfile.TemporaryDirectory() as scratch:
        scratch = pathlib.Path(scratch)
        key, signers = scratch / "key", scratch / "signers"
        assert run("ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", key).returncode == 0
        signers.write_text("expert@kestrane " + key.with_suffix(".pub").read_text())
        for log in sorted([*pathlib.Path("corpus/clean").glob("*.log"), *pathlib.Path("corpus/demonstration").glob("*.log")]):
            folder = scratch / f"bundle-{bundles}"
            case = log.with_suffix(".case.toml")
            papers = ["--case", case] if case.exists() else []
            also = ["--also", "typst", "--date", "2031-06-02"] if log.parent.name == "demonstration" else []
            done = run(binary, "examine", log, *papers, "--bundle", folder, *also)
            assert done.returncode in (0, 1), done.stderr
            manifest = (folder / "MANIFEST.sha256").read_text()
            sums = run("sha256sum", "-c", "--strict", "--warn", "MANIFEST.sha256", cwd=folder)
            assert sums.returncode == 0 and not sums.stderr, (log, sums.stderr)
            assert (folder / "written/typst/document.json").exists() == bool(also), log
            assert sums.stdout.count(": OK\n") == sum(1 for path in folder.rglob("*") if path.is_file()) - 1, log
            lines = [line.rstrip(b"\r") for line in log.read_bytes().split(b"\n")]
            records = [line for line in lines if re.match(rb"(\d+|-) (\d{4}-\d\d-\d\d \d\d:\d\d|- )", line)]
            stated = re.search(r"; (\d+) record lines, RFC 6962 tree head ([0-9a-f]{64})\n", manifest)
            if stated:
                assert (int(stated[1]), stated[2]) == (len(records), head(records).hex()), log
                heads += 1
            bundles += 1
        assert bundles > 5 and heads > 5, (bundles, heads)
        sign = ["ssh-keygen", "-q", "-Y", "sign", "-n", "logassay-custody", "-f", key, folder / "MANIFEST.sha256"]
        assert run(*sign).returncode == 0
        check = [binary, "custody", "check", folder, "--signers", signers, "--signer", "expert@kestrane"]
        assert verify(folder, signers) == 0 and run(*check).returncode == 0
        paper = next(path for path in (folder / "written").rglob("*") if path.is_file())
        paper.write_bytes(paper.read_bytes() + b"x")
        assert run("sha256sum", "-c", "--strict", "--status", "MANIFEST.sha256", cwd=folder).returncode == 1
        assert run(*check).returncode == 1
        (folder / "MANIFEST.sha256").write_text(manifest.replace("# tool: ", "# tool:  "))
        assert verify(folder, signers) != 0 and "does NOT hold" in run(*check).stdout
    print(f"custody: {bundles} bundles accepted by sha256sum, {heads} tree heads agree, signature verified and refused")


main()
