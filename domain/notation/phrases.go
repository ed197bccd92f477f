package notation

import (
	"strings"
	"sync"
	"unsafe"
)

// phraseSet knows, of a list of phrases, which can begin with a word. Reading
// asks dozens of phrases at every word of a manuscript; nearly all of them fail
// at their first word, and this saves asking them.
type phraseSet struct {
	byFirst map[string][]int // places in the list, ascending
}

// phraseKey names a list by the places of its phrases in the program: the lists are literals,
// so that the places are theirs for good. Lists may share their first phrase, which the linker
// keeps once; hence all places are mixed (FNV-1a).
type phraseKey struct {
	first  *byte
	n      int
	places uint64
}

func keyOf(patterns []string) phraseKey {
	h := uint64(14695981039346656037)
	for _, s := range patterns {
		h = (h ^ uint64(uintptr(unsafe.Pointer(unsafe.StringData(s)))) ^ uint64(len(s))<<48) * 1099511628211
	}
	return phraseKey{unsafe.StringData(patterns[0]), len(patterns), h}
}

var phraseSets sync.Map // phraseKey -> *phraseSet

// phrasesOf returns the set of a list of literal phrases, made at first use.
func phrasesOf(patterns []string) *phraseSet {
	key := keyOf(patterns)
	if s, ok := phraseSets.Load(key); ok {
		return s.(*phraseSet)
	}
	s := &phraseSet{byFirst: map[string][]int{}}
	for k, pattern := range patterns {
		for _, w := range firstWords(pattern) {
			if l := s.byFirst[w]; len(l) == 0 || l[len(l)-1] != k {
				s.byFirst[w] = append(l, k)
			}
		}
	}
	phraseSets.Store(key, s)
	return s
}

// firstWords lists the words a phrase can begin with, optional ones passed over.
func firstWords(pattern string) []string {
	var out []string
	for _, w := range strings.Fields(pattern) {
		optional := strings.Contains(w, "?")
		for _, alt := range strings.Split(strings.ReplaceAll(w, "?", ""), "|") {
			if alt != "" {
				out = append(out, alt)
			}
		}
		if !optional {
			break
		}
	}
	return out
}
