package commands

import (
	"context"
	"fmt"
	"strings"

	"countwright/commands/reply"
)

// Belongings are all that is stored about a member.
type Belongings interface {
	// Export returns them as JSON, and as tables with a head, by their names;
	// nothing where nothing is stored.
	Export(ctx context.Context, member string) (json []byte, tables []ExportedTable, err error)
	// Erase removes all of them and returns what went, in words: "3 swatches".
	Erase(ctx context.Context, call, member string) (gone []string, err error)
	// EraseProject removes one project with all that belongs to it, and returns
	// false where it is not there.
	EraseProject(ctx context.Context, call, member string, id int64) (bool, error)
	// Retention says how long backups made before an erasure are kept, in
	// words; empty where none are made.
	Retention() string
}

// ExportedTable is one kind of what is stored, as a table in CSV.
type ExportedTable struct {
	Name string // "rows"
	Rows int    // without the head
	CSV  []byte
}

func meExport(s Services) *Command {
	return &Command{
		Name: "export", Short: "Everything that is stored about you, as files (JSON and CSV)", Private: true,
		Want:     "take all my data with me",
		Examples: []string{"/me export"},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			body, tables, err := s.Belongings.Export(ctx, r.Member.ID)
			if err != nil {
				return reply.Reply{}, fmt.Errorf("export: %w", err)
			}
			if body == nil {
				return reply.Reply{Title: r.Say("Your data"), Private: true, Data: map[string]int{},
					Parts: []reply.Block{reply.Text{Text: r.Say("Nothing is stored about you.")}}}, nil
			}
			counts := map[string]int{}
			var said []string
			out := reply.Reply{Title: r.Say("Your data"), Private: true, Data: counts}
			files := []reply.Block{reply.File{Name: "countwright.json", Type: "application/json", Body: body}}
			for _, t := range tables {
				counts[t.Name] = t.Rows
				if t.Rows > 0 {
					said = append(said, fmt.Sprintf("%s: %d", t.Name, t.Rows))
					files = append(files, reply.File{Name: t.Name + ".csv", Type: "text/csv; charset=utf-8", Body: t.CSV})
				}
			}
			out.Parts = append([]reply.Block{reply.Text{Text: r.Say("The JSON file holds everything; the CSV files hold the same as tables. Lines of each: %s.", strings.Join(said, ", "))}}, files...)
			return out, nil
		},
	}
}
