package commands

import (
	"context"
	"strings"
	"testing"

	"countwright/calc/along"
	"countwright/calc/pattern"
	"countwright/calc/schedule"
	"countwright/calc/sizing"
	"countwright/commands/reply"
)

// member is another member of the asker's server, no host.
func member(id, name string) Call {
	c := asker
	c.Member, c.Host = Member{ID: id, Name: name}, false
	return c
}

// says runs a line that must work.
func (m *memory) says(t interface {
	Helper()
	Fatalf(string, ...any)
}, who Call, line string) reply.Reply {
	t.Helper()
	r := All(m.services(), nil).RunLine(context.Background(), who, line)
	if r.Error != nil {
		t.Fatalf("%s: %+v", line, *r.Error)
	}
	return r
}

// part is a member's part in a make-along.
func (m *memory) part(along int64, member string) (Participant, bool) {
	for _, p := range m.alongs.party {
		if p.Along == along && p.Member == member {
			return p, true
		}
	}
	return Participant{}, false
}

// TestJoinGivesOwnCounts: two bodies and two gauges get two projects, each with
// the targets of its own rows, and both are told on the board.
func TestJoinGivesOwnCounts(t *testing.T) {
	m := withSwatch()
	for id, line := range map[string]string{
		"cleo": "/makealong join size:woman XL gauge:13x9 named:yes",
		"ines": "/makealong join chest:92 cm gauge:18x13",
	} {
		r := m.says(t, member(id, strings.ToUpper(id)), line)
		p, ok := m.part(1, id)
		if !ok || !r.Private {
			t.Fatalf("%s: in it %t, private %t", id, ok, r.Private)
		}
		d := r.Data.(partData)
		book, there, err := m.projects.Open(context.Background(), id, p.Project)
		if err != nil || !there {
			t.Fatalf("%s has no project", id)
		}
		pieces := book.Pinned.Plan.Pieces()
		if len(d.Milestones) != 4 || len(p.Targets) != 4 {
			t.Fatalf("%s: %d milestones, %d targets", id, len(d.Milestones), len(p.Targets))
		}
		sum := 0
		for i, s := range d.Milestones {
			sum += s.Stitches
			for _, target := range p.Targets[i] {
				if target.Rows != len(pieces[target.Piece].Rows) {
					t.Errorf("%s, %s: %d rows of %d", id, s.Title, target.Rows, len(pieces[target.Piece].Rows))
				}
			}
		}
		all := 0
		for _, piece := range pieces {
			all += piece.Stitches(len(piece.Rows))
		}
		if sum != all {
			t.Errorf("%s: the milestones ask %d stitches, the project has %d", id, sum, all)
		}
	}
	cleo, _ := m.part(1, "cleo")
	ines, _ := m.part(1, "ines")
	if cleo.Name != "CLEO" || ines.Name != "" || cleo.Gauge == ines.Gauge || cleo.Project == ines.Project {
		t.Errorf("cleo %+v\nines %+v", cleo, ines)
	}
}

// TestLateJoiner: the group began on Sunday 15 February; today is Sunday 1
// March, two weeks later. By hand: every date of hers is 14 days later.
func TestLateJoiner(t *testing.T) {
	m := withSwatch()
	r := m.says(t, member("cleo", "Cleo"), "/makealong join size:woman M gauge:14x10")
	d := r.Data.(partData)
	if d.ShiftDays != 14 || d.Milestones[0].Date != "2026-03-22" {
		t.Errorf("shift %d, first date %s", d.ShiftDays, d.Milestones[0].Date)
	}
	text, err := reply.Plain(r)
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(strings.Fields(text), " ")
	if !strings.Contains(said, "Your dates are 2 weeks later than the group's") || !strings.Contains(said, "nothing to catch up on") {
		t.Errorf("she is not told kindly:\n%s", text)
	}
	// Joining again much later moves nothing.
	later := member("cleo", "Cleo")
	later.Now = asker.Now.AddDate(0, 1, 0)
	if d := m.says(t, later, "/makealong join pings:yes").Data.(partData); d.ShiftDays != 14 || !d.Pings {
		t.Errorf("joined again: %+v", d)
	}
	// Who brings a project that is as far as the calendar has the group's dates.
	far := withSwatch()
	first := &far.alongs.at(1).Course.Milestones[0]
	first.Date = schedule.Date{Year: 2026, Month: 2, Day: 22}
	far.says(t, member("ines", "Ines"), "/project start name:Mine pattern:cardigan size:woman M gauge:14x10")
	for _, piece := range []string{"Back, hem", "Back, body"} {
		far.says(t, member("ines", "Ines"), "/project row n:+500 piece:"+piece)
	}
	if d := far.says(t, member("ines", "Ines"), "/makealong join project:Mine").Data.(partData); d.ShiftDays != 0 || !d.Milestones[0].Reached {
		t.Errorf("with a project that is as far: %+v", d)
	}
}

