package assets

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
)

// Web holds what browsers ask for: style sheets with their fonts, scripts, images.
//
//go:embed css js img
var Web embed.FS

// Hash changes with any file of Web. It is part of every address, so that
// browsers may keep what they have for good.
var Hash = hash(Web)

// Path is the address of a file of Web: "css/rowproof.css" gives
// "/assets/3f2a…/css/rowproof.css".
func Path(name string) string { return "/assets/" + Hash + "/" + name }

func hash(files fs.FS) string {
	h := sha256.New()
	err := fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := fs.ReadFile(files, path)
		h.Write([]byte(path))
		h.Write(b)
		return err
	})
	if err != nil {
		panic("assets: BUG: embedded files cannot be read: " + err.Error())
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}
