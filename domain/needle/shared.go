package needle

import "rowproof/domain/notation"

// shared is what the runs of one check have in common. A part is worked many times, for the
// proof and again for each size to find what its rows need; what hangs only on the words of a
// row is found once.
type shared struct {
	facts map[*notation.Row]*facts
	free  *room // nil while it is in use
}

// room is what block numbers its rows in, used again by the next block.
type room struct {
	seen, given map[int]bool
	had         map[int][]int
	slots       []slot
}

func newShared() *shared { return &shared{facts: map[*notation.Row]*facts{}} }

func (s *shared) takeRoom() *room {
	if rm := s.free; rm != nil {
		s.free = nil
		return rm
	}
	return &room{seen: map[int]bool{}, given: map[int]bool{}, had: map[int][]int{}}
}

// maxRoom is how many rows of a block room is kept for: a larger map takes long to clear.
const maxRoom = 1000

func (s *shared) giveRoom(rm *room) {
	if cap(rm.slots) <= maxRoom {
		s.free = rm
	}
}