func TestJoinAgainKeepsWhatIsNotSaid(t *testing.T) {
	m := withSwatch()
	cleo := member("cleo", "Cleo")
	m.says(t, cleo, "/makealong join size:woman M gauge:14x10 named:yes pings:yes")
	before, _ := m.part(1, "cleo")
	m.says(t, cleo, "/makealong join named:no")
	after, _ := m.part(1, "cleo")
	if after.Name != "" || !after.Pings || after.Project != before.Project || after.Size != before.Size {
		t.Errorf("named:no changed more:\n%+v\n%+v", before, after)
	}
	m.says(t, cleo, "/project row n:4")
	for _, line := range []string{"/makealong join size:woman M gauge:14x10", "/makealong join size:woman M pings:no", "/makealong join gauge:14x10"} {
		m.says(t, cleo, line)
		if same, _ := m.part(1, "cleo"); same.Project != before.Project || same.Size != before.Size || same.Gauge != before.Gauge {
			t.Errorf("%s: the same counts, and another project: %+v", line, same)
		}
	}
	m.says(t, cleo, "/makealong join size:woman L gauge:14x10")
	other, _ := m.part(1, "cleo")
	if other.Project == before.Project || other.Size == before.Size {
		t.Errorf("another size: %+v", other)
	}
	if list, _ := m.projects.List(context.Background(), "cleo"); len(list) != 2 {
		t.Errorf("%d projects; the first stays hers", len(list))
	}
	// A project that was erased is begun anew, once she says for whom.
	m.projects.books = nil
	if r := All(m.services(), nil).RunLine(context.Background(), cleo, "/makealong join"); r.Error == nil || !strings.Contains(r.Error.Example, "/makealong join ") {
		t.Errorf("without a project and a size: %+v", r.Error)
	}
}

// TestJoinWrittenRows: rows without dimensions are made anew at a member's
// gauge where that can be, and else stand as written, with a caution.
func TestJoinWrittenRows(t *testing.T) {
	written := "Gauge: 10 sts and 10 rows in 10 cm\n\nRow 1: Ch 21, sc in 2nd ch from hook and in each ch across. (20 sts)\nRows 2-10: Ch 1, turn, sc in each st across. (20 sts)\n"
	for name, c := range map[string]struct {
		text, line string
		count      int
		caution    bool
	}{
		"as written":     {written, "/makealong join makealong:Rows pings:no", 20, false},
		"at her gauge":   {written, "/makealong join makealong:Rows gauge:20x20", 40, false},
		"states nothing": {strings.TrimPrefix(written, "Gauge: 10 sts and 10 rows in 10 cm\n\n"), "/makealong join makealong:Rows gauge:20x20", 20, true},
	} {
		m := withSwatch()
		m.patterns.kept = append(m.patterns.kept, SavedPattern{Server: asker.Server, Name: "square", Version: "1", Title: "Square", Text: c.text})
		m.along(MakeAlong{Name: "Rows", Channel: "x", Course: Course{Pattern: "square", Start: schedule.Date{Year: 2026, Month: 3, Day: 1}, Milestones: []along.Milestone{{Title: "Half", Date: schedule.Date{Year: 2026, Month: 3, Day: 8}}}}}, AlongOpen)
		r := m.says(t, member("cleo", "Cleo"), c.line)
		p, _ := m.part(4, "cleo")
		book, _, _ := m.projects.Open(context.Background(), "cleo", p.Project)
		rows := book.Pinned.Plan.Pieces()[0].Rows
		if got := rows[0].Count; got != c.count {
			t.Errorf("%s: %d stitches, want %d", name, got, c.count)
		}
		caution := false
		for _, part := range r.Parts {
			_, is := part.(reply.Caution)
			caution = caution || is
		}
		if caution != c.caution {
			t.Errorf("%s: a caution: %t", name, caution)
		}
	}
}

