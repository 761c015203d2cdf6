package grade

import (
	"errors"
	"math"
	"strings"
	"testing"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/pattern"
	"countwright/calc/sizing"
)

func order112(t *testing.T) Order {
	t.Helper()
	table, err := sizing.Named("woman")
	if err != nil {
		t.Fatal(err)
	}
	c, err := table.Complete(sizing.Body{sizing.Chest: measure.Of(112, measure.Centimetres)})
	if err != nil {
		t.Fatal(err)
	}
	return Order{Body: c.Body, Gauge: gauge.Gauge{Stitches: 14, Rows: 10}}
}

func finished(t *testing.T, g *Garment, name string) Finished {
	t.Helper()
	for _, f := range g.Finished {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("%s has no measurement %q", g.Pattern.Name, name)
	return Finished{}
}

// TestChanges alters one thing at a time: what it is about changes, and what
// hangs on it follows.
func TestChanges(t *testing.T) {
	p, _ := pattern.Find("cardigan")
	plain, err := Make(p, order112(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		change Change
		moved  map[string]float64 // how far targets move, in mm
		src    string
	}{
		{Change{"length", 50}, map[string]float64{"length from shoulder": 50, "armhole depth": 0}, "by hand: the body is longer, the armhole stays"},
		{Change{"Sleeve Length", -30}, map[string]float64{"sleeve length": -30, "length from shoulder": 0}, "by hand"},
		{Change{"sleeve width", 40}, map[string]float64{"sleeve around the top": 40, "armhole depth": 20}, "by hand: half of it on either side of the armhole"},
		{Change{"cuff width", 20}, map[string]float64{"sleeve around the cuff": 20}, "by hand"},
		{Change{"straight sleeves", 0}, map[string]float64{"sleeve around the cuff": finished(t, plain, "sleeve around the top").Target - finished(t, plain, "sleeve around the cuff").Target}, "by hand: as wide below as above"},
		{Change{"cropped", 0}, map[string]float64{"length from shoulder": 448.902439 + 30 - finished(t, plain, "length from shoulder").Target}, "by hand: the back length and 3 cm"},
	} {
		o := order112(t)
		o.Changes = []Change{test.change}
		g, err := Make(p, o)
		if err != nil {
			t.Errorf("%s: %v", test.change.Name, err)
			continue
		}
		for name, by := range test.moved {
			if got := finished(t, g, name).Target - finished(t, plain, name).Target; math.Abs(got-by) > 0.01 {
				t.Errorf("%s: %s moves by %.2f mm, want %.2f (%s)", test.change.Name, name, got, by, test.src)
			}
		}
	}
	o := order112(t)
	o.Changes = []Change{{"buttons", 2}}
	g, err := Make(p, o)
	if err != nil || g.Buttons.Number != plain.Buttons.Number+2 {
		t.Errorf("two more buttons: %v (%v), without %v", g.Buttons, err, plain.Buttons)
	}
	for _, s := range g.Pieces {
		if s.Name == "Sleeve" && s.Sections[1].Start == s.Sections[1].End {
			t.Error("buttons straightened the sleeve")
		}
	}
}

func TestChangesThatCantBe(t *testing.T) {
	for name, test := range map[string]struct {
		pattern string
		change  Change
		want    string
	}{
		"unknown":    {"cardigan", Change{"hood", 0}, `"hood" is no change that this pattern offers; it offers length, cropped`},
		"no changes": {"ball", Change{"length", 10}, "this pattern offers no changes"},
		"too much":   {"cardigan", Change{"sleeve length", -900}, "would leave nothing of it"},
	} {
		p, _ := pattern.Find(test.pattern)
		o := order112(t)
		o.Changes = []Change{test.change}
		_, err := Make(p, o)
		var wrong *ChangeError
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: got %v, want %q", name, err, test.want)
		}
	}
}
