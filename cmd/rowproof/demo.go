package main

import (
	"embed"
	"fmt"

	"rowproof/handlers"
)

// demoStudio is how an installation is called until its owner says otherwise.
const demoStudio = "Quarry Lane Wool Room"

// The demo patterns are our own inventions, by a designer who does not exist.
//
//go:embed demo/*.txt
var demoFiles embed.FS

// demoPatterns are what a new studio begins with: a texture, a cable, a lace, two
// ways with colour and a hat that are proved and out,
// and a draft with mistakes in it to try the mends on. The list shows the last
// one on top.
func demoPatterns() ([]handlers.Demo, error) {
	demos := []struct {
		file      string
		published bool
		note      string
	}{
		{"gorse-band.txt", true, "Stranded in two colours, for hats and yokes."},
		{"harbour-tiles.txt", true, "Slipped stitches in two colours, one at a time."},
		{"ash-key-lace.txt", true, "A light lace of falling wings."},
		{"tarn-cable.txt", true, "A rope on purl, with eyelets between."},
		{"rain-on-slate.txt", true, "A texture to work at any width: every sixth stitch is dropped and caught again."},
		{"lantern-hat.txt", true, "Five sizes, from a child’s head to a large one."},
		{"marsh-cowl.txt", false, ""},
	}
	var out []handlers.Demo
	for _, d := range demos {
		text, err := demoFiles.ReadFile("demo/" + d.file)
		if err != nil {
			return nil, fmt.Errorf("demo pattern %s: %w", d.file, err)
		}
		out = append(out, handlers.Demo{Manuscript: string(text), Published: d.published, Note: d.note})
	}
	return out, nil
}