// TestJoinForm: who taps Join and says nothing is asked, with no more than a
// form holds, and what she fills in is what a line says.
func TestJoinForm(t *testing.T) {
	for name, c := range map[string]struct {
		line string
		want string
		fill map[string]Input
	}{
		"a garment": {"/makealong join makealong:1", "size chest gauge named pings", map[string]Input{"chest": {Text: "104"}, "gauge": {Text: "15x11"}, "named": {Text: "Yes"}}},
		"a tester":  {"/makealong join makealong:3", "size gauge named pings", map[string]Input{"size": {Text: "L"}}},
	} {
		m := withSwatch()
		r := m.says(t, member("cleo", "Cleo"), c.line)
		if r.Form == nil || len(r.Form.Fields) > 5 || !r.Private {
			t.Fatalf("%s: %+v", name, r.Form)
		}
		var fields []string
		for _, f := range r.Form.Fields {
			fields = append(fields, f.Option)
			if len([]rune(f.Label)) > 45 || len([]rune(f.Hint)) > 100 {
				t.Errorf("%s: %+v is too long", name, f)
			}
		}
		if got := strings.Join(fields, " "); got != c.want {
			t.Errorf("%s: asked is %q, want %q", name, got, c.want)
		}
		if _, in := m.part(1, "cleo"); in {
			t.Errorf("%s: she is in it before she said so", name)
		}
		call := member("cleo", "Cleo")
		call.Inputs = c.fill
		if done := All(m.services(), nil).RunLine(context.Background(), call, r.Form.Line); done.Error != nil || done.Form != nil {
			t.Errorf("%s: filled in: %+v", name, done.Error)
		}
	}
	// The shawl has no sizes; its width can be asked.
	m := withSwatch()
	if r := m.says(t, asker, "/makealong join makealong:Fog shawl"); r.Form == nil || r.Form.Fields[0].Option != "width" {
		t.Errorf("a shawl: %+v", r.Form)
	}
}

