package notation

import (
	"runtime"
	"runtime/metrics"
	"testing"
	"time"
)

// peak runs f and gives the most bytes that lay on the heap meanwhile beyond
// those before, sampled every millisecond.
func peak(t *testing.T, f func()) uint64 {
	t.Helper()
	heap := func() uint64 {
		s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
		metrics.Read(s)
		return s[0].Value.Uint64()
	}
	runtime.GC()
	before, most := heap(), uint64(0)
	stop, done := make(chan bool), make(chan bool)
	go func() {
		defer close(done)
		tick := time.NewTicker(time.Millisecond)
		defer tick.Stop()
		for {
			most = max(most, heap())
			select {
			case <-stop:
				return
			case <-tick.C:
			}
		}
	}()
	f()
	close(stop)
	<-done
	return most - min(before, most)
}
