package handlers

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/picture"
	"rowproof/domain/studio"
	"rowproof/web"
)

// cloth is what a picture is drawn from.
type cloth struct {
	ms   *notation.Manuscript
	nd   *needle.Result
	part int // index; -1 where nothing can be drawn
	size int
	ways picture.Colourways
}

// clothOf reads from the address which part, size and colours are wanted. Colours
// come from the fields "c-A", "c-B" …, else from the manuscript, else from the
// house. An address that asks for what is not there is not found.
func clothOf(r *http.Request, ms *notation.Manuscript) (cloth, error) {
	c := cloth{ms: ms, nd: needle.Work(ms)}
	c.part = picture.Best(c.nd)
	q := r.URL.Query()
	if v := q.Get("part"); v != "" {
		n, err := strconv.Atoi(v)
		if err != nil || n < 1 || n > len(c.nd.Parts) || len(c.nd.Parts[n-1].Rows) == 0 {
			return c, fmt.Errorf("part %q: %w", v, studio.ErrNotFound)
		}
		c.part = n - 1
	}
	if v := q.Get("size"); v != "" {
		n, err := strconv.Atoi(v)
		if err != nil || n < 1 || n > len(ms.Sizes) {
			return c, fmt.Errorf("size %q: %w", v, studio.ErrNotFound)
		}
		c.size = n - 1
	}
	c.ways = picture.ColourwaysOf(ms)
	for _, yarn := range yarnsOf(ms) {
		v := q.Get("c-" + yarn)
		if v == "" {
			continue
		}
		col, err := picture.ParseColour(v)
		if err != nil {
			return c, fmt.Errorf("colour %q: %w", v, studio.ErrNotFound)
		}
		if way, ok := c.ways[strings.ToUpper(yarn)]; ok && way.Kind != picture.Solid && v == firstColour(way) {
			continue // the first colour of a striped yarn, as the form showed it
		}
		c.ways[strings.ToUpper(yarn)] = picture.Colourway{Kind: picture.Solid, Runs: []picture.Run{{Colour: col}}}
	}
	return c, nil
}

// yarnsOf are the yarns of a pattern; one without a name where it names none.
func yarnsOf(ms *notation.Manuscript) []string {
	if len(ms.Yarns) == 0 {
		return []string{""}
	}
	return ms.Yarns
}

func firstColour(way picture.Colourway) string {
	c := way.Runs[0].Colour
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

// query is the address of a picture of c.
func (c cloth) query() string {
	q := url.Values{"part": {strconv.Itoa(c.part + 1)}}
	if c.size > 0 {
		q.Set("size", strconv.Itoa(c.size+1))
	}
	for n, yarn := range yarnsOf(c.ms) {
		if way, ok := c.ways[strings.ToUpper(yarn)]; ok && way.Kind == picture.Solid {
			q.Set("c-"+yarn, firstColour(c.ways.Of(yarn, n)))
		}
	}
	return q.Encode()
}

// view is the form and the two pictures of c, whose files hang below base.
func (c cloth) view(base string) web.Fabric {
	v := web.Fabric{Action: base}
	if c.part < 0 {
		return v
	}
	for i, p := range c.nd.Parts {
		if len(p.Rows) > 0 {
			v.Parts = append(v.Parts, web.Choice{Value: strconv.Itoa(i + 1), Label: partName(p, i), Here: i == c.part})
		}
	}
	if part := c.nd.Parts[c.part]; part.CastOn != nil && len(c.ms.Sizes) > 1 {
		for i, name := range c.ms.Sizes {
			v.Sizes = append(v.Sizes, web.Choice{Value: strconv.Itoa(i + 1), Label: name, Here: i == c.size})
		}
	}
	for n, yarn := range yarnsOf(c.ms) {
		label := "Yarn " + yarn
		if yarn == "" {
			label = "Yarn"
		}
		way := c.ways.Of(yarn, n)
		v.Yarns = append(v.Yarns, web.YarnColour{Name: "c-" + yarn, Label: label, Value: firstColour(way), Mixed: way.Kind != picture.Solid})
	}
	if _, _, err := picture.Swatch(c.ms, c.nd, c.part, c.size); err != nil {
		v.Why = sentence(strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(err.Error(), "picture: "), "fabric: "), "needle: "))
		return v
	}
	name := partName(c.nd.Parts[c.part], c.part)
	v.RS = web.Picture{URL: base + "/rs.png?" + c.query(), Alt: "Picture of the fabric of " + name + " from the right side"}
	v.WS = web.Picture{URL: base + "/ws.png?" + c.query(), Alt: "Picture of the fabric of " + name + " from the wrong side"}
	return v
}

func partName(p *needle.Part, i int) string {
	if p.Name != "" {
		return p.Name
	}
	return "part " + strconv.Itoa(i+1)
}

