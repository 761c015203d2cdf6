package store

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"
)

// marks are, for each table that holds something of a member, what her export
// shows of it after a whole life. A new table belongs here.
var marks = map[string]string{
	"members":            "Indian/Maldives",
	"swatches":           "marked swatch",
	"patterns":           "marked pattern",
	"projects":           "marked project",
	"project_plans":      "marked plan",
	"project_moves":      `"minutes":77`,
	"project_notes":      "marked note",
	"makealongs":         "marked make-along",
	"makealong_members":  "marked remarks",
	"makealong_answers":  "marked words",
	"makealong_pictures": "marked picture",
	"makealong_posts":    "marked note to the host",
	"pings":              `"at":"2031-03-04T11:30:00Z"`,
	"log":                `"kind":"join make-along"`,
}

// wholeLife gives a member something in every table.
func wholeLife(t *testing.T, s *Store, c *clock, id string) {
	t.Helper()
	ctx := t.Context()
	must[Member](t)(s.SaveSettings(ctx, by(id), Settings{Zone: "Indian/Maldives"}))
	must[Swatch](t)(s.AddSwatch(ctx, by(id), Swatch{Stitches: 14, Rows: 10, Width: 100e6, Height: 100e6, Note: "marked swatch"}))
	pattern := hat
	pattern.Name, pattern.Title = "hat by "+id[:4], "marked pattern"
	must[Pattern](t)(s.AddPattern(ctx, by(id), pattern))
	p := must[Project](t)(s.StartProject(ctx, by(id), "marked project", []int{40}, json.RawMessage(`"marked plan"`)))
	count(t, s, by(id), p.ID, Step{By: 3, Minutes: 77})
	must[Note](t)(s.AddNote(ctx, by(id), p.ID, Note{Kind: "note", Text: "marked note"}))
	m := must[MakeAlong](t)(s.AddMakeAlong(ctx, by(id), MakeAlong{Server: "harbour", Name: "marked make-along " + id[:4], Course: socks}))
	must[Participant](t)(s.JoinMakeAlong(ctx, by(id), Participant{Along: m.ID, Project: p.ID, State: "working", Pings: true, Remarks: "marked remarks"}))
	must[Answer](t)(s.SaveAnswer(ctx, by(id), Answer{Along: m.ID, Say: "need help", Words: "marked words"}))
	must[Picture](t)(s.SharePicture(ctx, by(id), Picture{Along: m.ID, Text: "marked picture", Place: "message"}))
	note := at(1000, "help/0", "host")
	note.Recipient, note.Text = id, "marked note to the host"
	m.State = AlongOpen
	must[MakeAlong](t)(s.SaveMakeAlong(ctx, by(id), m, []Post{at(1, "milestone/0", "milestone"), note}))
	c.add(2 * time.Hour)
	taken := take(t, s, "sweep")
	must[[]string](t)(s.TakePings(ctx, taken[0].ID, []string{id}))
	sent(t, s, "sweep", taken)
}

