package trouble

import (
	"math"

	"countwright/calc/gauge"
	"countwright/calc/hook"
	"countwright/calc/measure"
	"countwright/calc/spacing"
)

// arithmetician is the working of a figure, with the names it deals in.
type arithmetician struct {
	needs, outcomes, values []string
	work                    func(Facts) (string, map[string]Value, error)
}

// arithmetic holds every figure by its ID. What is tied to a percentage is
// common practice, no source; the rest follows from the geometry.
var arithmetic = map[string]arithmetician{
	"circle": {[]string{"stitches", "rows", "increases"}, []string{"ruffles", "cups", "flat"}, []string{"want", "have", "percent"}, circle},
	"edge":   {[]string{"stitches", "length", "picked"}, []string{"ruffles", "puckers", "fits"}, []string{"want", "have", "length", "percent", "more"}, edge},
	"count": {
		[]string{"start", "now", "worked"},
		[]string{"loses one each row", "loses two each row", "loses one every second row", "loses now and then",
			"gains one each row", "gains two each row", "gains one every second row", "gains now and then", "steady"},
		[]string{"change", "worked"},
		count,
	},
	"gauge": {
		[]string{"pattern stitches", "pattern rows", "stitches", "rows"},
		[]string{"fits", "tight", "loose", "rows only", "stitches only", "mixed"},
		[]string{"forty", "hundred", "width", "height"},
		gauges,
	},
	"wash":       {[]string{"before", "after"}, []string{"grew", "shrank", "steady"}, []string{"percent", "make", "want"}, wash},
	"seam":       {[]string{"one", "other"}, []string{"meets", "eases in", "too far"}, []string{"percent", "gap", "longer", "shorter"}, seam},
	"sleeve":     {[]string{"around", "stitches", "arm"}, []string{"tight", "snug", "roomy"}, []string{"width", "ease", "want", "add"}, sleeve},
	"foundation": {[]string{"chain", "row"}, []string{"tight", "loose", "fits"}, []string{"percent"}, foundation},
	"ribbing":    {[]string{"rib", "body"}, []string{"loose", "tight", "fits"}, []string{"percent", "want"}, ribbing},
	"larger":     {[]string{"hook"}, []string{"try"}, []string{"hook", "low", "high"}, func(f Facts) (string, map[string]Value, error) { return step(f, 1) }},
	"smaller":    {[]string{"hook"}, []string{"try"}, []string{"hook", "low", "high"}, func(f Facts) (string, map[string]Value, error) { return step(f, -1) }},
}

// circle compares the increases of a round with what lies flat at the gauge.
func circle(f Facts) (string, map[string]Value, error) {
	flat, err := spacing.FlatRound(gauge.Gauge{Stitches: f["stitches"], Rows: f["rows"]})
	if err != nil {
		return "", nil, err
	}
	have := f["increases"]
	name := "flat"
	switch {
	case have > float64(flat.Increases):
		name = "ruffles"
	case have < float64(flat.Increases):
		name = "cups"
	}
	return name, map[string]Value{
		"want": {float64(flat.Increases), Count}, "have": {have, Count},
		"percent": {math.Abs(have/flat.Exact-1) * 100, Percent},
	}, nil
}

// edge compares the stitches picked up along an edge with what lies flat.
func edge(f Facts) (string, map[string]Value, error) {
	const slack = 0.05 // a row of stitches gives so much
	length := measure.FromMM(f["length"])
	p, err := spacing.Along(length, gauge.Gauge{Stitches: f["stitches"], Rows: f["stitches"]})
	if err != nil {
		return "", nil, err
	}
	over := f["picked"]/p.Exact - 1
	name := "fits"
	switch {
	case over > slack:
		name = "ruffles"
	case over < -slack:
		name = "puckers"
	}
	return name, map[string]Value{
		"want": {float64(p.Stitches), Count}, "have": {f["picked"], Count}, "length": {f["length"], Length},
		"percent": {math.Abs(over) * 100, Percent}, "more": {math.Abs(f["picked"] - float64(p.Stitches)), Count},
	}, nil
}

// count looks for the rhythm in which stitches come or go.
func count(f Facts) (string, map[string]Value, error) {
	change := math.Abs(f["now"] - f["start"])
	name := "loses "
	if f["now"] > f["start"] {
		name = "gains "
	}
	switch {
	case change == 0:
		name = "steady"
	case change == f["worked"]:
		name += "one each row"
	case change == 2*f["worked"]:
		name += "two each row"
	case f["worked"] > 1 && (change == math.Floor(f["worked"]/2) || change == math.Ceil(f["worked"]/2)):
		name += "one every second row"
	default:
		name += "now and then"
	}
	return name, map[string]Value{"change": {change, Count}, "worked": {f["worked"], Count}}, nil
}

