package commands

import (
	"fmt"
	"math"
	"strings"

	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/commands/reply"
)

// foundSize is what /size find found out.
type foundSize struct {
	fits []sizing.Fit // the one to follow first
	body sizing.Body
	who  string
	bare bool      // a bare number was taken for a length in the member's unit
	own  *ownGauge // nil: no gauge is known
}

func (f foundSize) reply(r Request) reply.Reply {
	best := f.fits[0]
	units := r.Settings.Units
	var lines []string
	for _, fit := range f.fits {
		lines = append(lines, fitLine(fit, units))
	}
	parts := []reply.Block{reply.List{Title: "By the published tables", Items: lines}}
	if f.bare {
		parts = append(parts, reply.Text{Text: fmt.Sprintf("A bare number is in your unit: I took %s.", unitName(units))})
	}
	if len(best.Differences) > 1 {
		parts = append(parts, f.beside(best, units))
	}
	altered := best.Alterations()
	if best.Table.Key == sizing.Head {
		altered = nil // a hat is made to the head, as advised below
	}
	if len(altered) > 0 {
		var items []string
		for _, a := range altered {
			items = append(items, f.alterText(r, best, a))
		}
		parts = append(parts, reply.List{Title: fmt.Sprintf("To alter in a pattern of size %s", sizeName(best)), Items: items})
		if f.own == nil {
			parts = append(parts, reply.Tip{Text: "With your gauge (gauge:14x10) I say how many rows and stitches that is."})
		} else if f.own.swatch != nil {
			parts = append(parts, reply.Text{Text: r.Say("Counted at %s.", gaugeText(f.own.gauge, units)) + r.Of(f.own.note())})
		}
	} else if len(best.Differences) > 1 {
		parts = append(parts, reply.Text{Text: nothingToAlter(best)})
	}
	if below, above, gap := f.between(best); gap {
		parts = append(parts, reply.Text{Text: fmt.Sprintf("Between %s and %s: the smaller for a close fit, the larger for a loose one, or /resize to your own measures.", below, above)})
	}
	parts = append(parts, f.advice(best, units)...)
	next := []reply.Action{reply.Button{Label: "The table", Line: "/size chart table:" + best.Table.Name}}
	if best.Table.Key == sizing.Chest {
		next = append(next, reply.Button{Label: "Ease: how loose?", Line: "/size chart table:ease"})
	}
	return reply.Reply{Title: f.title(), Parts: parts, Actions: next, Data: f.data(altered)}
}

// nothingToAlter says so, and what a garment's size leaves out.
func nothingToAlter(best sizing.Fit) string {
	for _, d := range best.Differences {
		if d.Off.Abs() > sizing.Slack {
			return "Nothing to alter in a garment. Hats, mitts and socks go by the head, hand and foot themselves, not by a size."
		}
	}
	return "Nothing to alter: all you gave lies within a centimetre of the size."
}

// between is the two sizes that a chest in a gap of ranges lies between.
func (f foundSize) between(best sizing.Fit) (below, above string, gap bool) {
	if !best.Gap() || best.Key != sizing.Chest || best.Off.Abs() <= sizing.Slack {
		return "", "", false
	}
	for i, s := range best.Table.Sizes {
		if s.Name != best.Size.Name {
			continue
		}
		if best.Off > 0 {
			return s.Name, best.Table.Sizes[i+1].Name, true
		}
		return best.Table.Sizes[i-1].Name, s.Name, true
	}
	return "", "", false
}

// title names the size, and those of other people that lie as near.
func (f foundSize) title() string {
	var names []string
	for _, fit := range f.fits {
		if fit.Table.Main {
			names = append(names, sizeName(fit))
		}
	}
	title := strings.Join(names, " or ")
	switch first := f.fits[0]; {
	case first.Table.Key == sizing.Head && first.Off > 0:
		return "An adult's head"
	case first.Off.Abs() > rounding:
		return "Nearest: " + title
	}
	return upperFirst(title)
}

// sizeName is the table's person and the size: "woman M", "head 6 months".
func sizeName(f sizing.Fit) string { return f.Table.Name + " " + f.Size.Name }

// rounding is how far outside a range a body still counts as in it: the charts round
// their centimetres to the half.
const rounding = 3 * measure.Millimetre

