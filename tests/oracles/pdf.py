"""Outside check of the PDF: `logassay document --form typst` writes what Typst sets, the PyPI wheel of Typst sets it, and
other programs judge it. qpdf (structure), pikepdf (what the file claims, PDF/A parts 1 to 3: ISO 19005, 6.7.11 and 6.6.4; no
action, no attachment, every font embedded, page labels), poppler's pdftotext (every text of the document in its order,
page x of y, running head), Apache PDFBox Preflight for part 1 (and it must refuse a file that is none), the bytes of two
runs. Names in Devanagari, Arabic and Ethiopic with Debian's Noto fonts and without. With PDF given, the PDF of the program
itself must have the same bytes as the wheel's.
Usage: pdf.py PATH-TO-LOGASSAY [pdf]
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

import pikepdf
import typst

JARS = ["preflight", "pdfbox2", "xmpbox", "fontbox2", "commons-logging", "javax.activation", "jaxb-api"]
NOTO = pathlib.Path("/usr/share/fonts/truetype/noto")
CLAIMS = {"a-1b": "1B", "a-2b": "2B", "a-2u": "2U", "a-3b": "3B"}
DATED = ("--date", "2031-06-02")  # PDF/A asks for a date, and no clock is read
HEAD, FOOT = 70, 60  # points of a page that the running head and foot take


def run(*command):
    return subprocess.run(list(map(str, command)), capture_output=True, text=True)


def set_by_wheel(folder, standard):
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(folder / "fonts")])
    compiler = typst.Compiler(str(folder / "document.typ"), root=str(folder), font_paths=fonts)
    pdf, warnings = compiler.compile_with_warnings(format="pdf", pdf_standards=standard)
    assert not warnings, [str(warning) for warning in warnings]
    return pdf


def strings(data):
    """Texts of the data in their order: words in pieces as they stand together."""
    if isinstance(data, list):
        if data and all(isinstance(piece, str) for piece in data):
            yield "".join(data)
        elif data and all(isinstance(p, list) and len(p) == 3 and p[0] in ("plain", "strong", "code", "link") for p in data):
            yield "".join("".join(piece[1]) for piece in data)
        else:
            for part in data:
                yield from strings(part)
    elif isinstance(data, dict):
        for key, part in data.items():
            if key not in ("svg", "is", "mark", "plain", "anchor", "link", "alternative") and not isinstance(part, str):
                yield from strings(part)


def titles(sections):
    for section in sections:
        yield "".join(section["title"])
        yield from titles(section["sections"])


def letters(text):
    """A text without what a page may change: spaces and line ends."""
    return re.sub(r"\s+", "", text)


def acts(pdf):
    """What a PDF could do, or hide: actions but those that lead to a place in it, scripts, files."""
    for thing in pdf.objects:
        if isinstance(thing, (pikepdf.Dictionary, pikepdf.Stream)):
            for key in ("/JS", "/JavaScript", "/AA", "/OpenAction", "/EF", "/EmbeddedFiles", "/Launch", "/URI", "/XFA"):
                if key in thing:
                    yield f"{key} in {thing.objgen}"
            if thing.get("/Type") == "/Action" or ("/S" in thing and "/D" in thing):
                if thing.get("/S") not in ("/GoTo", "/D", "/R", "/r", "/A", "/a"):
                    yield f"action {thing.get('/S')}"


def check(pdf_path, data, standard):
    structure = run("qpdf", "--check", pdf_path)
    assert structure.returncode == 0, structure.stdout + structure.stderr
    with pikepdf.open(pdf_path) as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata.pdfa_status == CLAIMS[standard], metadata.pdfa_status
            assert data["id"] in metadata["dc:title"]
            assert str(metadata["xmp:CreateDate"]).startswith(DATED[1]), "the date is the stated one"
        assert "/PageLabels" in pdf.Root and pdf.Root.Lang == data["about"]["language"]
        assert ("/Outlines" in pdf.Root) == data["bookmarks"], "bookmarks"
        found = list(acts(pdf))
        assert not found, found
        fonts = set()
        for thing in pdf.objects:
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor":
                assert any(f"/FontFile{kind}" in thing for kind in ("", "2", "3")), "a font is not embedded"
                fonts.add(str(thing.FontName).split("+")[-1])
        pages = len(pdf.pages)
    body = run("pdftotext", "-raw", "-nopgbrk", "-x", 0, "-y", HEAD, "-W", 596, "-H", 842 - HEAD - FOOT, pdf_path, "-").stdout
    flat = letters(body)
    missing = [text for text in strings(data["sections"]) if letters(text) not in flat]
    # What stands in a table over the end of a page is not read in one piece; its words are.
    lost = [t for t in missing if any(letters(word) not in flat for word in t.split())]
    assert not lost, (len(lost), lost[:3])
    at = 0
    for title in titles(data["sections"]):
        at = flat.find(letters(title), at)
        assert at >= 0, f"the title {title} is not in its place"
    for page in range(1, pages + 1):
        text = run("pdftotext", "-layout", "-f", page, "-l", page, pdf_path, "-").stdout
        for mark in (f"page {page} of {pages}", f"Report id {data['id']}", f"{data['edition']} edition"):
            assert mark in text, f"{mark} is not on page {page}"
        for mark in (data["digest"], data["demonstration"]):
            assert mark is None or mark in text, f"{mark} is not on page {page}"
    return pages, fonts, body


def preflight(pdf_path):
    path = ":".join(f"/usr/share/java/{jar}.jar" for jar in JARS)
    return run("java", "-cp", path, "org.apache.pdfbox.preflight.Validator_A1b", pdf_path)


def main():
    binary = pathlib.Path(sys.argv[1]).resolve()
    has_press = sys.argv[2:] == ["pdf"]
    done = set_pages = same = 0
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)

        def document(name, *arguments, standard="a-2b"):
            nonlocal done, set_pages, same
            out, again = folder / name, folder / "again" / name
            again.parent.mkdir(exist_ok=True)
            for place in (out, again):
                made = run(binary, "document", *arguments, "--form", "typst", "--pdf-standard", standard, "--out", place)
                assert made.returncode == 0, made.stderr
            data = json.loads((out / "document.json").read_text())
            pdf = set_by_wheel(out, standard)
            assert pdf == set_by_wheel(again, standard), f"{name}: two runs give other bytes"
            path = folder / f"{name}.pdf"
            path.write_bytes(pdf)
            if has_press:
                own = folder / f"{name}.own.pdf"
                made = run(binary, "document", *arguments, "--form", "pdf", "--pdf-standard", standard, "--out", own)
                assert made.returncode == 0, made.stderr
                assert own.read_bytes() == pdf, f"{name}: the program and the wheel give other bytes"
                same += 1
            pages, fonts, body = check(path, data, standard)
            done += 1
            set_pages += pages
            return path, fonts, body, data

        for standard in CLAIMS:
            path, _, _, data = document(f"disputed-{standard}", "--demonstration", "disputed-unit", *DATED, standard=standard)
            assert len(data["digest"]) == 64 and data["demonstration"], "the running head has something to say"
            judged = preflight(path)
            assert (judged.returncode == 0) == (standard == "a-1b"), judged.stdout + judged.stderr
        for name in ("clean-life", "busy-unit"):
            path, _, _, data = document(f"{name}-public", "--demonstration", name, "--edition", "public", *DATED)

        # The checks can fail: a text that is not there, an action that is.
        data["sections"][0]["blocks"].append({"is": "paragraph", "text": [["plain", ["quicksilver"], None]]})
        try:
            check(path, data, "a-2b")
        except AssertionError as found:
            assert "quicksilver" in str(found), found
        else:
            raise SystemExit("a text that is not in the file is not missed")
        with pikepdf.open(path) as pdf:
            for action in ({"/S": "/URI", "/URI": "x:"}, {"/S": "/JavaScript", "/JS": "1"}, {"/S": "/Launch"}):
                names = {k: pikepdf.Name(v) if v.startswith("/") else v for k, v in action.items()}
                pdf.Root.Other = pdf.make_indirect(pikepdf.Dictionary({**names, "/Type": pikepdf.Name("/Action")}))
                assert list(acts(pdf)), action

        log = folder / "hostile.log"
        hostile = "#panic(1) $x$ *b* @nowhere <line-1> ]) #read(\"/etc/passwd\") <script>alert(1)</script>"
        log.write_text(
            f"unit-event-log 1\nserial: <b>1</b>\n\n; {hostile} \u202eabc\x1b[31m =1+1\n1 2031-05-10 07:00:05 enable\n"
            f"2 2031-05-10 07:00:31 vote\n3 2031-05-10 07:00:40 battery-level level={'x' * 10000}\n"
        )
        case = folder / "hostile.toml"
        case.write_text("[matter]\ntitle = '#include \"/etc/passwd\"'\nopinion = ']) #import \"@preview/a:1.0.0\"'\n")
        for standard in ("a-2b", "a-1b"):
            path, _, body, _ = document(f"hostile-{standard}", log, "--case", case, *DATED, standard=standard)
            flat = letters(body)
            for text in (hostile, '#include "/etc/passwd"', "\\u{202e}abc\\u{1b}[31m"):
                assert letters(text) in flat, text
            assert "root:" not in body
            if standard == "a-1b":
                judged = preflight(path)
                assert judged.returncode == 0, judged.stdout + judged.stderr

        names = {"NotoSansDevanagari": "आशा नेगी", "NotoNaskhArabic": "ليلى حداد", "NotoSansEthiopic": "አበበ ከበደ"}
        case = folder / "names.toml"
        case.write_text(f"[matter]\nexaminer = \"{' / '.join(names.values())}\"\n", encoding="utf-8")
        log = folder / "unit.log"
        log.write_text("unit-event-log 1\nserial: CU-20417\n1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:31 vote\n")
        given = [word for name in names for word in ("--font", NOTO / f"{name}-Regular.ttf")]
        for standard in CLAIMS:
            path, fonts, body, _ = document(f"names-{standard}", log, "--case", case, *given, *DATED, standard=standard)
            for name in names:
                assert any(font.startswith(name) for font in fonts), (name, fonts)
            flat = letters(body)
            assert "[U+" not in flat
            # Letters of a script that runs from right to left are read by pdftotext in the order of their reading.
            for word in names.values():
                assert sorted(set(letters(word)) - set(flat)) == [], word
            assert "፡" not in flat and letters(names["NotoSansEthiopic"]) in flat
            if standard == "a-1b":
                judged = preflight(path)
                assert judged.returncode == 0, judged.stdout + judged.stderr
        _, fonts, body, _ = document("names-without", log, "--case", case, *DATED)
        flat = letters(body)
        # Arabic letters are in a font that comes with the program; the others are in none.
        for name in ("NotoSansDevanagari", "NotoSansEthiopic"):
            for letter in letters(names[name]):
                assert f"[U+{ord(letter):04X}]" in flat and letter not in flat, letter
        assert set(letters(names["NotoNaskhArabic"])) <= set(flat)
        assert all(not font.startswith("Noto") for font in fonts), fonts
    print(
        f"{done} documents of {set_pages} pages set by the wheel (typst {typst.__version__ if hasattr(typst, '__version__') else ''}): structure, "
        "claims, contents, order, running lines, fonts and inertness hold; each twice the same bytes"
    )
    print(
        "part 1 judged by Debian's Apache PDFBox Preflight 2.0; Maven Central is not among the registries of this machine"
    )
    if has_press:
        print(f"{same} documents of the program itself have the same bytes")


main()
