package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"countwright/commands"
	"countwright/store"
)

// belongings are all that is stored about a member.
type belongings struct{ store *store.Store }

func (b belongings) Export(ctx context.Context, member string) ([]byte, []commands.ExportedTable, error) {
	all, err := b.store.Export(ctx, member)
	if errors.Is(err, store.ErrNotFound) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, fmt.Errorf("export member: %w", err)
	}
	body, err := json.MarshalIndent(all, "", " ")
	if err != nil {
		return nil, nil, fmt.Errorf("write export: %w", err)
	}
	tables, err := exportTables(all)
	return append(body, '\n'), tables, err
}

func (b belongings) Erase(ctx context.Context, call, member string) ([]string, error) {
	erased, err := b.store.Erase(ctx, store.By{Member: member, Key: call})
	if err != nil {
		return nil, kindly(err)
	}
	var gone []string
	for _, kind := range []struct {
		n         int
		one, many string
	}{
		{erased.Members, "your settings", ""},
		{erased.Swatches, "1 swatch", "swatches"},
		{erased.Projects, "1 project", "projects"},
		{erased.Parts, "your part in 1 make-along", "parts in make-alongs"},
		{erased.Answers, "1 answer to a check-in", "answers to check-ins"},
		{erased.Pictures, "1 picture you showed, which stays in its channel", "pictures you showed, which stay in their channels"},
		{erased.Hosted, "your name on 1 make-along, which stays with its server", "make-alongs that stay with their servers, without your name"},
		{erased.Patterns, "your name on 1 pattern, which stays with its server", "patterns that stay with their servers, without your name"},
		{erased.Entries, "1 line of the log", "lines of the log"},
	} {
		switch {
		case kind.n == 1:
			gone = append(gone, kind.one)
		case kind.n > 1:
			gone = append(gone, fmt.Sprintf("%d %s", kind.n, kind.many))
		}
	}
	return gone, nil
}

func (b belongings) EraseProject(ctx context.Context, call, member string, id int64) (bool, error) {
	_, err := b.store.EraseProject(ctx, store.By{Member: member, Key: call}, id)
	if errors.Is(err, store.ErrNotFound) {
		return false, nil
	}
	return err == nil, kindly(err)
}

func (b belongings) Retention() string {
	switch plan := b.store.Retention(); {
	case plan.Folder == "":
		return ""
	case plan.Newest > 0:
		return fmt.Sprintf("the newest %d, one a night, are kept", plan.Newest)
	default:
		return "your host decides when"
	}
}

// exportTables are the same as the JSON, a table a kind.
func exportTables(all store.Export) ([]commands.ExportedTable, error) {
	settings := table{name: "settings", head: []string{"units", "terms", "zone", "level", "locale", "created", "updated"}}
	if m := all.Member; m != nil {
		settings.add(m.Units, m.Terms, m.Zone, m.Level, m.Locale, m.CreatedAt, m.UpdatedAt)
	}
	swatches := table{name: "swatches", head: []string{"id", "name", "stitches", "rows", "width_mm", "height_mm", "hook_mm", "yarn", "stitch", "washed", "grams", "metres", "note", "made"}}
	for _, s := range all.Swatches {
		swatches.add(s.ID, s.Name, s.Stitches, s.Rows, float64(s.Width)/1e6, float64(s.Height)/1e6, s.Hook, s.Yarn, s.Stitch, s.Washed, s.Grams, s.Metres, s.Note, s.MadeAt)
	}
	patterns := table{name: "patterns", head: []string{"id", "server", "name", "version", "title", "author", "licence", "format", "draft", "added", "text"}}
	for _, p := range all.Patterns {
		patterns.add(p.ID, p.Server, p.Name, p.Version, p.Title, p.Author, p.Licence, p.Format, p.Draft, p.AddedAt, p.Text)
	}
	projects := table{name: "projects", head: []string{"id", "name", "state", "rows", "rows_done", "started", "changed", "finished", "plan"}}
	rows := table{name: "rows", head: []string{"project", "seq", "at", "piece", "from", "to", "undoes", "minutes"}}
	notes := table{name: "notes", head: []string{"project", "id", "at", "kind", "after_move", "text", "photo", "grams"}}
	for _, p := range all.Projects {
		projects.add(p.ID, p.Name, p.State, sum(p.Lengths), sum(p.Done), p.StartedAt, p.ChangedAt, p.FinishedAt, string(p.Plan))
		for _, m := range p.Moved {
			rows.add(p.ID, m.Seq, m.At, m.Piece+1, m.Was, m.Done, m.Undoes, m.Minutes)
		}
		for _, n := range p.Notes {
			notes.add(p.ID, n.ID, n.At, n.Kind, n.Moves, n.Text, n.Photo, n.Grams)
		}
	}
	log := table{name: "log", head: []string{"id", "at", "kind", "subject", "before", "after", "key"}}
	for _, e := range all.Log {
		log.add(e.ID, e.At, e.Kind, e.Subject, string(e.Before), string(e.After), e.Key)
	}
	var out []commands.ExportedTable
	for _, t := range append(append([]table{settings, swatches, patterns, projects, rows, notes}, alongTables(all.Alongs)...), log) {
		body, err := t.csv()
		if err != nil {
			return nil, err
		}
		out = append(out, commands.ExportedTable{Name: t.name, Rows: len(t.rows), CSV: body})
	}
	return out, nil
}

func sum(list []int) int {
	n := 0
	for _, v := range list {
		n += v
	}
	return n
}

// table is rows on their way to CSV.
type table struct {
	name string
	head []string
	rows [][]string
}

func (t *table) add(cells ...any) {
	row := make([]string, len(cells))
	for i, c := range cells {
		switch c := c.(type) {
		case string:
			row[i] = c
			if strings.IndexAny(c, "=+-@＝＋－＠\t\r\n") == 0 { // no spreadsheet shall take a text for a formula
				row[i] = "'" + c
			}
		case float64:
			row[i] = strconv.FormatFloat(c, 'f', -1, 64)
		case time.Time:
			if !c.IsZero() {
				row[i] = c.Format(time.RFC3339)
			}
		default:
			row[i] = fmt.Sprint(c)
		}
	}
	t.rows = append(t.rows, row)
}

func (t *table) csv() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.WriteAll(append([][]string{t.head}, t.rows...)); err != nil {
		return nil, fmt.Errorf("write %s: %w", t.name, err)
	}
	return b.Bytes(), nil
}
