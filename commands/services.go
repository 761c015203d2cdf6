package commands

import (
	"context"
	"time"

	"countwright/calc/gauge"
)

// Services are what the commands need from the world around them. The program
// fills them in; tests use small fakes.
type Services struct {
	Members  Members
	Swatches Swatches
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
