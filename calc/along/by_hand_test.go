package along

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"countwright/calc/pace"
	"countwright/calc/schedule"
)

func free(t testing.TB, name string, rows, stitches, copies int) pace.Plan {
	t.Helper()
	p, err := pace.Free(name, rows, stitches, copies)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// jacket is an invented garment in a few rows.
const jacket = `Back, hem
Ch 9.
Row 1: Sc in 2nd ch from hook, sc in each ch across, turn. (8 sts)
Rows 2–30: Ch 1, sc in BLO of each st across, turn. (8 sts)

Back, body
Row 1 (RS): Ch 2, working along the long edge of the strip, hdc in each row end across, turn. (30 sts)
Rows 2–20: Ch 2, hdc in each st across, turn. (30 sts)

Upper back
Place a marker at each end of the next row: the armholes begin here.
Row 21 (RS): Ch 2, hdc2tog over next 2 sts, hdc in each st across, turn. (29 sts)
Rows 22–34: Ch 2, hdc in each st across, turn. (29 sts)
Fasten off.

Sleeve (make 2)
Ch 22.
Row 1: Hdc in 3rd ch from hook, hdc in each ch across, turn. (20 sts)
Row 2: Ch 2, 2 hdc in first st, hdc in each st across, turn. (21 sts)
Rows 3–30: Ch 2, hdc in each st across, turn. (21 sts)
Fasten off.

Button band
Row 1: Ch 13.
Row 2: Sc in 2nd ch from hook, sc in each ch across, turn. (12 sts)
Row 3: Ch 1, sc in next 2 sts, ch 2, sk next 2 sts, sc in next 4 sts, ch 2, sk next 2 sts, sc in next 2 sts, turn. (8 sts, 2 ch-2 sps)
Row 4: Ch 1, sc in next 2 sts, 2 sc in next ch-2 sp, sc in next 4 sts, 2 sc in next ch-2 sp, sc in next 2 sts, turn. (12 sts)
`

func TestSectionsByHand(t *testing.T) {
	p := written(t, jacket).Pieces()
	var got []string
	for _, piece := range p {
		for _, s := range Sections(piece) {
			got = append(got, piece.Title()+": "+s.Name)
		}
	}
	want := []string{"Back, hem: hem", "Back, body: body", "Back, body: Upper back", "Sleeve (1 of 2): ", "Sleeve (2 of 2): ", "Button band: "}
	if !slices.Equal(got, want) {
		t.Errorf("sections %q, want %q", got, want)
	}
	// by hand: 20 rows of 30, then 29 and 13 times 29; hdc2tog is one stitch
	if s := Sections(p[1]); s[0].To != 20 || s[0].Stitches != 600 || s[1].From != 20 || s[1].To != 34 || s[1].Stitches != 406 {
		t.Errorf("%+v", s)
	}
	// Which shoulder comes first differs from size to size.
	two := written(t, "Back\nRow 1: Ch 1, sc in next 9 sts, turn. (9 sts)\n\nRight shoulder\nRow 2: Ch 1, sc in next 4 sts, leave rem sts unworked, turn. (4 sts)\n\nLeft shoulder\nGo back to Row 1, where stitches were left unworked.\nRow 2: Sk next st, rejoin yarn in next st, ch 1, sc in same st, sc in next 3 sts, turn. (4 sts)").Pieces()[0]
	if s := Sections(two); len(s) != 3 || s[1].Name != "First shoulder" || s[2].Name != "Second shoulder" {
		t.Errorf("%+v", s)
	}
}

func TestTitlesByHand(t *testing.T) {
	titles := func(p pace.Plan, o Options) string {
		o.Start = start
		ms, err := Milestones(p, o)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, m := range ms {
			out = append(out, m.Title)
		}
		return strings.Join(out, " | ")
	}
	week := Options{Every: 7, Pace: 20}
	for _, c := range []struct {
		name string
		plan pace.Plan
		o    Options
		want string
	}{
		{"a scarf", free(t, "Scarf", 120, 30, 1), Options{}, "The first third of the scarf | The second third of the scarf | The last third of the scarf"},
		{"a long scarf", free(t, "Scarf", 50, 14, 1), week, "Part 1 of 5 of the scarf | Part 2 of 5 of the scarf | Part 3 of 5 of the scarf | Part 4 of 5 of the scarf | Part 5 of 5 of the scarf"},
		{"one row each", free(t, "Cord", 3, 20, 1), Options{}, "The first third of the cord | The second third of the cord | The last third of the cord"},
		{"two rows", free(t, "Cord", 2, 20, 1), Options{}, "The first half of the cord | The last half of the cord"},
		{"squares", free(t, "Square", 10, 40, 4), Options{}, "The first square and the second square | The third square and the fourth square | Finishing: weave in the ends"},
		{"many squares", free(t, "Square", 10, 40, 14), Options{Every: 14}, "The first square, the second square and 5 more | The eighth square, the ninth square and 5 more | Finishing: weave in the ends"},
		{"a jacket", written(t, jacket), Options{Pace: 100}, "The hem and body of the back | The upper back | The first sleeve | The second sleeve and the button band | Finishing: sew up and weave in the ends"},
		{"no English", free(t, "Шапка", 30, 30, 1), Options{}, "The first third of Шапка | The second third of Шапка | The last third of Шапка"},
	} {
		if got := titles(c.plan, c.o); got != c.want {
			t.Errorf("%s:\n%s, want\n%s", c.name, got, c.want)
		}
	}
}

func TestAboutByHand(t *testing.T) {
	ms, err := Milestones(written(t, jacket), Options{Start: start, Pace: 100})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"chain edge row sc hdc", "row decrease hdc hdc2tog", "chain row increase hdc",
		"chain row increase buttonhole hdc sc", "seam ends",
	}
	for i, m := range ms {
		if got := strings.Join(m.About, " "); got != want[i] {
			t.Errorf("%s: %s, want %s", m.Title, got, want[i])
		}
	}
}