// What is asked of a body is what the pattern reads. By hand, from the house
// patterns' own lines.
func TestBodyKey(t *testing.T) {
	for name, want := range map[string]sizing.Measure{"cardigan": sizing.Chest, "hat": sizing.Head, "mitts": sizing.Hand, "slippers": sizing.Foot} {
		p, ok := pattern.Find(name)
		if !ok {
			t.Fatalf("no %s", name)
		}
		if got := bodyKey(p); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// TestJoinRemembers: another gauge leaves the size as it was said, another size
// the gauge; both come to what saying everything comes to.
func TestJoinRemembers(t *testing.T) {
	for _, c := range []struct{ first, then, whole string }{
		{"size:woman M gauge:14x10", "gauge:16x12", "size:woman M gauge:16x12"},
		{"size:woman M gauge:15x11", "size:woman L", "size:woman L gauge:15x11"},
		{"chest:104 cm hips:112 cm gauge:14x10", "gauge:16x12", "chest:104 cm hips:112 cm gauge:16x12"},
		{"size:woman M upper_arm:40 cm gauge:14x10", "gauge:16x12", "size:woman M upper_arm:40 cm gauge:16x12"},
		{"chest:104 cm ease:-3 cm gauge:14x10", "gauge:16x12", "chest:104 cm ease:-3 cm gauge:16x12"},
		{"chest:104 cm ease:5 cm gauge:16x12", "ease:10 cm", "chest:104 cm ease:10 cm gauge:16x12"},
		{"chest:104 cm gauge:14x10", "chest:110 cm", "chest:110 cm gauge:14x10"},
		{"chest:42 in gauge:14x10", "swatch:fine", "chest:42 in gauge:20x15"},
	} {
		text := func(lines ...string) string {
			m := withSwatch()
			m.says(t, member("cleo", "Cleo"), "/gauge swatch stitches:20 rows:15 width:10 cm height:10 cm name:fine")
			m.settings["cleo"] = Settings{Units: unitNamed("inches")}
			for _, line := range lines {
				m.says(t, member("cleo", "Cleo"), "/makealong join makealong:1 "+line)
			}
			p, _ := m.part(1, "cleo")
			book, _, _ := m.projects.Open(context.Background(), "cleo", p.Project)
			return book.Pinned.Text
		}
		if text(c.first, c.then) != text(c.whole) {
			t.Errorf("%s, then %s is not %s", c.first, c.then, c.whole)
		}
	}
}

// However much she measures, what is kept fits where it is kept.
func TestJoinKeepsLittle(t *testing.T) {
	m := withSwatch()
	m.says(t, member("cleo", "Cleo"), "/makealong join makealong:1 chest:104.5 cm hips:112.5 cm upper_arm:33.5 cm cross_back:41.5 cm neck_to_wrist:77.5 cm back_length:43.5 cm arm_length:45.5 cm armhole_depth:19.5 cm ease:12.5 cm gauge:14x10")
	p, _ := m.part(1, "cleo")
	if n := len([]rune(p.Size)); n > mostMadeFor || !strings.HasSuffix(p.Size, ", ease +12.5 cm") || !strings.HasPrefix(p.Size, "chest 104.5 cm, ") {
		t.Errorf("%d characters: %s", n, p.Size)
	}
	j := &entrant{begun: true, part: Participant{}, r: Request{command: &Command{Options: []Option{newStartOptions(m.services()).ease}}}}
	j.joinOptions.startOptions = newStartOptions(m.services())
	for _, size := range []string{strings.Repeat("é", 300), strings.Repeat("chest 104 cm, ", 40)} {
		if got := j.madeFor(&work{ProjectBook: ProjectBook{Pinned: Pinned{Size: size}}}); len([]rune(got)) > mostMadeFor || got == "" {
			t.Errorf("%d characters are kept", len([]rune(got)))
		}
	}
}

func TestJoinRefuses(t *testing.T) {
	m := withSwatch()
	m.alongs.at(1).State = AlongClosed
	for line, want := range map[string]string{
		"/makealong join makealong:Harbour make-along size:woman M": "closed",
		"/makealong join makealong:Fog shawl":                       "there is no make-along", // a draft is the hosts'
		"/makealong join makealong:3 size:woman L chest:100 cm":     "as it is written",
		"/makealong join makealong:3 size:woman L ease:3 cm":        "as it is written",
		"/makealong join makealong:3 named:yes":                     "Free: woman L",
		"/makealong measured makealong:3 gauge:14x10":               "You are not in Harbour test",
		"/makealong measured makealong:1 gauge:14x10":               "no call for testers",
		"/makealong share words:a hem where:here makealong:3":       "You are not in Harbour test",
		"/makealong board mine:yes makealong:3":                     "You are not in Harbour test",
	} {
		r := All(m.services(), nil).RunLine(context.Background(), member("cleo", "Cleo"), line)
		if r.Error == nil || !strings.Contains(r.Error.Message, want) {
			t.Errorf("%s: %+v, want %q", line, r.Error, want)
		}
	}
	nameless := member("cleo", "")
	if r := All(m.services(), nil).RunLine(context.Background(), nameless, "/makealong join makealong:3 size:woman L named:yes"); r.Error == nil {
		t.Error("somebody without a name was named")
	}
}

// TestQuiet: one tap, and another to undo it; the part is otherwise as it was.
func TestQuiet(t *testing.T) {
	m := withSwatch()
	ana := member("ana", "Ana")
	before, _ := m.part(1, "ana")
	r := m.says(t, ana, "/makealong quiet")
	p, _ := m.part(1, "ana")
	if !p.Quiet || !p.Pings || p.Name != before.Name {
		t.Errorf("quiet: %+v", p)
	}
	m.says(t, ana, r.Actions[0].(reply.Button).Line)
	if p, _ := m.part(1, "ana"); p.Quiet || !p.Pings {
		t.Errorf("the quiet ended: %+v", p)
	}
	stranger := m.says(t, member("gus", "Gus"), "/makealong quiet")
	if _, in := m.part(1, "gus"); in || !stranger.Private {
		t.Error("somebody who is not in it was taken in")
	}
}

// TestLeave: her part and her answers go; her project stays; she may come back.
func TestLeave(t *testing.T) {
	m := withSwatch()
	m.says(t, asker, "/makealong leave makealong:1")
	if _, in := m.part(1, "mira"); in {
		t.Error("she is still in it")
	}
	if _, there, _ := m.projects.Open(context.Background(), "mira", 3); !there {
		t.Error("her project is gone")
	}
	m.says(t, asker, "/makealong join makealong:1 project:Harbour cardigan")
	if p, in := m.part(1, "mira"); !in || p.Project != 3 {
		t.Errorf("back again: %+v", p)
	}
}
