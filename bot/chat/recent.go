package chat

import (
	"sync"
	"time"
)

// recent remembers which interactions were taken, so that one that is
// delivered twice (by a gateway that resumes, by somebody who repeats a
// request) is carried out once. It forgets in two steps, so that it stays
// small: what is in neither half is forgotten.
type recent struct {
	mu         sync.Mutex
	young, old map[string]struct{}
	since      time.Time
}

// A half lives at least this long, unless it is full. The service repeats
// events within minutes, and takes no answer after fifteen.
const (
	recentHalf = 15 * time.Minute
	recentMost = 50_000
)

// first reports whether an id is seen for the first time.
func (r *recent) first(id string, now time.Time) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.young == nil || now.Sub(r.since) > recentHalf || len(r.young) == recentMost {
		r.old, r.young, r.since = r.young, map[string]struct{}{}, now
	}
	if _, seen := r.young[id]; seen {
		return false
	}
	if _, seen := r.old[id]; seen {
		return false
	}
	r.young[id] = struct{}{}
	return true
}
