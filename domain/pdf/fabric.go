package pdf

import (
	"fmt"
	"strings"

	"rowproof/domain/document"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/picture"
)

// FabricPictures draws both sides of the stitch that a manuscript repeats, for
// its prints; nil where it repeats none, or its rows do not come out.
func FabricPictures(ms *notation.Manuscript, nd *needle.Result, lang string) *document.Pictures {
	part := picture.Repeats(nd)
	if part < 0 || nd.Parts[part].Proved == "" {
		return nil
	}
	rs, ws, err := picture.BothSides(ms, nd, part, 0)
	if err != nil {
		return nil
	}
	w := document.WordsFor(lang)
	name := nd.Parts[part].Name
	if name == "" {
		name = strings.TrimRight(ms.Title, " .:")
	}
	out := &document.Pictures{Title: w.Fabric, Note: w.Illustration}
	for _, s := range []struct {
		side    picture.Side
		caption string
	}{{rs, w.RightSide}, {ws, w.WrongSide}} {
		out.Items = append(out.Items, document.Picture{Caption: s.caption, Alt: fmt.Sprintf(w.FabricFrom, name, strings.ToLower(s.caption)),
			JPEG: s.side.JPEG, Width: s.side.Width, Height: s.side.Height})
	}
	return out
}