// fitLine says a size, its range and where the body lies.
func fitLine(f sizing.Fit, u measure.Unit) string {
	span := f.Size.Ranges[f.Key]
	where := "you are in it"
	switch {
	case f.Off != 0 && f.Off.Abs() <= rounding:
		return fmt.Sprintf("%s (%s): %s, %s %s; you are at its edge", f.Table.Title, standardOf(f.Table), f.Size.Name, f.Key, tableRange(span, u)+" "+u.String())
	case f.Off > 0:
		where = fmt.Sprintf("you are %s above it", f.Off.Text(u))
	case f.Off < 0:
		where = fmt.Sprintf("you are %s below it", f.Off.Abs().Text(u))
	}
	if f.Off != 0 && f.Gap() {
		where += ", between two sizes"
	}
	return fmt.Sprintf("%s (%s): %s, %s %s; %s", f.Table.Title, standardOf(f.Table), f.Size.Name, f.Key, tableRange(span, u)+" "+u.String(), where)
}

// beside is the measures given beside those of the size.
func (f foundSize) beside(best sizing.Fit, u measure.Unit) reply.Table {
	t := reply.Table{
		Title: fmt.Sprintf("You beside %s, in %s", sizeName(best), unitName(u)),
		Head:  []string{"", "You", "Size", "Differs"}, Right: []bool{false, true, true, true},
	}
	for _, d := range best.Differences {
		off := "–"
		if d.Off != 0 {
			off = strings.TrimSuffix(d.Off.Signed(u), " "+u.String())
		}
		t.Rows = append(t.Rows, []string{string(d.Measure), bareLength(d.Body, u), tableRange(d.Size, u), off})
	}
	return t
}

// partWords say what to alter: longer or larger, shorter or smaller, and how.
var partWords = map[sizing.Part]struct{ more, less, how string }{
	sizing.Around:       {"wider body", "narrower body", "half on the back, half on the front"},
	sizing.WaistPart:    {"wider waist", "narrower waist", "shape the waist less or more; without shaping, look at the hem instead"},
	sizing.Hem:          {"wider hem", "narrower hem", "start with other stitches and shape to the chest, or leave slits at the sides"},
	sizing.BodyLength:   {"longer body", "shorter body", "between hem and armholes"},
	sizing.Armhole:      {"deeper armholes", "shallower armholes", "the sleeve's top grows or shrinks by twice as much"},
	sizing.SleeveLength: {"longer sleeves", "shorter sleeves", "before the underarm; spread the sleeve's shaping anew (/even slope)"},
	sizing.SleeveTop:    {"wider sleeves", "narrower sleeves", "at the widest place; check that the top still fits the armhole"},
	sizing.Cuff:         {"wider cuffs", "narrower cuffs", "start the sleeve with other stitches"},
	sizing.NeckEdge:     {"wider neck edge", "narrower neck edge", "around the neck"},
	sizing.HatPart:      {"wider hat", "narrower hat", "around"},
	sizing.MittPart:     {"wider mitts", "narrower mitts", "around the palm"},
	sizing.SockPart:     {"wider socks", "narrower socks", "around the foot"},
	sizing.SockFoot:     {"longer foot", "shorter foot", "between heel and toe"},
}

// alterText says one alteration, with its rows or stitches where a gauge is
// known.
func (f foundSize) alterText(r Request, best sizing.Fit, a sizing.Alteration) string {
	units := r.Settings.Units
	by := a.By.Abs().Text(units)
	switch a.Part {
	case sizing.Fronts:
		return fmt.Sprintf("Your chest is larger than your back: follow size %s for back, shoulders, neck and armholes, and make the fronts %s wider in all%s. In a pullover the front alone; short rows at the fullest part help it hang level",
			a.Base, by, f.counted(a, measure.Length(float64(a.By)/2), " each"))
	case sizing.Back:
		word := "broader"
		if a.By < 0 {
			word = "narrower"
		}
		return fmt.Sprintf("Your back is %s than your chest's size: make the back %s %s%s, and leave the fronts as they are", word, by, map[bool]string{true: "wider", false: "narrower"}[a.By > 0], f.counted(a, a.By, ""))
	}
	w := partWords[a.Part]
	word := w.more
	if a.By < 0 {
		word = w.less
	}
	return fmt.Sprintf("%s: %s%s, %s", upperFirst(word), by, f.counted(a, a.By, ""), w.how)
}

// counted is a length in rows or stitches, in brackets; empty without a gauge.
func (f foundSize) counted(a sizing.Alteration, by measure.Length, each string) string {
	if f.own == nil {
		return ""
	}
	n, rows := f.count(a, by)
	if rows {
		return fmt.Sprintf(" (%s%s)", count(n, "row"), each)
	}
	return fmt.Sprintf(" (%s%s)", stitchCount(n), each)
}

