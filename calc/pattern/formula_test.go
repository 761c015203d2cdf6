package pattern

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// body is an invented body, in millimetres, with one plain number.
var body = map[string]float64{"chest": 1120, "ease": 150, "upper arm": 345, "cross back": 445, "times": 2}

func bodyUnit(name string) (Unit, bool) {
	_, ok := body[name]
	if name == "times" {
		return Plain, ok
	}
	return Length, ok
}

func bodyValue(name string) (float64, bool) { v, ok := body[name]; return v, ok }

var formulas = []struct {
	text string
	want float64
	unit Unit
	src  string
}{
	{"chest", 1120, Length, "by hand"},
	{"chest + ease", 1270, Length, "by hand"},
	{"(chest + ease) / 2", 635, Length, "by hand"},
	{"chest / 2 + ease / 2", 635, Length, "by hand: × and / before + and −"},
	{"2 × upper arm", 690, Length, "by hand"},
	{"upper_arm·0.5 + 7 cm", 242.5, Length, "by hand: 172.5 + 70"},
	{"Upper Arm − 1 in", 319.6, Length, "by hand: 1 in = 25.4 mm"},
	{"upper arm + 8 cm at least 30 cm", 425, Length, "by hand: 345 + 80"},
	{"cross back / 3 at least 14 cm at most 20 cm", 1480. / 10 * 1.0, Length, "by hand: 148.33 lies between"},
	{"10 cm at least 20 cm at most 15 cm", 150, Length, "by hand: from left to right"},
	{"min(chest, 1 m)", 1000, Length, "by hand"},
	{"max(10 mm, 2 cm, 3 mm)", 20, Length, "by hand"},
	{"chest / 8 cm", 14, Plain, "by hand: a number"},
	{"chest / 8 cm * ease", 2100, Length, "by hand: number × length"},
	{"times * ease", 300, Length, "by hand"},
	{"-ease + 20 cm", 50, Length, "by hand"},
	{"2 - -3", 5, Plain, "by hand"},
	{"((2))", 2, Plain, "by hand"},
	{"8/2/2", 2, Plain, "by hand: from the left"},
	{"9-3-2", 4, Plain, "by hand: from the left"},
}

func TestFormula(t *testing.T) {
	formulas[8].want = 445. / 3
	for _, test := range formulas {
		f, err := ParseFormula(test.text)
		if err != nil {
			t.Errorf("%q: %v", test.text, err)
			continue
		}
		unit, err := f.Check(bodyUnit)
		if err != nil || unit != test.unit {
			t.Errorf("%q is a %v (%v), want a %v", test.text, unit, err, test.unit)
		}
		got, err := f.Value(bodyValue)
		if err != nil || math.Abs(got-test.want) > 1e-9 {
			t.Errorf("%q = %v (%v), want %v (%s)", test.text, got, err, test.want, test.src)
		}
	}
}

var badFormulas = []struct {
	text, want string
	column     int
}{
	{"", "found the end", 1},
	{"chest +", "found the end", 8},
	{"(chest", "close the bracket at column 1", 7},
	{"chest)", `found ")"`, 6},
	{"(chest, ease)", "only min(…) and max(…)", 1},
	{"min chest", "is no measure", 1},
	{"chest * ease", "an area", 7},
	{"2 / chest", "can't be divided by a length", 3},
	{"chest + 4", "give the number a unit", 7},
	{"max(chest, 4)", "give the number a unit", 1},
	{"bust + 4 cm", `"bust" is no measure`, 1},
	{"4 cm at least", "found the end", 14},
	{"4 kg", "expected a unit", 3},
	{"1.2.3", "not a number", 1},
	{"at least 4 cm", "expected a measure", 1},
	{"chest ? 2", `found "?"`, 7},
	{"+ chest", "before +", 1},
	{strings.Repeat("(", 60) + "1" + strings.Repeat(")", 60), "too many brackets", 42},
	{strings.Repeat("-", 200) + "1", "too many signs", 42},
	{strings.Repeat("1+", 200) + "1", "longer than 300", 301},
}

func TestFormulaErrors(t *testing.T) {
	for _, test := range badFormulas {
		f, err := ParseFormula(test.text)
		if err == nil {
			_, err = f.Check(bodyUnit)
		}
		var wrong *FormulaError
		if !errors.As(err, &wrong) {
			t.Errorf("%q: got %v, want a *FormulaError", test.text, err)
			continue
		}
		if !strings.Contains(err.Error(), test.want) || wrong.Column != test.column {
			t.Errorf("%q: got %v at column %d, want %q at column %d", test.text, err, wrong.Column, test.want, test.column)
		}
	}
}

func TestFormulaValueErrors(t *testing.T) {
	for text, want := range map[string]string{
		"waist":                         `the measure "waist" is missing`,
		"chest / (ease - 15 cm)":        "divides by nothing",
		"1000000*1000000*1000000*chest": "beyond all sizes",
	} {
		f, err := ParseFormula(text)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Value(bodyValue); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", text, err, want)
		}
	}
	if _, err := (Formula{}).Value(bodyValue); err == nil {
		t.Error("the zero formula has a value")
	}
}

func FuzzParseFormula(f *testing.F) {
	for _, test := range formulas {
		f.Add(test.text)
	}
	for _, test := range badFormulas {
		f.Add(test.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		formula, err := ParseFormula(text)
		if err != nil {
			return
		}
		for _, name := range formula.Names() {
			if name != Key(name) {
				t.Errorf("%q reads the name %q, which is not folded", text, name)
			}
		}
		_, checked := formula.Check(bodyUnit)
		v, err := formula.Value(bodyValue)
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("%q = %v", text, v)
		}
		if checked == nil && err != nil && strings.Contains(err.Error(), "missing") {
			t.Errorf("%q was found good, but: %v", text, err)
		}
	})
}
