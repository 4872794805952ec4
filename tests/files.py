"""The smallest files of each kind that may bear an entry out, and some that only pretend to."""

from __future__ import annotations

PDF = b"%PDF-1.4\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n"
PNG = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + b"\0" * 17 + b"\0\0\0\0IEND\xaeB`\x82"
JPEG = b"\xff\xd8\xff\xe0\0\x10JFIF\0" + b"\0" * 9 + b"\xff\xd9"
PRETENDING = {
    "page.pdf": b"<html><script>alert(1)</script></html>",
    "program.pdf": b"MZ\x90\0" + b"\0" * 60,
    "cut.pdf": b"%PDF-1.4\n1 0 obj",
    "picture.svg": b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
    "other.png": PNG.replace(b"IHDR", b"tEXt"),
    "tail.png": PNG + b"<script>alert(1)</script>",
    "tail.jpg": JPEG + b"PK\x03\x04",
    "data.json": b'{"a": 1}',
    "deep.json": b'{"a":' * 50_000,
    "list.json": b"[]",
    "book.zip": b"PK\x03\x04" + b"\0" * 40,
}
