package commands

import (
	"context"
	"errors"
	"time"

	"countwright/calc/gauge"
)

// Services are what the commands need from the world around them. The program
// fills them in; tests use small fakes.
type Services struct {
	Members    Members
	Swatches   Swatches
	Patterns   Patterns
	Projects   Projects
	MakeAlongs MakeAlongs
	Belongings Belongings
	checked    *lately // the texts that were checked last
}

// Members keeps what members have told about themselves.
type Members interface {
	// Settings returns a member's settings, the zero Settings for a stranger.
	Settings(ctx context.Context, member string) (Settings, error)
	// SaveSettings replaces them. The same call delivered twice is one.
	SaveSettings(ctx context.Context, call string, member string, s Settings) error
}

// Swatches keeps members' measured swatches.
type Swatches interface {
	// Save keeps a swatch under its name, replacing one of the same name.
	Save(ctx context.Context, call string, member string, s gauge.Swatch) error
	// List returns a member's swatches, the newest first.
	List(ctx context.Context, member string) ([]SavedSwatch, error)
}

// Patterns keeps the written patterns of servers, each in versions.
type Patterns interface {
	// Add keeps a version of a pattern; a draft of the same name and version is
	// replaced, a finished one is ErrKept. The same call delivered twice is one.
	Add(ctx context.Context, call, member string, p SavedPattern) error
	// Find returns a version with its text, and false where there is none. A
	// version of "" is the newest finished one, else the newest draft.
	Find(ctx context.Context, server, name, version string) (SavedPattern, bool, error)
	// List returns, without texts, what Find would give of each of a server's
	// patterns, by name; or all versions of the one named, newest first.
	List(ctx context.Context, server, name string) ([]SavedPattern, error)
	// Remove removes a version, or all where it is "", and returns how many.
	Remove(ctx context.Context, call, member, server, name, version string) (int, error)
}

// ErrKept says that a finished pattern has the name and version already.
var ErrKept = errors.New("a finished pattern has this name and version")

// SavedPattern is one version of a pattern as a server keeps it.
type SavedPattern struct {
	Server, Name, Version  string
	Title, Author, Licence string
	File                   bool // Text is a pattern file; else written rows
	Text                   string
	Draft                  bool // its check did not hold
	Added                  time.Time
}

// SavedSwatch is a swatch as it was kept.
type SavedSwatch struct {
	gauge.Swatch
	Made time.Time
}

func (s Services) settings(ctx context.Context, m Member) (Settings, error) {
	if s.Members == nil || m.ID == "" {
		return Settings{}, nil
	}
	return s.Members.Settings(ctx, m.ID)
}
