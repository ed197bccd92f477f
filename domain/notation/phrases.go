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

// phraseKey names a list by the place of its first phrase in the program: the
// lists are literals, so that the place is theirs for good.
type phraseKey struct {
	first *byte
	n     int
}

var phraseSets sync.Map // phraseKey -> *phraseSet

// phrasesOf returns the set of a list of literal phrases, made at first use.
func phrasesOf(patterns []string) *phraseSet {
	key := phraseKey{unsafe.StringData(patterns[0]), len(patterns)}
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