// Dates by hand: 3,600 stitches in thirds of 1,200. 10 January 2027 is a
// Sunday.
func TestDatesByHand(t *testing.T) {
	plan := free(t, "Scarf", 120, 30, 1)
	weekend := []time.Weekday{time.Saturday, time.Sunday}
	for _, c := range []struct {
		how  string
		o    Options
		want string
	}{
		{"400 a day: after 3, 6 and 9 days", Options{}, "01-13 01-16 01-19"},
		{"from Monday, without Saturdays and Sundays: 11 to 13, 14 15 18, 19 to 21", Options{Rest: weekend}, "01-14 01-19 01-22"},
		{"400 on 6 days of 7, 343 a day: after 4, 7 and 11 days", Options{Pause: 1}, "01-14 01-17 01-21"},
		{"each 7 days", Options{Every: 7}, "01-17 01-24 01-31"},
		{"each 7 days, not on Sundays", Options{Every: 7, Rest: weekend[1:]}, "01-18 01-25 02-01"},
		{"1,200 a day", Options{Pace: 1200}, "01-11 01-12 01-13"},
		{"faster than a milestone a day", Options{Pace: 20_000}, "01-11 01-12 01-13"},
	} {
		c.o.Start = start
		ms, err := Milestones(plan, c.o)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, m := range ms {
			got = append(got, m.Date.String()[5:])
		}
		if g := strings.Join(got, " "); g != c.want {
			t.Errorf("%s: %s, want %s", c.how, g, c.want)
		}
	}
}

func TestNotPlanned(t *testing.T) {
	plan := free(t, "Scarf", 100, 30, 1)
	late := schedule.Date{Year: schedule.LastYear, Month: time.December, Day: 30}
	var figure *RangeError
	var dates *DatesError
	var day *schedule.DateError
	var wrong *pace.PlanError
	for _, c := range []struct {
		name string
		plan pace.Plan
		o    Options
		as   any
	}{
		{"no rows", pace.Plan{}, Options{Start: start}, &wrong},
		{"no start", plan, Options{}, &day},
		{"no such day", plan, Options{Start: schedule.Date{Year: 2027, Month: time.February, Day: 29}}, &day},
		{"beyond the calendar", plan, Options{Start: late}, &day},
		{"too slow", plan, Options{Start: start, Pace: LowestPace - 1}, &figure},
		{"below nothing", plan, Options{Start: start, Pace: -1}, &figure},
		{"too fast", plan, Options{Start: start, Pace: HighestPace + 1}, &figure},
		{"too rarely", plan, Options{Start: start, Every: MostEvery + 1}, &figure},
		{"backwards", plan, Options{Start: start, Every: -7}, &figure},
		{"no day of work", plan, Options{Start: start, Rest: []time.Weekday{0, 1, 2, 3}, Pause: 3}, &figure},
		{"pause below nothing", plan, Options{Start: start, Pause: -1}, &figure},
		{"years", free(t, "Blanket", 1000, 400, 1), Options{Start: start, Pace: 100}, &figure},
		{"too many", free(t, "Blanket", 1000, 100, 1), Options{Start: start, Pace: 400, Every: 1}, &figure},
		{"too many pieces", pace.Plan{Parts: slices.Repeat(free(t, "Square", 1, 5, 100).Parts, 6)}, Options{Start: start}, &figure},
		{"dates in disorder", plan, Options{Start: start, Dates: []schedule.Date{start.Add(9), start.Add(8)}}, &dates},
		{"twice the same", plan, Options{Start: start, Dates: []schedule.Date{start.Add(9), start.Add(9)}}, &dates},
		{"before the start", plan, Options{Start: start, Dates: []schedule.Date{start.Add(-1)}}, &dates},
	} {
		if ms, err := Milestones(c.plan, c.o); !errors.As(err, c.as) {
			t.Errorf("%s: %v, %v", c.name, ms, err)
		}
	}
}

