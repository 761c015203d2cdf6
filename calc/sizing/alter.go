package sizing

import (
	"slices"

	"countwright/calc/measure"
)

// Closest is the size nearest to a body, however far it is from it: never
// none. Where ranges overlap, as those of heads do, it is the one in whose
// middle the body lies most. Errors are *NeedError, *NameError and *measure.RangeError.
func (t *Table) Closest(given Body) (Fit, error) {
	if err := given.Check(); err != nil {
		return Fit{}, err
	}
	key := t.keyOf(given)
	if key == "" {
		return Fit{}, &NeedError{t}
	}
	f := t.nearest(key, given[key])
	for _, s := range t.Sizes {
		if s.Ranges[key].deeper(f.Size.Ranges[key], given[key]) {
			f.Size = s
		}
	}
	f.compare(given)
	return f, nil
}

// deeper says whether x lies inside both of two ranges, not on an end, and
// nearer to the middle of this one.
func (r Range) deeper(other Range, x measure.Length) bool {
	inside := x > r.Low && x < r.High && x > other.Low && x < other.High
	return inside && (x-r.Middle()).Abs() < (x-other.Middle()).Abs()
}

// Gap says that the body lies in a gap between two sizes of its table, which
// the published ranges leave: in neither, but not beyond the outermost.
func (f Fit) Gap() bool {
	i := f.Table.index(f.Size.Name)
	return f.Off > 0 && i+1 < len(f.Table.Sizes) || f.Off < 0 && i > 0
}

// Part is the part of a garment that is altered.
type Part uint8

// The parts.
const (
	Fronts       Part = iota // the fronts alone; the back stays
	Back                     // the back alone
	Around                   // back and fronts
	WaistPart                // where the waist is shaped
	Hem                      // the lower edge
	BodyLength               // from the neck bone to the waist
	Armhole                  // its depth; the sleeve's top follows, twice as much
	SleeveLength             // before the underarm
	SleeveTop                // around
	Cuff                     // around
	NeckEdge                 // around
	HatPart                  // around
	MittPart                 // around
	SockPart                 // around
	SockFoot                 // its length
)

// Lengthwise says whether the alteration adds rows; else it adds stitches. (For
// pieces worked from side to side it is the other way round.)
func (p Part) Lengthwise() bool {
	return p == BodyLength || p == Armhole || p == SleeveLength || p == SockFoot
}

// Alteration is one thing to alter in a garment made to a size.
type Alteration struct {
	Part Part
	By   measure.Length // how much larger, negative smaller
	Each int            // among how many edges or pieces it is shared out: 2 fronts
	Base string         // Fronts and Back: the size to follow for the rest
}

// Slack is how far a body may lie outside a size before it is altered for:
// fabric gives that much. Common practice, no source.
const Slack = measure.Centimetre

// parts is what a measure's difference alters, where it is one thing.
var parts = map[Measure]Part{
	Waist: WaistPart, Hips: Hem, BackLength: BodyLength, ArmholeDepth: Armhole, ArmLength: SleeveLength, UpperArm: SleeveTop,
	Wrist: Cuff, Neck: NeckEdge, Hand: MittPart, Foot: SockPart, FootLength: SockFoot,
}

// Alterations is what to alter in a garment of the fit's size for its body, by
// its measures beyond Slack. A chest larger or smaller than the back asks for
// other fronts, with the back, shoulders and armholes of the size that the
// back has. Common practice, no source.
func (f Fit) Alterations() []Alteration {
	var all []Alteration
	if a, ok := f.frontsOrBack(); ok {
		all = append(all, a)
	} else if f.Key == Chest && f.Off.Abs() > Slack {
		all = append(all, Alteration{Part: Around, By: f.Off, Each: 2})
	}
	given := map[Measure]Difference{}
	for _, d := range f.Differences {
		given[d.Measure] = d
	}
	if f.Table.Key == Head {
		if d, ok := given[Head]; ok && d.Off.Abs() > Slack {
			all = append(all, Alteration{Part: HatPart, By: d.Off, Each: 1})
		}
	}
	for _, m := range measures {
		d, ok := given[m]
		part, alters := parts[m]
		if _, arm := given[ArmLength]; m == CentreBack && !arm {
			part, alters = SleeveLength, true
		}
		if ok && alters && m != f.Key && d.Off.Abs() > Slack {
			all = append(all, Alteration{Part: part, By: d.Off, Each: 1})
		}
	}
	slices.SortStableFunc(all, func(a, b Alteration) int { return int(a.Part) - int(b.Part) })
	return all
}

// frontsOrBack compares the size that the back has with the chest's.
func (f Fit) frontsOrBack() (Alteration, bool) {
	row, has := f.Table.Row(CrossBack)
	chest, back := measure.Length(0), measure.Length(0)
	for _, d := range f.Differences {
		switch d.Measure {
		case Chest:
			chest = d.Body
		case CrossBack:
			back = d.Body
		}
	}
	if !has || chest == 0 || back == 0 {
		return Alteration{}, false
	}
	at := f.Table.index(f.Size.Name)
	if row.Ranges[at].Off(back).Abs() <= Slack {
		return Alteration{}, false
	}
	base := f.Table.nearest(CrossBack, back)
	by := chest - base.Size.Ranges[Chest].Middle()
	part := Fronts
	if by < 0 { // a broad back: the fronts keep the chest's size
		part, by = Back, back-row.Ranges[at].Middle()
		base.Size = f.Size
	}
	if by.Abs() <= Slack {
		return Alteration{}, false
	}
	each := 2
	if part == Back {
		each = 1
	}
	return Alteration{Part: part, By: by, Each: each, Base: base.Size.Name}, true
}
