package main

import (
	"context"
	"errors"
	"fmt"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/notation"
	"countwright/commands"
	"countwright/store"
)

// services are the store as the commands see it.
func services(s *store.Store) commands.Services {
	return commands.Services{Members: members{s}, Swatches: swatches{s}, Patterns: patterns{s}, Projects: projects{s}, MakeAlongs: makeAlongs{s}, Belongings: belongings{s}}
}

type members struct{ store *store.Store }

func (m members) Settings(ctx context.Context, member string) (commands.Settings, error) {
	saved, err := m.store.Settings(ctx, member)
	if err != nil {
		return commands.Settings{}, fmt.Errorf("read member: %w", err)
	}
	s := commands.Settings{Zone: saved.Zone, Level: saved.Level, Language: saved.Locale}
	if saved.Units == "in" {
		s.Units = measure.Inches
	}
	switch saved.Terms {
	case "US":
		s.Terms = notation.US
	case "UK":
		s.Terms = notation.UK
	}
	return s, nil
}

func (m members) SaveSettings(ctx context.Context, call, member string, s commands.Settings) error {
	saved, err := m.store.Settings(ctx, member)
	if err != nil {
		return fmt.Errorf("read member: %w", err)
	}
	saved.Units, saved.Zone, saved.Level, saved.Locale = "cm", s.Zone, s.Level, s.Language
	if s.Units == measure.Inches {
		saved.Units = "in"
	}
	switch s.Terms {
	case notation.US:
		saved.Terms = "US"
	case notation.UK:
		saved.Terms = "UK"
	}
	if _, err := m.store.SaveSettings(ctx, store.By{Member: member, Key: call}, saved); err != nil {
		return kindly(err)
	}
	return nil
}

type swatches struct{ store *store.Store }

func (w swatches) Save(ctx context.Context, call, member string, s gauge.Swatch) error {
	row := store.Swatch{
		Name: s.Name, Stitches: s.Stitches, Rows: s.Rows, Width: int64(s.Width), Height: int64(s.Height),
		Hook: s.Hook, Yarn: s.Yarn, Stitch: s.Stitch, Washed: s.Washed, Grams: s.Grams, Metres: s.Metres,
	}
	by := store.By{Member: member, Key: call}
	old, err := w.store.SwatchNamed(ctx, member, s.Name)
	switch {
	case err == nil:
		row.ID = old.ID
		_, err = w.store.UpdateSwatch(ctx, by, row)
	case errors.Is(err, store.ErrNotFound):
		_, err = w.store.AddSwatch(ctx, by, row)
	}
	return kindly(err)
}

func (w swatches) List(ctx context.Context, member string) ([]commands.SavedSwatch, error) {
	rows, err := w.store.Swatches(ctx, member)
	if err != nil {
		return nil, fmt.Errorf("list swatches: %w", err)
	}
	saved := make([]commands.SavedSwatch, 0, len(rows))
	for _, r := range rows {
		saved = append(saved, commands.SavedSwatch{Made: r.MadeAt, Swatch: gauge.Swatch{
			Name: r.Name, Stitches: r.Stitches, Rows: r.Rows,
			Width: measure.Length(r.Width), Height: measure.Length(r.Height),
			Hook: r.Hook, Yarn: r.Yarn, Stitch: r.Stitch, Washed: r.Washed, Grams: r.Grams, Metres: r.Metres,
		}})
	}
	return saved, nil
}

type patterns struct{ store *store.Store }

// What a kept pattern's text is written in.
const (
	formatRows = "rows"
	formatFile = "toml"
)

func (p patterns) Add(ctx context.Context, call, member string, saved commands.SavedPattern) error {
	format := formatRows
	if saved.File {
		format = formatFile
	}
	_, err := p.store.AddPattern(ctx, store.By{Member: member, Key: call}, store.Pattern{
		Server: saved.Server, Name: saved.Name, Version: saved.Version, Title: saved.Title, Author: saved.Author,
		Licence: saved.Licence, Format: format, Text: saved.Text, Draft: saved.Draft,
	})
	if errors.Is(err, store.ErrConflict) {
		return commands.ErrKept
	}
	return kindly(err)
}

func (p patterns) Find(ctx context.Context, server, name, version string) (commands.SavedPattern, bool, error) {
	found, err := p.store.Pattern(ctx, server, name, version)
	if errors.Is(err, store.ErrNotFound) {
		return commands.SavedPattern{}, false, nil
	}
	if err != nil {
		return commands.SavedPattern{}, false, fmt.Errorf("find pattern: %w", err)
	}
	return savedPattern(found), true, nil
}

func (p patterns) List(ctx context.Context, server, name string) ([]commands.SavedPattern, error) {
	list := p.store.Patterns
	if name != "" {
		list = func(ctx context.Context, server string) ([]store.Pattern, error) {
			return p.store.PatternVersions(ctx, server, name)
		}
	}
	rows, err := list(ctx, server)
	if err != nil {
		return nil, fmt.Errorf("list patterns: %w", err)
	}
	saved := make([]commands.SavedPattern, len(rows))
	for i, row := range rows {
		saved[i] = savedPattern(row)
	}
	return saved, nil
}

func (p patterns) Remove(ctx context.Context, call, member, server, name, version string) (int, error) {
	removed, err := p.store.RemovePattern(ctx, store.By{Member: member, Key: call}, server, name, version)
	if errors.Is(err, store.ErrNotFound) { // somebody else was faster
		return 0, nil
	}
	return len(removed), kindly(err)
}

func savedPattern(p store.Pattern) commands.SavedPattern {
	return commands.SavedPattern{Server: p.Server, Name: p.Name, Version: p.Version, Title: p.Title, Author: p.Author, Licence: p.Licence,
		File: p.Format == formatFile, Text: p.Text, Draft: p.Draft, Added: p.AddedAt}
}

// kindly makes what the store refuses for reasons that a member can do
// something about, or wait for, a refusal; the rest stays a fault.
func kindly(err error) error {
	switch {
	case errors.Is(err, store.ErrFull):
		return commands.Refused("The disk I write to is full, so nothing was saved; what you had before is untouched. The host needs to make room; then try again.")
	case errors.Is(err, store.ErrLimit):
		return commands.Refused("You have as many of these as I can keep. Reuse a name: saving under an old name replaces it.")
	}
	return err
}
