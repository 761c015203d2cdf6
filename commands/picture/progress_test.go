package picture

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"countwright/calc/pace"
)

// neck is a piece with an opening at its top, 100 × 100 mm less 40 × 20.
var neck = []Point{{0, 0}, {100, 0}, {100, 100}, {70, 100}, {70, 80}, {30, 80}, {30, 100}, {0, 100}}

func TestFilledByArea(t *testing.T) {
	// by hand: 9200 mm² in all, 8000 below the neck, two strips of 30 mm above
	for _, c := range []struct{ share, level float64 }{
		{0.5, 46}, {8000. / 9200, 80}, {8600. / 9200, 90},
	} {
		got := bounds(filled(neck, c.share, false))
		if math.Abs(got.y2-c.level) > 0.01 || got.y1 != 0 {
			t.Errorf("%.3f: up to %.2f from %.2f, want %.0f", c.share, got.y2, got.y1, c.level)
		}
	}
	if got := bounds(filled(neck, 600./9200, true)); math.Abs(got.y1-90) > 0.01 || got.y2 != 100 {
		t.Errorf("from the top: %.2f to %.2f, want 90 to 100", got.y1, got.y2)
	}
	if filled(neck, 0, false) != nil || len(filled(neck, 1, true)) != len(neck) || filled(neck, math.NaN(), false) != nil {
		t.Error("nothing or all is filled wrongly")
	}
}

func TestFilledShareIsTheArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0.001, 0.999).Draw(t, "share")
		down := rapid.Bool().Draw(t, "down")
		if got := area(filled(neck, share, down)) / area(neck); math.Abs(got-share) > 1e-6 {
			t.Fatalf("%v of the area is filled, want %v", got, share)
		}
	})
}

// A piece of which only rows are known is as wide as its stitches, drawn with
// few points however long it is.
func TestStacked(t *testing.T) {
	plan, err := pace.Free("Scarf", 5000, 30, 1)
	if err != nil {
		t.Fatal(err)
	}
	flat := Stacked(plan.Pieces()[0], false)
	if b := bounds(flat.Outline); b.width() != 30*plainWide || b.height() != 5000*plainHigh || len(flat.Outline) > 8 {
		t.Errorf("flat: %v in %d points", b, len(flat.Outline))
	}
	if round := Stacked(plan.Pieces()[0], true); !round.Down || bounds(round.Outline).width() != 15*plainWide {
		t.Errorf("in rounds: %+v", bounds(round.Outline))
	}
}

func TestProgressIsDrawn(t *testing.T) {
	part := Part{Name: "Back", Outline: neck}
	d, err := Progress("Harbour cardigan", []InWork{
		{Part: part, Name: "Back", Done: 0.4, Note: "12 of 30 rows"}, {Part: part, Name: "Front", Done: 0}, {Part: part, Name: "Hood", Done: 1},
	}, []string{"Button band: 0 of 5 rows"}).Draw()
	if err != nil {
		t.Fatal(err)
	}
	key := 0
	for _, m := range d.Marks {
		if text, ok := m.(Text); ok && text.Text == "worked so far" {
			key++
		}
	}
	if key != 1 {
		t.Errorf("the key is there %d times", key)
	}
}
