// Package assets embeds the files the program carries: fonts now, style sheets
// and scripts as they come. Add a pattern to the embed line to add a kind.
package assets

import "embed"

// FS holds the asset folders under their own names: "fonts/Vollkorn-Regular.ttf".
//
//go:embed fonts/*.ttf fonts/*.txt
var FS embed.FS
