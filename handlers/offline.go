package handlers

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"strings"

	"rowproof/assets"
)

// What lets the pages for working through a pattern be put on a phone's home screen and
// be used without a network.

// workFiles are the files that those pages need, in the order in which they are fetched.
var workFiles = []string{"css/rowproof.css", "css/work.css", "js/work.js", "js/work-device.js", "js/work-notes.js", "js/working.js", "img/mark.svg", "img/icon-192.png",
	"css/fonts/Vollkorn-Regular.woff2", "css/fonts/Vollkorn-SemiBold.woff2", "css/fonts/Vollkorn-Italic.woff2", "css/fonts/Lato-Regular.woff2", "css/fonts/Lato-Bold.woff2"}

// serveManifest describes the app to a phone.
func (s *server) serveManifest(w http.ResponseWriter, r *http.Request) error {
	name := "Rowproof"
	if st, err := s.DB.Studio(r.Context(), s.StudioID); err == nil && st.Name != "" {
		name = st.Name
	}
	type icon struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose,omitempty"`
	}
	b, err := json.Marshal(map[string]any{
		"id": "/working", "name": name, "short_name": "Needles", "description": "Patterns worked through row by row, with and without a network.",
		"start_url": "/working", "scope": "/", "display": "standalone", "lang": "en", "background_color": "#fbf9f4", "theme_color": "#fbf9f4",
		"icons": []icon{
			{assets.Path("img/icon-192.png"), "192x192", "image/png", ""},
			{assets.Path("img/icon-512.png"), "512x512", "image/png", ""},
			{assets.Path("img/icon-maskable.png"), "512x512", "image/png", "maskable"},
			{assets.Path("img/mark.svg"), "any", "image/svg+xml", ""},
		},
	})
	if err != nil {
		return fmt.Errorf("manifest: %w", err)
	}
	w.Header().Set("Content-Type", "application/manifest+json")
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(b) // the reader may have gone
	return nil
}

// serveWorker sends the service worker, told what it keeps. It changes with the hash of
// the files, and browsers ask for it anew each time.
func (s *server) serveWorker(w http.ResponseWriter, r *http.Request) error {
	script, err := fs.ReadFile(assets.Web, "js/worker.js")
	if err != nil {
		return fmt.Errorf("worker: %w", err)
	}
	paths := make([]string, len(workFiles))
	for i, f := range workFiles {
		paths[i] = assets.Path(f)
	}
	list, err := json.Marshal(paths)
	if err != nil {
		return fmt.Errorf("worker: %w", err)
	}
	text := strings.NewReplacer(`"HASH"`, `"`+assets.Hash+`"`, `["FILES"]`, string(list)).Replace(string(script))
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("Service-Worker-Allowed", "/")
	_, _ = w.Write([]byte(text)) // the reader may have gone
	return nil
}
