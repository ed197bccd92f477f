// Package pdf sets a document in type and writes it as a tagged PDF. It is the
// only room that knows gofpdf.
//
// Write does it all. Inside, a document is first laid out as boxes placed on
// pages (layout, paginate), measured from the font files, and only then drawn
// (canvas); an incremental update adds the structure tree for screen readers,
// the subset fonts and the language. The same document and options give the
// same bytes, always.
package pdf

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"github.com/jung-kurt/gofpdf"

	"rowproof/domain/document"
)

// undated stands for the date of a document without one, so that the bytes do
// not depend on the clock.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// Write sets doc and writes the PDF to w. It fails only when w does.
func Write(w io.Writer, doc *document.Document, opt Options) error {
	sh, err := newShaper()
	if err != nil {
		return err
	}
	k := newLook(opt)
	pages, root := layout(sh, doc, k)
	foot(sh, doc, k, pages)

	pd := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "pt", Size: gofpdf.SizeType{Wd: k.w, Ht: k.h}})
	pd.SetCatalogSort(true)
	pd.SetAutoPageBreak(false, 0)
	date := doc.Date
	if date.IsZero() {
		date = undated
	}
	pd.SetCreationDate(date.UTC())
	pd.SetModificationDate(date.UTC())
	pd.SetProducer("Rowproof", false)
	pd.SetTitle(rawText(clean(doc.Title)), false)
	if doc.Designer != "" {
		pd.SetAuthor(rawText(clean(doc.Designer)), false)
	}
	c := &canvas{doc: pd, k: k, faces: sh.faces}
	for i, p := range pages {
		pd.AddPage()
		for _, m := range p.marks {
			pd.Bookmark(rawText(clean(m.text)), m.level-1, m.y)
		}
		c.page(i, p)
	}
	var base bytes.Buffer
	if err := pd.Output(&base); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	out, err := finish(base.Bytes(), doc, c, root)
	if err != nil {
		return err
	}
	_, err = w.Write(out)
	return err
}
