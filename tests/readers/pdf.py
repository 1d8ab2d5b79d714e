"""Reads a PDF file with pypdf: how many pages it has and how large, and every piece of text with the
size of its letters, the matrices of text and page both counted. Prints JSON."""

import json
import sys

from pypdf import PdfReader

reader = PdfReader(sys.argv[1])
pages = []
for page in reader.pages:
    pieces = []

    def visit(text, page_matrix, text_matrix, _font, size, pieces=pieces):
        if text.strip():
            pieces.append({"text": text, "size": abs(size * text_matrix[3] * page_matrix[3])})

    whole = page.extract_text(visitor_text=visit)
    box = page.mediabox
    pages.append({
        "wide": float(box.width),
        "high": float(box.height),
        "text": whole,
        "pieces": pieces,
    })
print(json.dumps({"title": reader.metadata.title, "pages": pages}))
