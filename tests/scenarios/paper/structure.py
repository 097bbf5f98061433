"""Looks into PDF cards with a general-purpose library and prints what is wrong with each, one line a fault.

What is looked for: ISO 14289-1 (PDF/UA-1) clauses 7.1 to 7.5, 7.18.3 and 7.21, ISO 19005-2 (PDF/A-2) clauses 6.2 to 6.7,
as remembered (memory); least size of type: CAP 676 (2nd).

usage: structure.py FILE TITLE DATE [FILE TITLE DATE ...]
"""

import re
import sys

import pikepdf
from pikepdf import Array, Dictionary, Name

PAINTS = set("f F f* B B* b b* S s Tj TJ ' \" sh Do BI INLINE IMAGE".split())
FORBIDDEN = ["/JavaScript", "/JS", "/Launch", "/SMask", "/EmbeddedFiles", "/XFA", "/AA", "/OpenAction"]
CHILDREN = {
    "/L": {"/LI", "/Caption", "/L"},
    "/LI": {"/Lbl", "/LBody"},
    "/Table": {"/TR", "/THead", "/TBody", "/TFoot", "/Caption"},
    "/THead": {"/TR"},
    "/TBody": {"/TR"},
    "/TR": {"/TH", "/TD"},
}


class Card:
    def __init__(self, path, title, date):
        self.path, self.title, self.date = path, title, date
        self.pdf = pikepdf.open(path)
        self.root = self.pdf.Root
        self.faults = []

    def need(self, good, fault):
        if not good:
            self.faults.append(fault)

    def document(self):
        root = self.root
        self.need(root.get("/MarkInfo", {}).get("/Marked") is True, "not marked as tagged")
        self.need(str(root.get("/Lang", "")) == "en", "no language")
        self.need(root.get("/ViewerPreferences", {}).get("/DisplayDocTitle") is True, "the title is not shown")
        self.need("/Outlines" in root and int(root.Outlines.get("/Count", 0)) != 0, "no bookmarks")
        self.need(not self.pdf.is_encrypted, "encrypted")
        self.need("/ID" in self.pdf.trailer, "no file identifier")
        intents = root.get("/OutputIntents", Array())
        self.need(any(i.get("/S") == Name.GTS_PDFA1 and "/DestOutputProfile" in i for i in intents), "no output intent")
        with self.pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as meta:
            self.need(meta.get("pdfuaid:part") == "1", "metadata: not PDF/UA-1")
            self.need(meta.get("pdfaid:part") == "2" and meta.get("pdfaid:conformance") == "A", "metadata: not PDF/A-2a")
            self.need(meta.get("dc:title") == self.title, f"metadata: title is {meta.get('dc:title')!r}")
            self.need(str(meta.get("xmp:CreateDate", "")).startswith(self.date), f"metadata: date {meta.get('xmp:CreateDate')}")
        self.need("/Metadata" in root and root.Metadata.get("/Filter") is None, "metadata is not plain")
        made = str(self.pdf.docinfo.get("/CreationDate", ""))
        self.need(made.startswith("D:" + self.date.replace("-", "")), f"made on {made}")
        for item in self.pdf.objects:
            if isinstance(item, (Dictionary, pikepdf.Stream)):
                for key in FORBIDDEN:
                    self.need(str(item.get(key, "/None")) == "/None", f"has {key}")
                self.need(not (item.get("/Type") == Name.ExtGState and (float(item.get("/ca", 1)) < 1 or float(item.get("/CA", 1)) < 1)), "is transparent")

    def fonts(self):
        """Every font is embedded, a subset, and says which characters its glyphs are."""
        seen = 0
        for item in self.pdf.objects:
            if isinstance(item, Dictionary) and item.get("/Type") == Name.Font:
                if item.get("/Subtype") == Name.Type0:
                    seen += 1
                    name = str(item.BaseFont)
                    self.need("/ToUnicode" in item, f"{name} does not map to characters")
                    inner = item.DescendantFonts[0]
                    descriptor = inner.FontDescriptor
                    self.need("/FontFile2" in descriptor or "/FontFile3" in descriptor, f"{name} is not embedded")
                    self.need(re.match(r"/[A-Z]{6}\+", name) is not None, f"{name} is not a subset")
                else:
                    self.need(item.get("/Subtype") in (Name.CIDFontType0, Name.CIDFontType2), "a font of another kind")
        self.need(seen > 0, "no fonts")

    def page(self, number, page):
        """All that is painted is marked, either as an artifact or with a number; type is large enough."""
        self.need(page.get("/Tabs") == Name.S, f"page {number}: tab order")
        marked, depth, kinds, size, scale, stack = [], [], set(), 0.0, 1.0, []
        for operands, operator in pikepdf.parse_content_stream(page):
            op = str(operator)
            if op in ("BDC", "BMC"):
                kind = str(operands[0])
                # Text that runs from right to left says so inside its mark (ISO 32000-1, 14.8.2.3.3; memory).
                if kind == "/ReversedChars" and depth and depth[-1] != "/Artifact":
                    depth.append(kind)
                    continue
                properties = operands[1] if len(operands) > 1 else {}
                if not isinstance(properties, Name) and "/MCID" in properties:
                    marked.append(int(properties["/MCID"]))
                elif kind != "/Artifact":
                    self.need(False, f"page {number}: {kind} is marked without a number")
                kinds.add(kind)
                depth.append(kind)
                self.need(len(depth) == 1, f"page {number}: marks are nested")
            elif op == "EMC":
                depth.pop()
            elif op == "q":
                stack.append(scale)
            elif op == "Q":
                scale = stack.pop()
            elif op == "cm":
                scale *= abs(float(operands[3]))
            elif op == "Tf":
                size = float(operands[1])
            elif op == "Tm":
                effective = size * abs(float(operands[3])) * scale
                self.need(effective > 9.99, f"page {number}: type of {effective:.2f} pt")
            elif op in PAINTS:
                self.need(depth, f"page {number}: {op} paints outside all marks")
        self.need("/Artifact" in kinds, f"page {number}: no running head")
        self.need(len(set(marked)) == len(marked), f"page {number}: a number is used twice")
        return set(marked)

    def tree(self):
        """The logical structure: order, nesting, headings, tables, drawings; and it holds all that is marked."""
        marked = {page.objgen: self.page(at + 1, page) for at, page in enumerate(self.pdf.pages)}
        held = {page: set() for page in marked}
        self.levels, self.order = [], []
        top = self.root.StructTreeRoot
        roles = top.get("/RoleMap", {})
        parents = {}

        def names(tree):
            for key, value in zip(*[iter(tree.get("/Nums", []))] * 2):
                parents[int(key)] = value
            for kid in tree.get("/Kids", []):
                names(kid)

        names(top.ParentTree)

        def kind_of(node):
            kind = str(node.S)
            return str(roles.get(kind, kind))

        def walk(node, above, page):
            kind = kind_of(node)
            page = node.get("/Pg", page)
            kids = node.get("/K", Array())
            kids = kids if isinstance(kids, Array) else [kids]
            if above in CHILDREN:
                self.need(kind in CHILDREN[above], f"{kind} stands in {above}")
            if re.fullmatch(r"/H[1-6]", kind):
                self.levels.append(int(kind[2]))
            if kind == "/Figure":
                self.need(str(node.get("/Alt", "")).strip(), "a drawing without a description")
            if kind == "/TH":
                scopes = [a.get("/Scope") for a in as_list(node.get("/A"))]
                self.need(any(s in (Name.Column, Name.Row) for s in scopes), "a header without a scope")
            if kind == "/Table":
                self.table(node, kind_of)
            self.need(kids or kind == "/TD", f"{kind} is empty")
            for kid in kids:
                if isinstance(kid, Dictionary) and kid.get("/Type") == Name.MCR:
                    at, number = kid.get("/Pg", page), int(kid.MCID)
                elif isinstance(kid, Dictionary):
                    walk(kid, kind, page)
                    continue
                else:
                    at, number = page, int(kid)
                held[at.objgen].add(number)
                self.order.append((at.objgen, number))
                back = parents[int(at.StructParents)][number]
                self.need(back.objgen == node.objgen, "content and structure do not agree")

        for kid in as_list(top.K):
            walk(kid, "", None)
        self.need(marked == held, "something marked is not in the structure, or the other way round")
        self.need(self.levels[:1] == [1] and self.levels.count(1) == 1, f"headings begin with {self.levels[:3]}")
        self.need(all(b <= a + 1 for a, b in zip(self.levels, self.levels[1:])), f"headings leave out a level: {self.levels}")
        pages = {page.objgen: at for at, page in enumerate(self.pdf.pages)}
        sheets = [pages[at] for at, _ in self.order]
        self.need(sheets == sorted(sheets), "the reading order goes back to an earlier page")

    def table(self, table, kind_of):
        rows = []

        def collect(node):
            for kid in as_list(node.get("/K")):
                if isinstance(kid, Dictionary) and kid.get("/Type") != Name.MCR:
                    if kind_of(kid) == "/TR":
                        rows.append(len(as_list(kid.get("/K"))))
                    else:
                        collect(kid)

        collect(table)
        self.need(rows and len(set(rows)) == 1, f"a table with rows of {rows} cells")


def as_list(value):
    return list(value) if isinstance(value, Array) else [] if value is None else [value]


def main():
    arguments, bad = sys.argv[1:], False
    for path, title, date in zip(*[iter(arguments)] * 3):
        card = Card(path, title, date)
        card.document()
        card.fonts()
        card.tree()
        for fault in dict.fromkeys(card.faults):
            print(f"{path}: {fault}")
            bad = True
    sys.exit(1 if bad else 0)


main()
