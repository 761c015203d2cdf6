package pace

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/grade"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

// jacket is parts of a garment as grade prints them, counted by hand.
const jacket = `Sleeve, cuff (make 2)
Ch 9.
Row 1: Sc in 2nd ch from hook, sc in each ch across, turn. (8 sts)
Rows 2–28: Ch 1, sc in BLO of each st across, turn. (8 sts)

Sleeve (make 2)
Row 1 (RS): Ch 2, hdc in each row end across, turn. (28 sts)
Row 2: Ch 2, hdc in each st across, turn. (28 sts)
Row 3: Ch 2, 2 hdc in first st, hdc in each st to last st, 2 hdc in last st, turn. (30 sts)
Rows 4–7: Rep Rows 2 and 3. (34 sts)
Rows 8–9: Rep Row 2. (34 sts)
Fasten off.

Button band
Begin at the lower edge of the right front.
Row 1 (RS): With RS facing, rejoin yarn, ch 1, working evenly along the right front hem, sc in next 8 sts, turn. (8 sts)
Row 2: Ch 1, sc in each st across, turn. (8 sts)
Row 3: Ch 1, sc in next 2 sts, ch 3, sk next 3 sts, sc in next 3 sts, turn. (5 sts, 1 ch-3 sp)
Row 4: Ch 1, sc in next 3 sts, 3 sc in next ch-3 sp, sc in next 2 sts, turn. (8 sts)
Row 5: Rep Row 2. (8 sts)
Fasten off.
`

