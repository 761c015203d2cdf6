package commands

import (
	"slices"
	"sync"
)

// mostLately is how many members' last texts are held: with the largest text
// that is 16 MB.
const mostLately = 256

// lately holds the text that each member checked last, as long as the program
// runs: a text is only kept when a host adds it. A nil one holds nothing.
type lately struct {
	mu      sync.Mutex
	members []string // the one who has waited longest first
	texts   map[string]written
}

func newLately() *lately { return &lately{texts: map[string]written{}} }

// keep holds a member's text in place of the one before.
func (l *lately) keep(member string, t written) {
	if l == nil || member == "" {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.members = append(slices.DeleteFunc(l.members, func(m string) bool { return m == member }), member)
	if len(l.members) > mostLately {
		delete(l.texts, l.members[0])
		l.members = l.members[1:]
	}
	l.texts[member] = t
}

// of returns the text that a member checked last.
func (l *lately) of(member string) (written, bool) {
	if l == nil {
		return written{}, false
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	t, ok := l.texts[member]
	return t, ok
}

// drop forgets a member's text.
func (l *lately) drop(member string) {
	if l == nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.members = slices.DeleteFunc(l.members, func(m string) bool { return m == member })
	delete(l.texts, member)
}
