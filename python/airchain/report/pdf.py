"""The report as PDF, set from its HTML by WeasyPrint."""

from __future__ import annotations

import re
from base64 import b64encode
from types import ModuleType

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..shown.lean_svg import glyphs_of, with_glyphs
from .pdf_pictures import with_fewer_elements
from .pdf_text import with_text

#: Papers, by the name CSS has for them.
PAPERS = ("A4", "Letter")
#: Letter is shorter than A4 and wider: edges and letters shrink a little, and pictures' share.
_FITTED = {
    "A4": "",
    "Letter": (
        "@page { margin: 10mm 15mm 11mm !important } body { font-size: 8.6pt !important } "
        "h2 { margin-top: 11pt !important } table { font-size: 7.4pt !important } "
        ".small table { font-size: 6.8pt !important } .first table { font-size: 8.2pt !important } "
        "ul { font-size: 7.8pt !important; line-height: 1.2 !important } "
        ".pair { width: 47% !important } "
        "figure svg, figure img { width: 77% !important } "
        ".tall svg, .tall img { width: 51% !important } "
        "figure.pair svg, figure.pair img { width: 100% !important } "
        ".first figure svg, .first figure img { width: 92% !important }"
    ),
}
_FONT = '"DejaVu Sans", sans-serif'  # comes with Pango's packages, and is the pictures' own
_MISSING = (
    "WeasyPrint is installed, but not the system library it sets text with ({why}); on Debian "
    "apt-get install libpango-1.0-0 libpangoft2-1.0-0; the HTML needs neither"
)


def checked_paper(paper: str) -> str:
    """Return the paper, or refuse it."""
    if paper not in PAPERS:
        raise refusal("report", "paper", quoted(paper), f"be {' or '.join(PAPERS)}")
    return paper


def weasyprint() -> ModuleType:
    """Return WeasyPrint, or say what is missing: the package or its system library."""
    try:
        return extra("weasyprint")
    except OSError as error:
        why = str(error).splitlines()[0][:120]
        raise OSError(_MISSING.format(why=why)) from error


def as_pdf(html: str, paper: str = "A4") -> bytes:
    """Return a document of HTML as PDF.

    Parameters
    ----------
    html : str
        The document; it may need nothing from elsewhere.
    paper : str
        ``"A4"`` or ``"Letter"``.

    Returns
    -------
    bytes
        The PDF, the same for the same document.

    Raises
    ------
    InputError
        There is no such paper.
    ModuleNotFoundError, OSError
        WeasyPrint or Pango is not installed.
    """
    size = checked_paper(paper)
    library = weasyprint()
    style = (
        f"@page {{ size: {size} }} @page wide {{ size: {size} landscape }} "
        f"body {{ font-family: {_FONT} }} {_FITTED[size]}"
    )
    # Nothing from elsewhere is allowed: a report that asked for something would show it.
    alone = library.urls.URLFetcher(allowed_protocols=("data",), fail_on_errors=True)
    document = library.HTML(string=_apart(html), url_fetcher=alone)
    pdf: bytes = document.write_pdf(
        stylesheets=[library.CSS(string=style)], pdf_identifier=b"airchain", pdf_tags=True
    )
    return pdf


def _apart(html: str) -> str:
    """Return a document whose pictures are documents of their own, to which no style applies.

    Their thousands of elements then need no style, which is a sixth of the work, and their letters
    are text, which spares another third.
    """
    glyphs = glyphs_of(html)
    # What stands beside the HTML need not stand beside the PDF: it is named there.
    html = re.sub(r'<a class="live"[^>]*>(.*?)</a>', r"\1", html)

    def picture(match: re.Match[str]) -> str:
        label, svg = match.groups()
        lean = with_fewer_elements(with_glyphs(with_text(svg), glyphs))
        data = b64encode(lean.encode()).decode()
        return f'{label}<img alt="" src="data:image/svg+xml;base64,{data}">'

    return re.sub(r"(<figure[^>]*>)(<svg\b.*?</svg>)", picture, html, flags=re.DOTALL)
