package notation

import (
	"bytes"
	"slices"
	"strings"
	"sync/atomic"
	"unsafe"
)

// phraseSet knows, of a list of phrases, which can begin with a word. Reading
// asks hundreds of phrases at every word of a manuscript; nearly all of them fail
// at their first word, and this saves asking them.
type phraseSet struct {
	patterns []string
	firsts   uint64           // bits of the words they can begin with; see bitOf
	byFirst  map[string][]int // places in the list, ascending
	next     *phraseSet       // another list that falls on the same place of the table
}

// phraseTable holds the sets made so far by where their lists stand in the program: the
// lists are literals, so that the places are theirs for good. Lists may share phrases, which
// the linker keeps once; hence every place is compared.
var phraseTable [1 << 12]atomic.Pointer[phraseSet]

// bitOf gives a word one of 64 bits, by its first letter, its last and its length.
func bitOf(word string) uint64 {
	return 1 << ((uint(word[0])*7 + uint(word[len(word)-1])*3 + uint(len(word))) & 63)
}

// phrasesOf returns the set of a list of literal phrases, made at first use.
func phrasesOf(patterns []string) *phraseSet {
	first := uintptr(unsafe.Pointer(unsafe.StringData(patterns[0])))
	last := uintptr(unsafe.Pointer(unsafe.StringData(patterns[len(patterns)-1])))
	place := &phraseTable[(first^first>>12^last<<3^uintptr(len(patterns))<<5)%uintptr(len(phraseTable))]
	head := place.Load()
	for s := head; s != nil; s = s.next {
		if s.holds(patterns) {
			return s
		}
	}
	s := &phraseSet{patterns: slices.Clone(patterns), byFirst: map[string][]int{}, next: head}
	for k, pattern := range patterns {
		for _, w := range firstWords(pattern) {
			s.firsts |= bitOf(w)
			if l := s.byFirst[w]; len(l) == 0 || l[len(l)-1] != k {
				s.byFirst[w] = append(l, k)
			}
		}
	}
	place.CompareAndSwap(head, s) // lost to another reader: made again at the next use
	return s
}

// holds says that the set is that of the list: the same phrases at the same places of memory.
func (s *phraseSet) holds(patterns []string) bool {
	return len(s.patterns) == len(patterns) && bytes.Equal(headers(s.patterns), headers(patterns))
}

// headers are the places and lengths of strings, as bytes.
func headers(list []string) []byte {
	return unsafe.Slice((*byte)(unsafe.Pointer(unsafe.SliceData(list))), len(list)*int(unsafe.Sizeof("")))
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
