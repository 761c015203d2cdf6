package sizing

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"countwright/calc/measure"

	"pgregory.net/rapid"
)

func TestClosestIsNeverNone(t *testing.T) {
	for _, c := range []struct {
		table string
		chest float64
		size  string
		off   float64
		src   string
	}{
		{"woman", 94, "M", 0, "91.5-96.5"},
		{"woman", 79, "S", -2, "a gap: S begins at 81, XS ends at 76"},
		{"woman", 77, "XS", 1, "a gap, nearer to XS"},
		{"woman", 185, "5X", 27, "far beyond the largest, which ends at 158"},
		{"woman", 60, "XS", -11, "below the smallest, which begins at 71"},
		{"EN letter woman", 92, "M", 0, "90-98"},
		{"EN letter woman", 98, "L", 0, "classes touch: the larger"},
		{"EN letter man", 100, "M", 0, "94-102"},
	} {
		f, err := table(t, c.table).Closest(Body{Chest: measure.Of(c.chest, measure.Centimetres)})
		if err != nil || f.Size.Name != c.size || f.Off != measure.Of(c.off, measure.Centimetres) {
			t.Errorf("%s %v cm: %s, off %v, %v; want %s, %v (%s)", c.table, c.chest, f.Size.Name, f.Off, err, c.size, c.off, c.src)
		}
	}
	// Source: WHO Child Growth Standards, 2007, medians of boys and girls: 42.75
	// at 6 months, 45.5 at 12, 33.9 and 34.5 at birth.
	for head, size := range map[float64]string{42.7: "6 months", 45.5: "12 months", 34.2: "newborn", 60: "5 years"} {
		if f, err := table(t, "head").Closest(Body{Head: measure.Of(head, measure.Centimetres)}); err != nil || f.Size.Name != size {
			t.Errorf("a head of %v cm: %s, %v; want %s", head, f.Size.Name, err, size)
		}
	}
	for chest, gap := range map[float64]bool{79: true, 94: false, 185: false, 60: false, 89: true} {
		if f, _ := table(t, "woman").Closest(Body{Chest: measure.Of(chest, measure.Centimetres)}); f.Gap() != gap {
			t.Errorf("%v cm: in a gap: %v", chest, f.Gap())
		}
	}
	var need *NeedError
	if _, err := table(t, "EN letter woman").Closest(Body{Waist: 80 * cm}); !errors.As(err, &need) {
		t.Error(err)
	}
	if _, err := table(t, "woman").Closest(Body{Chest: 9 * measure.Metre}); err == nil {
		t.Error("a chest of 9 m")
	}
}

func TestAlterations(t *testing.T) {
	for _, c := range []struct {
		what string
		body Body
		want []Alteration
		src  string
	}{
		{"as the table has it", Body{Chest: 94 * cm, Waist: 73 * cm, CrossBack: 40 * cm, ArmLength: 43 * cm}, nil, "woman M: waist 71-76, cross back 39.5-40.5, arm 43"},
		{"within a centimetre", Body{Chest: 94 * cm, ArmLength: 44 * cm, BackLength: 43 * cm}, nil, "arm 43, back 43.5"},
		{"long arms", Body{Chest: 94 * cm, ArmLength: 48 * cm}, []Alteration{{SleeveLength, 5 * cm, 1, ""}}, "by hand: 48 - 43"},
		{"a bust larger than the back", Body{Chest: 104 * cm, CrossBack: 37.5 * 10 * measure.Millimetre}, []Alteration{{Fronts, 205 * measure.Millimetre, 2, "S"}}, "by hand: cross back 37.5 is S; its chest is 83.5"},
		{"a broad back", Body{Chest: 94 * cm, CrossBack: 44 * cm}, []Alteration{{Back, 40 * measure.Millimetre, 1, "M"}}, "by hand: 44 - 40"},
		{"in a gap", Body{Chest: 79 * cm}, []Alteration{{Around, -2 * cm, 2, ""}}, "by hand: S begins at 81"},
		{"several", Body{Chest: 94 * cm, Hips: 110 * cm, Waist: 90 * cm, UpperArm: 33 * cm, ArmholeDepth: 21 * cm, BackLength: 41 * cm},
			[]Alteration{{WaistPart, 14 * cm, 1, ""}, {Hem, 8.5 * 10 * measure.Millimetre, 1, ""}, {BodyLength, -2.5 * 10 * measure.Millimetre, 1, ""}, {Armhole, 2 * cm, 1, ""}, {SleeveTop, 5 * cm, 1, ""}},
			"woman M: waist to 76, hips to 101.5, back 43.5, armhole to 19, upper arm 28"},
		{"neck to wrist for want of an arm", Body{Chest: 94 * cm, CentreBack: 76 * cm}, []Alteration{{SleeveLength, 3.5 * 10 * measure.Millimetre, 1, ""}}, "woman M: to 72.5"},
	} {
		f, err := table(t, "woman").Closest(c.body)
		if got := f.Alterations(); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s (size %s): %+v, %v; want %+v (%s)", c.what, f.Size.Name, got, err, c.want, c.src)
		}
	}
	f, err := table(t, "craft head").Closest(Body{Head: 60 * cm})
	if got := f.Alterations(); err != nil || len(got) != 1 || got[0].Part != HatPart {
		t.Errorf("%+v, %v", got, err)
	}
}

// TestASizeNeedsNoAlteration: a body that is the middle of a size, in any
// table, is that size and needs none.
func TestASizeNeedsNoAlteration(t *testing.T) {
	all := Tables()
	rapid.Check(t, func(t *rapid.T) {
		table := rapid.SampledFrom(all).Draw(t, "table")
		size := rapid.SampledFrom(table.Sizes).Draw(t, "size")
		f, err := table.Closest(size.Body())
		if err != nil {
			t.Fatal(err)
		}
		if f.Off != 0 {
			t.Fatalf("%s %s: off %v", table.Name, size.Name, f.Off)
		}
		for _, a := range f.Alterations() {
			if f.Size.Name == size.Name {
				t.Fatalf("%s %s: %+v", table.Name, size.Name, a)
			}
		}
	})
}

func ExampleFit_Alterations() {
	woman, _ := Named("woman")
	f, _ := woman.Closest(Body{Chest: 94 * measure.Centimetre, ArmLength: 48 * measure.Centimetre})
	for _, a := range f.Alterations() {
		fmt.Println(f.Size.Name, a.Part.Lengthwise(), a.By)
	}
	// Output: M true 5 cm
}

func ExampleTable_Closest() {
	woman, _ := Named("woman")
	f, _ := woman.Closest(Body{Chest: 79 * measure.Centimetre})
	fmt.Println(f.Size.Name, f.Off)
	// Output: S -2 cm
}
