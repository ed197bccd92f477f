package pdf

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"

	"rowproof/domain/document"
)

// finish turns gofpdf's file into the one we hand out: version 1.7, our fonts,
// the structure tree in reading order, language, metadata, links.
func finish(base []byte, doc *document.Document, c *canvas, root *node) ([]byte, error) {
	if !bytes.HasPrefix(base, []byte("%PDF-1.")) {
		return nil, fmt.Errorf("pdf: BUG: gofpdf wrote no header")
	}
	base[7] = '7'
	up, err := newUpdate(base)
	if err != nil {
		return nil, err
	}
	// Resources: object 2 in gofpdf's files.
	var fonts strings.Builder
	for i, f := range c.fonts {
		if f != nil {
			fmt.Fprintf(&fonts, "/R%d %d 0 R ", i, f.write(up))
		}
	}
	up.put(2, "<</ProcSet [/PDF /Text] /Font <<"+fonts.String()+">>"+c.imageResources(up)+">>")

	number(root, up)
	treeRoot := up.reserve()
	annots := writeLinks(up, c)
	pageObj := func(i int) int { return 3 + 2*i } // gofpdf numbers pages so
	var parents strings.Builder
	for i, marked := range c.mcids {
		var ks strings.Builder
		for _, n := range marked {
			fmt.Fprintf(&ks, "%d 0 R ", n.id)
		}
		fmt.Fprintf(&parents, "%d [%s] ", i, ks.String())
		var an strings.Builder
		for _, a := range annots {
			if a.page == i {
				fmt.Fprintf(&an, "%d 0 R ", a.obj)
			}
		}
		entry := ""
		if an.Len() > 0 {
			entry = " /Annots [" + an.String() + "]"
		}
		up.put(pageObj(i), fmt.Sprintf("<</Type /Page /Parent 1 0 R /MediaBox [0 0 %.2f %.2f] /Resources 2 0 R /Contents %d 0 R /StructParents %d /Tabs /S%s>>",
			c.k.w, c.k.h, pageObj(i)+1, i, entry))
	}
	for i, a := range annots {
		fmt.Fprintf(&parents, "%d %d 0 R ", len(c.mcids)+i, a.elem)
	}
	parentTree := up.object("<</Nums [" + parents.String() + "]>>")
	writeNodes(up, root, treeRoot, pageObj)
	up.put(treeRoot, fmt.Sprintf("<</Type /StructTreeRoot /K %d 0 R /ParentTree %d 0 R /ParentTreeNextKey %d>>",
		root.id, parentTree, len(c.mcids)+len(annots)))

	meta := up.plainStream("/Type /Metadata /Subtype /XML", xmp(doc))
	lang := doc.Lang
	if lang == "" {
		lang = "en-US"
	}
	outlines := ""
	if n := up.outlines(); n > 0 {
		outlines = fmt.Sprintf(" /Outlines %d 0 R /PageMode /UseOutlines", n)
	}
	up.put(up.root, fmt.Sprintf("<</Type /Catalog /Version /1.7 /Pages 1 0 R%s /Lang %s /MarkInfo <</Marked true>> /StructTreeRoot %d 0 R /Metadata %d 0 R /ViewerPreferences <</DisplayDocTitle true>>>>",
		outlines, textString(clean(lang)), treeRoot, meta))
	return up.finish(), nil
}

// number gives every element of the tree its object. Elements without text are
// dropped first: an empty element says nothing.
func number(n *node, up *update) {
	n.id = up.reserve()
	kids := n.kids[:0]
	for _, k := range n.kids {
		if !k.empty() || k.tag == "TD" || k.tag == "TH" {
			kids = append(kids, k)
		}
	}
	n.kids = kids
	for _, k := range n.kids {
		number(k, up)
	}
}

func (n *node) empty() bool {
	if len(n.marks) > 0 {
		return false
	}
	for _, k := range n.kids {
		if !k.empty() {
			return false
		}
	}
	return true
}

// annotation is a written link.
type annotation struct{ page, obj, elem int }

// writeLinks writes the link annotations, each with its Link element: the text
// itself stays with its paragraph.
func writeLinks(up *update, c *canvas) []annotation {
	var out []annotation
	for i, l := range c.links {
		if l.node == nil {
			continue
		}
		elem := l.node.add("Link")
		elem.id = up.reserve()
		obj := up.object(fmt.Sprintf("<</Type /Annot /Subtype /Link /Rect [%.2f %.2f %.2f %.2f] /Border [0 0 0] /F 4 /Contents %s /StructParent %d /A <</S /URI /URI %s>>>>",
			l.x, l.y, l.x+l.w, l.y+l.h, textString(clean(l.url)), len(c.mcids)+i, pdfString(l.url)))
		elem.annot = obj
		elem.annotPage = l.page
		out = append(out, annotation{l.page, obj, elem.id})
	}
	return out
}

// pdfString writes a byte string, escaped.
func pdfString(s string) string {
	var b strings.Builder
	b.WriteByte('(')
	for i := range len(s) {
		switch ch := s[i]; {
		case ch == '(' || ch == ')' || ch == '\\':
			b.WriteByte('\\')
			b.WriteByte(ch)
		case ch < ' ' || ch > '~':
			fmt.Fprintf(&b, "\\%03o", ch)
		default:
			b.WriteByte(ch)
		}
	}
	b.WriteByte(')')
	return b.String()
}

// writeNodes writes the structure elements.
func writeNodes(up *update, n *node, parent int, pageObj func(int) int) {
	var k strings.Builder
	for _, m := range n.marks {
		fmt.Fprintf(&k, "<</Type /MCR /Pg %d 0 R /MCID %d>> ", pageObj(m.page), m.mcid)
	}
	for _, kid := range n.kids {
		fmt.Fprintf(&k, "%d 0 R ", kid.id)
	}
	if n.annot > 0 {
		fmt.Fprintf(&k, "<</Type /OBJR /Pg %d 0 R /Obj %d 0 R>> ", pageObj(n.annotPage), n.annot)
	}
	attr := ""
	if n.scope != "" {
		attr = " /A <</O /Table /Scope /" + n.scope + ">>"
	}
	if n.alt != "" {
		attr += " /Alt " + textString(clean(n.alt)) + fmt.Sprintf(" /A <</O /Layout /Placement /Block /BBox [%.2f %.2f %.2f %.2f]>>", n.bbox[0], n.bbox[1], n.bbox[2], n.bbox[3])
	}
	up.put(n.id, fmt.Sprintf("<</Type /StructElem /S /%s /P %d 0 R /K [%s]%s>>", n.tag, parent, k.String(), attr))
	for _, kid := range n.kids {
		writeNodes(up, kid, n.id, pageObj)
	}
}

// xmp is the metadata packet: title, author and language again, for readers
// that look there.
func xmp(d *document.Document) string {
	esc := func(s string) string {
		var b bytes.Buffer
		_ = xml.EscapeText(&b, []byte(clean(s))) // a bytes.Buffer takes everything
		return b.String()
	}
	author := ""
	if d.Designer != "" {
		author = "<dc:creator><rdf:Seq><rdf:li>" + esc(d.Designer) + "</rdf:li></rdf:Seq></dc:creator>"
	}
	return "<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\"><rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\">" +
		"<dc:format>application/pdf</dc:format><dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">" + esc(d.Title) + "</rdf:li></rdf:Alt></dc:title>" + author +
		"<dc:language><rdf:Bag><rdf:li>" + esc(d.Lang) + "</rdf:li></rdf:Bag></dc:language></rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>"
}