func (f foundSize) count(a sizing.Alteration, by measure.Length) (n int, rows bool) {
	if a.Part.Lengthwise() {
		return int(math.Round(math.Abs(f.own.gauge.RowsIn(by)))), true
	}
	return int(math.Round(math.Abs(f.own.gauge.StitchesIn(by)))), false
}

// large is the chest above which sizes fit arms and shoulders least.
// Source: an open survey published in 2022, 848 answers: above 40 in.
const large = 40 * measure.Inch

// advice is what goes with any size.
func (f foundSize) advice(best sizing.Fit, u measure.Unit) []reply.Block {
	var parts []reply.Block
	_, arm := f.body[sizing.UpperArm]
	_, back := f.body[sizing.CrossBack]
	if f.body[sizing.Chest] > large && best.Table.Audience == sizing.Adult && !(arm && back) {
		parts = append(parts, reply.Tip{Text: "From about 102 cm (40 in) of chest on, sizes fit upper arm and shoulders least well: measure upper_arm and cross_back too."})
	}
	if f.who == "" && best.Table.Key == sizing.Chest {
		parts = append(parts, reply.Tip{Text: "Say whose size it is (who:woman, man, child or baby), and I compare the other published tables too."})
	}
	if best.Table.Key == sizing.Head {
		if best.Off > 0 {
			parts = append(parts, reply.Text{Text: adultHeads(u)})
		}
		head := f.body[sizing.Head]
		parts = append(parts, reply.Tip{Text: fmt.Sprintf("A hat is made 2.5 to 5 cm (1 to 2 in) smaller around than the head, where the fabric stretches (common practice): for this head %s to %s.",
			bareLength(head-5*measure.Centimetre, u), (head - 25*measure.Millimetre).Text(u))})
	} else {
		parts = append(parts, reply.Tip{Text: "Sizes are of the body; how much larger the garment is, is ease. Your own measures win over any size: give them to /resize."})
	}
	if best.Table.Audience == sizing.Infant && best.Off <= 0 {
		parts = append(parts, reply.Caution{Text: "For a baby: no cords, no small parts that come off, nothing loose while sleeping, no hat indoors for sleeping. Local rules apply to what is sold."})
	}
	return parts
}

// adultHeads says how large the heads of adults are by the tables that have
// them.
func adultHeads(u measure.Unit) string {
	var all []string
	for _, of := range [][2]string{{"women's", "ASTM woman"}, {"men's", "man"}} {
		t, err := sizing.Named(of[1])
		if err != nil {
			continue
		}
		if row, has := t.Row(sizing.Head); has {
			span := sizing.Range{Low: row.Ranges[0].Low, High: row.Ranges[len(row.Ranges)-1].High}
			all = append(all, fmt.Sprintf("%s %s %s (%s)", of[0], tableRange(span, u), u, standardOf(t)))
		}
	}
	return "Adults' heads: " + strings.Join(all, ", ") + "."
}

func (f foundSize) data(altered []sizing.Alteration) map[string]any {
	var fits []map[string]any
	for _, fit := range f.fits {
		var differences []map[string]any
		for _, d := range fit.Differences {
			differences = append(differences, map[string]any{"measure": d.Measure, "body_mm": round2(d.Body.MM()), "low_mm": round2(d.Size.Low.MM()), "high_mm": round2(d.Size.High.MM()), "off_mm": round2(d.Off.MM())})
		}
		fits = append(fits, map[string]any{"table": fit.Table.Name, "standard": standardOf(fit.Table), "size": fit.Size.Name, "by": fit.Key, "off_mm": round2(fit.Off.MM()), "differences": differences})
	}
	var changes []map[string]any
	for _, a := range altered {
		change := map[string]any{"part": partName(a.Part), "by_mm": round2(a.By.MM()), "edges": a.Each}
		if a.Base != "" {
			change["base"] = a.Base
		}
		if f.own != nil {
			if n, rows := f.count(a, a.By); rows {
				change["rows"] = n
			} else {
				change["stitches"] = n
			}
		}
		changes = append(changes, change)
	}
	return map[string]any{"fits": fits, "alter": changes}
}

func partName(p sizing.Part) string {
	return [...]string{"fronts", "back", "around", "waist", "hem", "body length", "armhole", "sleeve length", "sleeve top", "cuff", "neck edge", "hat", "mitt", "sock", "sock foot"}[p]
}