// gauges says in which direction a gauge is off. The values are what 40 rows
// and 100 stitches of the pattern become, and how wide and high a piece of
// 50 cm comes out.
func gauges(f Facts) (string, map[string]Value, error) {
	const half = 50 * measure.Centimetre
	theirs := gauge.Gauge{Stitches: f["pattern stitches"], Rows: f["pattern rows"]}
	mine := gauge.Gauge{Stitches: f["stitches"], Rows: f["rows"]}
	followed, err := gauge.Follow(theirs, mine, half, half)
	if err != nil {
		return "", nil, err
	}
	name := map[gauge.Advice]string{
		gauge.Keep: "fits", gauge.LargerHook: "tight", gauge.SmallerHook: "loose",
		gauge.AdjustRows: "rows only", gauge.AdjustStitches: "stitches only", gauge.ConvertCounts: "mixed",
	}[followed.Advice]
	return name, map[string]Value{
		"forty": {40 * mine.Rows / theirs.Rows, Count}, "hundred": {100 * mine.Stitches / theirs.Stitches, Count},
		"width": {half.MM() * theirs.Stitches / mine.Stitches, Length}, "height": {half.MM() * theirs.Rows / mine.Rows, Length},
	}, nil
}

// wash compares a length before and after washing, and says what to make for
// the first length after the next wash.
func wash(f Facts) (string, map[string]Value, error) {
	const slack = 0.02
	want := f["before"]
	part := f["after"]/f["before"] - 1
	name := "steady"
	switch {
	case part > slack:
		name = "grew"
	case part < -slack:
		name = "shrank"
	}
	return name, map[string]Value{"percent": {math.Abs(part) * 100, Percent}, "make": {want / (1 + part), Length}, "want": {want, Length}}, nil
}

// seam compares two edges that are to meet. Crochet gives a few percent before
// a seam ripples.
func seam(f Facts) (string, map[string]Value, error) {
	long, short := max(f["one"], f["other"]), min(f["one"], f["other"])
	part := long/short - 1
	name := "too far"
	switch {
	case part <= 0.02:
		name = "meets"
	case part <= 0.07:
		name = "eases in"
	}
	return name, map[string]Value{"percent": {part * 100, Percent}, "gap": {long - short, Length}, "longer": {long, Length}, "shorter": {short, Length}}, nil
}

// sleeve compares the upper sleeve with the arm. Below 2 cm of ease it binds,
// 5 cm is a usual ease for a sweater.
func sleeve(f Facts) (string, map[string]Value, error) {
	const binds, usual, wide = 20, 50, 100
	g := gauge.Gauge{Stitches: f["stitches"], Rows: f["stitches"]}
	if err := g.Check(); err != nil {
		return "", nil, err
	}
	width := f["around"] * g.StitchWidth()
	ease := width - f["arm"]
	name := "snug"
	switch {
	case ease < binds:
		name = "tight"
	case ease > wide:
		name = "roomy"
	}
	want := math.Round((f["arm"] + usual) / g.StitchWidth())
	return name, map[string]Value{
		"width": {width, Length}, "ease": {ease, Length}, "want": {want, Count},
		"add": {math.Max(0, want-f["around"]), Count},
	}, nil
}

// foundation compares the first edge with the fabric some rows later.
func foundation(f Facts) (string, map[string]Value, error) {
	const slack = 0.03
	part := f["chain"]/f["row"] - 1
	name := "fits"
	switch {
	case part < -slack:
		name = "tight"
	case part > slack:
		name = "loose"
	}
	return name, map[string]Value{"percent": {math.Abs(part) * 100, Percent}}, nil
}

// ribbing compares a relaxed rib with the body that it gathers: a rib that
// holds is some 10 to 25 percent shorter.
func ribbing(f Facts) (string, map[string]Value, error) {
	part := 1 - f["rib"]/f["body"]
	name := "fits"
	switch {
	case part < 0.10:
		name = "loose"
	case part > 0.25:
		name = "tight"
	}
	return name, map[string]Value{"percent": {math.Abs(part) * 100, Percent}, "want": {0.85 * f["body"], Length}}, nil
}

// step says what the next hook in the list does.
func step(f Facts, steps int) (string, map[string]Value, error) {
	to, err := hook.Step(f["hook"], steps)
	if err != nil {
		return "", nil, err
	}
	low, high, err := hook.Effect(f["hook"], to)
	if err != nil {
		return "", nil, err
	}
	low, high = math.Abs(low), math.Abs(high)
	return "try", map[string]Value{"hook": {to, Size}, "low": {min(low, high) * 100, Percent}, "high": {max(low, high) * 100, Percent}}, nil
}