func plan(t testing.TB, text string) Plan {
	t.Helper()
	p, err := FromText(text, notation.Options{Terms: notation.US}, 0, notation.US)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Every row has its own words, though the text says "rep Rows 2 and 3".
func TestRowsOneByOne(t *testing.T) {
	p := plan(t, jacket)
	sleeve := Piece{Part: &p.Parts[1]}
	plain, shaped := "hdc in each st across, turn.", "2 hdc in last st, turn."
	for _, want := range []struct {
		row    int
		label  string
		text   string
		count  int
		shape  int
		worked int
	}{
		// by hand: 28 stitches, 2 more in each odd row from Row 3 to Row 7
		{0, "Row 1 (RS)", "in each row end across, turn.", 28, 0, 28},
		{2, "Row 3 (RS)", shaped, 30, 2, 30},
		{3, "Row 4 (WS)", plain, 30, 0, 30},
		{4, "Row 5 (RS)", shaped, 32, 2, 32},
		{6, "Row 7 (RS)", shaped, 34, 2, 34},
		{8, "Row 9 (RS)", plain, 34, 0, 34},
	} {
		r := sleeve.Rows[want.row]
		if r.Label != want.label || r.Count != want.count || r.Shape != want.shape || r.Worked != want.worked || !strings.HasSuffix(sleeve.Text(want.row), want.text) {
			t.Errorf("row %d: %+v, %q; want %+v", want.row, r, sleeve.Text(want.row), want)
		}
	}
	if len(sleeve.Rows) != 9 || sleeve.Last() != 9 || !slices.Equal(sleeve.Ending(), []string{"Fasten off."}) {
		t.Errorf("%d rows, last %d, ending %q", len(sleeve.Rows), sleeve.Last(), sleeve.Ending())
	}
	cuff := Piece{Part: &p.Parts[0]}
	if got := cuff.Said(0); !slices.Equal(got, []string{"Ch 9."}) {
		t.Errorf("before the cuff: %q", got)
	}
	band := Piece{Part: &p.Parts[2]}
	if band.Rows[2].Holes != 1 || band.Rows[3].Holes != 0 || !strings.Contains(band.Text(2), "(5 sts, 1 ch-3 sp)") {
		t.Errorf("buttonholes: %+v %+v %q", band.Rows[2], band.Rows[3], band.Text(2))
	}
}

func TestPiecesInOrder(t *testing.T) {
	var titles []string
	for _, p := range plan(t, jacket).Pieces() {
		titles = append(titles, p.Title())
	}
	want := []string{"Sleeve, cuff (1 of 2)", "Sleeve (1 of 2)", "Sleeve, cuff (2 of 2)", "Sleeve (2 of 2)", "Button band"}
	if !slices.Equal(titles, want) {
		t.Errorf("pieces %q, want %q", titles, want)
	}
}

func TestTermsOfThePlan(t *testing.T) {
	p, err := FromText("Row 1: Ch 1, sc in next 8 sts, turn. (8 sts)", notation.Options{Terms: notation.US}, 0, notation.UK)
	if err != nil {
		t.Fatal(err)
	}
	if text := (Piece{Part: &p.Parts[0]}).Text(0); !strings.Contains(text, "dc in") {
		t.Errorf("in UK terms: %q", text)
	}
}

// Rows that a line gives beforehand have that line's words: "Row 2 and all WS
// rows".
func TestRowsToldBeforehand(t *testing.T) {
	p := plan(t, `Ch 11.
Row 1: Sc in 2nd ch from hook, sc in each ch across, turn. (10 sts)
Row 2 and all WS rows: Ch 1, sc in each st across, turn.
Row 3: Ch 1, 2 sc in first st, sc in each st across, turn. (11 sts)
Row 5: Ch 1, 2 sc in first st, sc in each st across, turn. (12 sts)`)
	piece := Piece{Part: &p.Parts[0]}
	var counts []int
	for _, r := range piece.Rows {
		counts = append(counts, r.Count)
	}
	if !slices.Equal(counts, []int{10, 10, 11, 11, 12}) || !strings.HasPrefix(piece.Text(3), "Ch 1, sc in each st across") {
		t.Errorf("counts %v, Row 4 %q", counts, piece.Text(3))
	}
}

func TestSizesOfAPlan(t *testing.T) {
	text := "Sizes: S (M, L)\nRow 1: Ch 1, sc in next 8 (10, 12) sts, turn. (8 (10, 12) sts)"
	for size, want := range []int{8, 10, 12} {
		p, err := FromText(text, notation.Options{Terms: notation.US}, size, notation.US)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Parts[0].Rows[0].Count; got != want {
			t.Errorf("size %d has %d stitches, want %d", size, got, want)
		}
	}
	var wrong *PlanError
	if _, err := FromText(text, notation.Options{Terms: notation.US}, 3, notation.US); !errors.As(err, &wrong) {
		t.Errorf("a fourth size: %v", err)
	}
}

func TestNoPlan(t *testing.T) {
	for _, text := range []string{"", "A hat for spring.", "Ch 9."} {
		var wrong *PlanError
		if p, err := FromText(text, notation.Options{}, 0, notation.US); !errors.As(err, &wrong) {
			t.Errorf("%q: %+v %v", text, p, err)
		}
	}
	for _, c := range [][3]int{{0, 10, 1}, {10, 0, 1}, {10, 10, 0}, {MostRows + 1, 10, 1}, {10, MostStitches + 1, 1}, {MostRows / 2, 10, 3}} {
		var wrong *PlanError
		if _, err := Free("Scarf", c[0], c[1], c[2]); !errors.As(err, &wrong) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

// The plan of each house pattern has the rows that grade made, count by count.
func TestHousePatternsArePlanned(t *testing.T) {
	for _, p := range pattern.House() {
		o := grade.Order{Gauge: gauge.Gauge{Stitches: p.Gauge.Stitches, Rows: p.Gauge.Rows}}
		if len(p.Tables) > 0 {
			table, err := sizing.Named(p.Tables[0])
			if err != nil {
				t.Fatal(err)
			}
			c, err := table.Complete(table.Sizes[len(table.Sizes)/2].Body())
			if err != nil {
				t.Fatal(err)
			}
			o.Body = c.Body
		}
		g, err := grade.Make(p, o)
		if err != nil {
			t.Errorf("%s: %v", p.Name, err)
			continue
		}
		for _, terms := range []notation.Terms{notation.US, notation.UK} {
			text := notation.Print(g.Written, notation.PrintOptions{Terms: terms})
			made, err := FromText(text, notation.Options{Terms: terms}, 0, terms)
			if err != nil {
				t.Fatalf("%s: %v", p.Name, err)
			}
			var got, want []int
			for _, part := range made.Parts {
				for i, r := range part.Rows {
					got = append(got, r.Count)
					if (Piece{Part: &part}).Text(i) == "" {
						t.Errorf("%s, %s, %s: no words", p.Name, part.Name, r.Label)
					}
				}
			}
			for _, piece := range g.Pieces {
				for _, r := range piece.Rows {
					want = append(want, r.Count)
				}
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s in %v: %d rows, want %d, or their counts differ", p.Name, terms, len(got), len(want))
			}
			if err := made.Check(); err != nil {
				t.Errorf("%s: %v", p.Name, err)
			}
		}
	}
}

func TestCheckOfAPlan(t *testing.T) {
	good, err := Free("Scarf", 10, 30, 2)
	if err != nil || good.Check() != nil {
		t.Fatal(err, good.Check())
	}
	for name, spoil := range map[string]func(*Plan){
		"no rows":        func(p *Plan) { p.Parts[0].Rows = nil },
		"made too often": func(p *Plan) { p.Parts[0].Make = 1000 },
		"made backwards": func(p *Plan) { p.Parts[0].Make = -1 },
		"no stitches":    func(p *Plan) { p.Parts[0].Rows[3].Worked = 0 },
		"below nothing":  func(p *Plan) { p.Parts[0].Rows[3].Count = -1 },
	} {
		p, _ := Free("Scarf", 10, 30, 2)
		spoil(&p)
		var wrong *PlanError
		if err := p.Check(); !errors.As(err, &wrong) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestRowByItsNumber(t *testing.T) {
	// Two shoulders with the same row numbers.
	part := Part{Name: "Back", Rows: []Row{{Number: 51}, {Number: 52}, {Number: 53}, {Number: 52}, {Number: 53}}}
	p := Piece{Part: &part}
	for _, c := range []struct {
		number, done, rows int
		ok                 bool
	}{
		{52, 0, 2, true}, {53, 0, 3, true}, {52, 2, 2, true}, {52, 3, 4, true}, {53, 4, 5, true},
		{53, 5, 5, true}, {51, 5, 1, true}, {54, 0, 0, false},
	} {
		if rows, ok := p.At(c.number, c.done); rows != c.rows || ok != c.ok {
			t.Errorf("Row %d after %d: %d %t, want %d %t", c.number, c.done, rows, ok, c.rows, c.ok)
		}
	}
}

func TestDue(t *testing.T) {
	p := plan(t, jacket).Pieces()
	sleeve, band := p[1], p[4]
	// by hand: shaping begins in Row 3, then every second row, the same each time
	if got := sleeve.Due(0, 3); len(got) != 1 || got[0].Row != 2 || got[0].Shape != 2 {
		t.Errorf("sleeve: %+v", got)
	}
	if got := band.Due(0, 99); len(got) != 1 || got[0].Row != 2 || got[0].Holes != 1 {
		t.Errorf("band: %+v", got)
	}
	if got := band.Due(3, 5); len(got) != 0 {
		t.Errorf("after the holes: %+v", got)
	}
	body := plan(t, `Back, body
Row 1: Ch 1, sc in next 8 sts, turn. (8 sts)
Row 2: Ch 1, sc in each st across, turn. (8 sts)

Upper back
Place a marker at each end of the next row: the armholes begin here.
Row 3: Ch 1, sc in each st across, turn. (8 sts)`).Pieces()[0]
	if got := body.Due(1, 3); len(got) != 1 || got[0].Row != 2 || len(got[0].Said) == 0 || !slices.Contains(got[0].Said, "Place a marker at each end of the next row: the armholes begin here.") {
		t.Errorf("a marker: %+v", got)
	}
}

func FuzzFromText(f *testing.F) {
	f.Add(jacket)
	f.Add("Row 1: sc in each st. Row 2 and all WS rows: sc. Row 7: Rep last 2 rows")
	f.Add("SC in Ch frm hk !00000000000!R0–0700sh ACrs") // rows that grow without end
	f.Add("Rows 2-9: Rep Rows 1 and 2\nRep last row until piece measures 20 cm")
	f.Fuzz(func(t *testing.T, text string) {
		p, err := FromText(text, notation.Options{}, 0, notation.US)
		if err != nil {
			return
		}
		if err := p.Check(); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		for _, piece := range p.Pieces() {
			for i := range piece.Rows {
				piece.Text(i)
				piece.Said(i)
			}
			piece.Due(0, len(piece.Rows))
		}
	})
}