// servePicture draws one side as PNG.
func (s *server) servePicture(w http.ResponseWriter, r *http.Request, ms *notation.Manuscript, caching string) error {
	side := chi.URLParam(r, "side")
	if side != "rs.png" && side != "ws.png" {
		return fmt.Errorf("side %q: %w", side, studio.ErrNotFound)
	}
	var b bytes.Buffer
	var asked error
	err := s.working(r.Context(), func() error {
		var c cloth
		if c, asked = clothOf(r, ms); asked != nil || c.part < 0 {
			return nil
		}
		f, window, err := picture.Swatch(c.ms, c.nd, c.part, c.size)
		if err != nil {
			asked = fmt.Errorf("picture: %v: %w", err, studio.ErrNotFound)
			return nil
		}
		return picture.PNG(&b, f, picture.Options{WS: side == "ws.png", Window: window, Gauge: picture.GaugeOf(ms), Colours: c.ways})
	})
	var big *picture.TooLarge
	switch {
	case asked != nil:
		return asked
	case errors.As(err, &big), err == nil && b.Len() == 0:
		return fmt.Errorf("picture of %q: %w", r.URL.Path, studio.ErrNotFound)
	case err != nil:
		return err
	}
	sendPNG(w, b.Bytes(), caching)
	return nil
}

func sendPNG(w http.ResponseWriter, b []byte, caching string) {
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", caching)
	w.Header().Set("Content-Length", strconv.Itoa(len(b)))
	_, _ = w.Write(b) // the reader may have gone
}

func (s *server) showFabric(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	return s.renderFabric(w, r, http.StatusOK, p, "")
}

func (s *server) renderFabric(w http.ResponseWriter, r *http.Request, status int, p studio.Pattern, problem string) error {
	v := web.FabricView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "fabric"), Version: strconv.Itoa(p.Version), Problem: problem}
	var asked error
	err := s.working(r.Context(), func() error {
		var c cloth
		if c, asked = clothOf(r, notation.Read(p.Manuscript)); asked == nil {
			v.Fabric = c.view(patternURL(p) + "/fabric")
		}
		return nil
	})
	if err = errors.Join(err, asked); err != nil {
		return err
	}
	return s.render(w, r, status, web.FabricPage(v))
}

func (s *server) serveDraftPicture(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	return s.servePicture(w, r, notation.Read(p.Manuscript), "no-store")
}

// servePublicPicture draws a published revision; it never changes.
func (s *server) servePublicPicture(w http.ResponseWriter, r *http.Request) error {
	rev, _, err := s.published(r)
	if err != nil {
		return err
	}
	return s.servePicture(w, r, notation.Read(rev.Manuscript), "public, max-age=3600")
}

// saveColours keeps the colours of the form as the manuscript's colourway line.
func (s *server) saveColours(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	if baseVersion(r) != p.Version {
		return s.renderFabric(w, r, http.StatusConflict, p, "The pattern was saved since this page was opened. Choose the colours once more, then keep them.")
	}
	ms := notation.Read(p.Manuscript)
	ways := picture.ColourwaysOf(ms)
	var parts []string
	for n, yarn := range yarnsOf(ms) {
		name := yarn
		if yarn == "" {
			name = picture.Nameless
		}
		way := ways.Of(yarn, n)
		if v := r.PostForm.Get("c-" + yarn); v != "" {
			col, err := picture.ParseColour(v)
			if err != nil {
				return &studio.InvalidError{Field: "colour of yarn " + name, Problem: "is not written #rrggbb"}
			}
			if way.Kind == picture.Solid || firstColour(way) != v {
				way = picture.Colourway{Kind: picture.Solid, Runs: []picture.Run{{Colour: col}}}
			}
		}
		parts = append(parts, name+": "+way.String())
	}
	text := withColourway(ms, p.Manuscript, strings.Join(parts, "; "))
	if _, err := s.keep(r.Context(), p, text, baseVersion(r), studio.Form); err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/fabric", "The colours stand in the pattern.")
}

var (
	colourwayLabel = regexp.MustCompile(`(?i)^\s*colou?rways?\s*:\s*`)
	headLabels     = []*regexp.Regexp{yarnLabel, needleLabel, gaugeLabel, sizesLabel}
)

// withColourway puts the line "Colourway: …" into a manuscript: in place of the
// one it has, else behind its yarns, else behind another head line or the title.
func withColourway(ms *notation.Manuscript, text, value string) string {
	lines := strings.Split(text, "\n")
	if ls := labelled(ms.Source, colourwayLabel); len(ls) > 0 && ls[0].line < len(lines) {
		lines[ls[0].line] = ls[0].label + value
		return strings.Join(lines, "\n")
	}
	at := 0
	for _, label := range headLabels {
		if ls := labelled(ms.Source, label); len(ls) > 0 {
			at = ls[len(ls)-1].line + 1
			break
		}
	}
	if at == 0 && len(lines) > 0 && ms.Title != "" {
		at = 1
	}
	at = min(at, len(lines))
	out := append([]string(nil), lines[:at]...)
	out = append(out, "Colourway: "+value)
	return strings.Join(append(out, lines[at:]...), "\n")
}
