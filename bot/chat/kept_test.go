package chat

import (
	"context"

	"countwright/commands"
)

// shelf is a server that keeps one pattern, whatever it is asked for.
type shelf struct{}

func (shelf) pattern(name, version string) commands.SavedPattern {
	if version == "" {
		version = "1"
	}
	return commands.SavedPattern{Name: name, Version: version, Title: "Coaster", Text: "Rnd 1: 6 sc in magic ring (6)", Added: noon}
}

func (shelf) Add(context.Context, string, string, commands.SavedPattern) error { return nil }

func (s shelf) Find(_ context.Context, _, name, version string) (commands.SavedPattern, bool, error) {
	return s.pattern(name, version), true, nil
}

func (s shelf) List(_ context.Context, _, name string) ([]commands.SavedPattern, error) {
	if name == "" {
		name = "coaster"
	}
	return []commands.SavedPattern{s.pattern(name, "")}, nil
}

func (shelf) Remove(context.Context, string, string, string, string, string) (int, error) {
	return 1, nil
}
