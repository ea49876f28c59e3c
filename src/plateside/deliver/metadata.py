"""The XMP packet that goes into every finished and delivered picture: words, maker and rights, what was done to it.

ISO 16684-1 (XMP), Dublin Core, XMP Rights Management, XMP Media Management (History), IPTC Photo
Metadata Standard 2021.1 and later (Alt Text), PLUS.
Nothing of the place is written: no GPS, no address.
"""

import xml.etree.ElementTree as ET

from plateside.deliver.rights import Rights
from plateside.deliver.words import Words

NAMESPACES = {
    "x": "adobe:ns:meta/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "dc": "http://purl.org/dc/elements/1.1/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "xmpRights": "http://ns.adobe.com/xap/1.0/rights/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "Iptc4xmpCore": "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/",
    "xmpMM": "http://ns.adobe.com/xap/1.0/mm/",
    "stEvt": "http://ns.adobe.com/xap/1.0/sType/ResourceEvent#",
    "plus": "http://ns.useplus.org/ldf/xmp/1.0/",
}
_XML_LANG = "{http://www.w3.org/XML/1998/namespace}lang"


def xmp_packet(
    words: Words,
    rights: Rights,
    keywords: tuple[str, ...] = (),
    done: tuple[str, ...] = (),
    taken_at: str = "",
    document: str = "",
) -> bytes:
    """The packet as UTF-8, for JPEG, WebP, AVIF, PNG and TIFF alike.

    done      what was done to the picture: an event of its history each
    taken_at  when it was taken, as ISO 8601 has it; empty: not said
    document  by which it is known again once it was saved by another program; empty: not said
    """
    for prefix, address in NAMESPACES.items():
        ET.register_namespace(prefix, address)
    root = ET.Element(_name("x:xmpmeta"))
    rdf = ET.SubElement(root, _name("rdf:RDF"))
    about = ET.SubElement(rdf, _name("rdf:Description"), {_name("rdf:about"): ""})

    language = rights.language
    _languages(about, "dc:title", words.title, language)
    _languages(about, "dc:description", words.description, language)
    _languages(about, "Iptc4xmpCore:AltTextAccessibility", words.alt_text, language)
    _list(about, "dc:creator", "rdf:Seq", (rights.creator,))
    _languages(about, "dc:rights", rights.copyright, language)
    if keywords:
        _list(about, "dc:subject", "rdf:Bag", keywords)
    _text(about, "photoshop:Credit", rights.credit)
    _text(about, "photoshop:DateCreated", taken_at)
    _text(about, "xmpRights:Marked", "True")
    _text(about, "xmpRights:WebStatement", rights.licence_url)
    _languages(about, "xmpRights:UsageTerms", rights.usage_terms, language)
    if rights.acquire_url:
        seq = ET.SubElement(ET.SubElement(about, _name("plus:Licensor")), _name("rdf:Seq"))
        one = ET.SubElement(seq, _name("rdf:li"), {_name("rdf:parseType"): "Resource"})
        _text(one, "plus:LicensorName", rights.creator)
        _text(one, "plus:LicensorURL", rights.acquire_url)
    _text(about, "xmp:CreatorTool", "Plateside")
    _text(about, "xmpMM:OriginalDocumentID", document)
    _text(about, "xmpMM:DocumentID", document)
    if done:
        seq = ET.SubElement(ET.SubElement(about, _name("xmpMM:History")), _name("rdf:Seq"))
        for act in done:
            one = ET.SubElement(seq, _name("rdf:li"), {_name("rdf:parseType"): "Resource"})
            _text(one, "stEvt:action", "edited")
            _text(one, "stEvt:parameters", act)

    body = ET.tostring(root, encoding="unicode")
    start = '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
    return f'{start}{body}<?xpacket end="r"?>'.encode()


def _name(prefixed: str) -> str:
    prefix, local = prefixed.split(":")
    return f"{{{NAMESPACES[prefix]}}}{local}"


def _text(parent: ET.Element, name: str, text: str) -> None:
    if text:
        ET.SubElement(parent, _name(name)).text = _allowed(text)


def _languages(parent: ET.Element, name: str, text: str, language: str) -> None:
    """A text in a language: once as the default, once under its language, as the standard wants it."""
    if not text:
        return
    alternatives = ET.SubElement(ET.SubElement(parent, _name(name)), _name("rdf:Alt"))
    for tag in ("x-default", language):
        ET.SubElement(alternatives, _name("rdf:li"), {_XML_LANG: tag}).text = _allowed(text)


def _list(parent: ET.Element, name: str, kind: str, texts: tuple[str, ...]) -> None:
    items = ET.SubElement(ET.SubElement(parent, _name(name)), _name(kind))
    for text in texts:
        ET.SubElement(items, _name("rdf:li")).text = _allowed(text)


def _allowed(text: str) -> str:
    """Without the characters that XML 1.0 has no way to write."""
    return "".join(
        c
        for c in text
        if c in "\t\n\r" or "\x20" <= c <= "\ud7ff" or "\ue000" <= c <= "\ufffd" or c >= "\U00010000"
    )