func TestTargetsByShare(t *testing.T) {
	// by hand: the goal is at 60 % of the piece; with other sections, 6 of 10
	// rows of the same width are it.
	goal := Milestone{Goals: []Goal{{Piece: "scarf", Section: 2, Sections: 3, Share: 0.6}}}
	if got := Targets(free(t, "Scarf", 10, 30, 1), goal); !slices.Equal(got, []Target{{0, 6}}) {
		t.Errorf("%v", got)
	}
	// Goals that no plan proposes: a place that is none, and no place.
	for _, g := range []Goal{{Piece: "Scarf", Section: 9, Sections: 1, Share: 0.6}, {Piece: "Scarf", Section: -1, Sections: 1, Share: 0.6}} {
		if got := Targets(free(t, "Scarf", 10, 30, 1), Milestone{Goals: []Goal{g}}); !slices.Equal(got, []Target{{0, 6}}) {
			t.Errorf("%+v: %v", g, got)
		}
	}
	if got := Targets(free(t, "Scarf", 10, 30, 1), Milestone{Goals: []Goal{{Piece: "Scarf", Section: 1, Sections: 2}}}); len(got) != 0 {
		t.Errorf("%v", got)
	}
	if got := Targets(free(t, "Hat", 10, 30, 1), goal); len(got) != 0 {
		t.Errorf("of another piece: %v", got)
	}
	// A plan that has none of the pieces: shares of the whole. Thirds of two
	// pieces of 9 rows are 6 of the first, 9 and 3 of the second, and all.
	ms, err := Milestones(free(t, "Scarf", 30, 40, 1), Options{Start: start})
	if err != nil {
		t.Fatal(err)
	}
	ms = append(ms, Milestone{Title: "Show it"})
	got := AllTargets(free(t, "Cloth", 9, 10, 2), ms)
	want := [][]Target{{{0, 6}}, {{0, 9}, {1, 3}}, {{1, 9}}, nil} // of the third, the first piece was asked before
	if len(got) != 4 || !slices.EqualFunc(got, want, slices.Equal[[]Target]) {
		t.Errorf("%v, want %v", got, want)
	}
	// In three rows, thirds of a quarter fall together: the milestone keeps what
	// tells of it.
	half := func(share float64) Milestone {
		return Milestone{Goals: []Goal{{Piece: "Scarf", Section: 2, Sections: 3, Share: share}}}
	}
	if got := AllTargets(free(t, "Scarf", 3, 10, 1), []Milestone{half(0.4), half(0.6), half(1)}); !slices.EqualFunc(got, [][]Target{{{0, 2}}, {{0, 2}}, {{0, 3}}}, slices.Equal[[]Target]) {
		t.Errorf("%v", got)
	}
	// Milestones of a host's own, without stitches, can't be shared out.
	if got := AllTargets(free(t, "Cloth", 9, 10, 2), []Milestone{{Goals: goal.Goals}}); len(got) != 1 || len(got[0]) != 0 {
		t.Errorf("%v", got)
	}
}

func TestProgressByHand(t *testing.T) {
	targets := [][]Target{nil, {{0, 10}}, {{0, 20}, {1, 5}}, nil, {{0, 20}, {1, 10}}, nil}
	for _, c := range []struct {
		done    []int
		reached int
		share   float64
	}{
		{nil, 0, 0}, {[]int{0, 0}, 0, 0}, {[]int{4, 0}, 0, 0.4}, {[]int{10, 0}, 2, 0}, {[]int{13, 3}, 2, 0.4},
		{[]int{0, 5}, 0, 0},             // the second piece first: the first milestone is still ahead
		{[]int{20, 5}, 3, 0},            //
		{[]int{20, 9}, 3, 0.8},          //
		{[]int{20, 10}, 5, 0},           // what rows can't tell of lies between
		{[]int{30, 30}, 5, 0},           // more than all
		{[]int{20}, 2, 10. / 15},        // a piece that is not there
		{[]int{12, 10, 99}, 2, 7. / 15}, //
	} {
		reached, share := Progress(c.done, targets)
		if reached != c.reached || share-c.share > 1e-12 || c.share-share > 1e-12 {
			t.Errorf("%v: %d and %v, want %d and %v", c.done, reached, share, c.reached, c.share)
		}
	}
	if Reached([]int{5}, nil) || Reached([]int{5}, []Target{{-1, 1}}) || !Reached([]int{5}, []Target{{0, 5}}) {
		t.Error("reached")
	}
}

func TestLateJoiners(t *testing.T) {
	// by hand: to the nearest week
	for late, want := range map[int]int{-30: 0, -1: 0, 0: 0, 3: 0, 4: 7, 7: 7, 10: 7, 11: 14, 21: 21, 365: 364} {
		if got := Shift(start, start.Add(late)); got != want {
			t.Errorf("%d days late: %d, want %d", late, got, want)
		}
	}
	ms := []Milestone{{Title: "a", Date: start.Add(49)}, {Title: "b", Date: start.Add(56)}}
	got := Shifted(ms, 7)
	if got[0].Date != start.Add(56) || got[1].Date != start.Add(63) || ms[0].Date != start.Add(49) || got[0].Title != "a" {
		t.Errorf("%v of %v", got, ms)
	}
}