// mentions are the tables in which a word stands, whole or within.
func mentions(t *testing.T, s *Store, word string) []string {
	t.Helper()
	rows, err := s.readers.Query(s.engine.tables)
	tables := must[[]string](t)(collect(rows, err, func(row scanner) (name string, err error) {
		err = row.Scan(&name)
		return name, err
	}))
	var found []string
	for _, table := range tables {
		rows := must[*sql.Rows](t)(s.readers.Query(`SELECT * FROM ` + table))
		columns := must[[]string](t)(rows.Columns())
		values := make([]sql.NullString, len(columns))
		into := make([]any, len(columns))
		for i := range values {
			into[i] = &values[i]
		}
		for rows.Next() {
			if err := rows.Scan(into...); err != nil {
				t.Fatal(err)
			}
			if slices.ContainsFunc(values, func(v sql.NullString) bool { return strings.Contains(v.String, word) }) {
				found = append(found, table)
			}
		}
		rows.Close()
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// Every table that can name a member is one of those above, and after a whole
// life it does.
func TestWholeLifeIsWhole(t *testing.T) {
	fileOnly(t) // the schema is the same
	s, c := open(t)
	wholeLife(t, s, c, "7193-ines")
	rows, err := s.readers.Query(`SELECT DISTINCT t.name FROM sqlite_schema AS t, pragma_table_info(t.name) AS c
		LEFT JOIN pragma_foreign_key_list(t.name) AS f ON f."from" = c.name
		WHERE t.type = 'table' AND (c.name IN ('member', 'host', 'added_by', 'recipient') OR f."table" IN ('members', 'projects'))`)
	can := must[[]string](t)(collect(rows, err, func(row scanner) (name string, err error) {
		err = row.Scan(&name)
		return name, err
	}))
	do := mentions(t, s, "7193-ines")
	for _, table := range append(can, do...) {
		if marks[table] == "" {
			t.Errorf("table %s can hold something of a member: erase and export it, and mark it here", table)
		}
	}
	for table := range marks {
		if !slices.Contains(do, table) && !strings.HasPrefix(table, "project_") { // these name the project
			t.Errorf("table %s does not name the member", table)
		}
		if n := 0; s.readers.QueryRow(`SELECT count(*) FROM `+table).Scan(&n) != nil || n == 0 {
			t.Errorf("table %s is empty", table)
		}
	}
}

func TestExportIsWhole(t *testing.T) {
	s, c := open(t)
	wholeLife(t, s, c, "7193-ines")
	text := string(must[[]byte](t)(json.Marshal(exported(t, s, "7193-ines"))))
	for table, mark := range marks {
		if !strings.Contains(text, mark) {
			t.Errorf("the export lacks %q of table %s", mark, table)
		}
	}
	var back Export
	if err := json.Unmarshal([]byte(text), &back); err != nil {
		t.Fatal(err)
	}
	if again := string(must[[]byte](t)(json.Marshal(back))); again != text {
		t.Errorf("read back as %s\nwant %s", again, text)
	}
}

func TestErasedWhole(t *testing.T) {
	s, c := open(t)
	wholeLife(t, s, c, "7193-ines")
	wholeLife(t, s, c, "8204-mira")
	before := exported(t, s, "8204-mira")
	along := must[[]MakeAlong](t)(s.MakeAlongs(t.Context(), "harbour"))[1]

	got := must[Erased](t)(s.Erase(t.Context(), by("7193-ines")))
	got.Entries = 0
	if want := (Erased{Members: 1, Swatches: 1, Patterns: 1, Projects: 1, Parts: 1, Answers: 1, Pictures: 1, Hosted: 1}); got != want {
		t.Errorf("erased %+v, want %+v", got, want)
	}
	if left := mentions(t, s, "7193-ines"); len(left) > 0 {
		t.Errorf("the member is named in %v still", left)
	}
	gone := maps.Clone(marks)
	for _, table := range []string{"patterns", "makealongs"} { // of the server
		delete(gone, table)
	}
	must[Erased](t)(s.Erase(t.Context(), by("8204-mira"))) // what is hers bears the same marks
	for table, mark := range gone {
		if left := mentions(t, s, mark); len(left) > 0 {
			t.Errorf("%q of table %s is left in %v", mark, table, left)
		}
	}
	kept := must[MakeAlong](t)(s.MakeAlong(t.Context(), along.ID))
	if kept.Host != "" || kept.State != AlongOpen || kept.Version != along.Version+1 {
		t.Errorf("the server's make-along %+v, before %+v", kept, along)
	}
	_, err := s.SaveMakeAlong(t.Context(), by("odile"), along, nil) // read while she was the host
	wantError(t, err, ErrStale)
	if text := fmt.Sprint(before); !strings.Contains(text, "8204-mira") || strings.Contains(text, "7193-ines") {
		t.Errorf("the other's export: %s", text)
	}
}
