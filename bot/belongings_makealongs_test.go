package main

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/commands"
	"countwright/store"
)

// What make-alongs hold of a member is in the files that she takes along, and
// she is told what of it was erased.
func TestMakeAlongsAreBelongings(t *testing.T) {
	s, kept, pass := keeping(t)
	ctx, alongs := t.Context(), kept.MakeAlongs
	m := need[commands.MakeAlong](t)(alongs.Make(ctx, "1", "ines", commands.MakeAlong{Server: "s", Channel: "c", Name: "=Socks", Course: course}))
	m.State = commands.AlongOpen
	need[commands.MakeAlong](t)(alongs.Save(ctx, "2", "ines", m, []commands.Post{
		{Key: "milestone/0", Kind: commands.MilestonePost, Due: noon}, {Key: "help/0", Kind: commands.HostNote, Due: noon.Add(time.Hour), To: "ines", Text: "one asks"},
	}))
	need[bool](t)(true, alongs.Join(ctx, "3", commands.Participant{Along: m.ID, Member: "ines", Pings: true, Remarks: "a neat heel"}))
	need[bool](t)(true, alongs.Answer(ctx, "4", commands.Answer{Along: m.ID, Member: "ines", Say: commands.SayDone, Words: "at last"}))
	need[bool](t)(true, alongs.Share(ctx, "5", commands.Shared{Along: m.ID, Member: "ines", Where: "message 8"}))
	taken := need[[]store.TakenPost](t)(s.TakeDue(ctx, "sweep", time.Minute, 1))
	need[[]string](t)(alongs.TakePings(ctx, taken[0].ID, []string{"ines"}))
	pass(time.Hour)

	body, tables, err := kept.Belongings.Export(ctx, "ines")
	if err != nil || !bytes.Contains(body, []byte(`"a neat heel"`)) {
		t.Errorf("export: %v\n%s", err, body)
	}
	rows := map[string]string{}
	for _, table := range tables {
		if table.Rows == 1 {
			_, rows[table.Name], _ = strings.Cut(string(table.CSV), "\n")
		}
	}
	for name, want := range map[string]string{
		"makealongs": "1,s,c,'=Socks,open,2,2027-03-28T12:00:00Z,",
		"parts":      "1,,2027-03-28T12:00:00Z,0,,,,0,working,true,false,null,null,a neat heel",
		"answers":    "1,1,,done,,at last,2027-03-28T12:00:00Z",
		"pictures":   "1,1,,,message 8,2027-03-28T12:00:00Z",
		"host_notes": "2,1,help/0,2027-03-28T13:00:00Z,planned,one asks,",
		"pings":      "1,2027-03-28T12:00:00Z",
	} {
		if !strings.HasPrefix(rows[name], want) {
			t.Errorf("%s.csv has %q, want %q", name, rows[name], want)
		}
	}

	gone := need[[]string](t)(kept.Belongings.Erase(ctx, "6", "ines"))
	for _, want := range []string{"your part in 1 make-along", "1 answer to a check-in", "1 picture you showed, which stays in its channel", "your name on 1 make-along, which stays with its server"} {
		if !slices.Contains(gone, want) {
			t.Errorf("erased %q, want %q among it", gone, want)
		}
	}
	if body, _, err := kept.Belongings.Export(ctx, "ines"); body != nil || err != nil {
		t.Errorf("left: %s %v", body, err)
	}
}
