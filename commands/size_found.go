package commands

import (
	"math"
	"strings"

	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/commands/reply"
	"countwright/commands/words"
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
		lines = append(lines, r.Of(fitLine(fit, units)))
	}
	parts := []reply.Block{reply.List{Title: r.Say("By the published tables"), Items: lines}}
	if f.bare {
		parts = append(parts, reply.Text{Text: r.Say("A bare number is in your unit: I took %s.", words.Key(unitName(units)))})
	}
	if len(best.Differences) > 1 {
		parts = append(parts, f.beside(r, best))
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
		parts = append(parts, reply.List{Title: r.Say("To alter in a pattern of size %s", sizeName(best)), Items: items})
		if f.own == nil {
			parts = append(parts, reply.Tip{Text: r.Say("With your gauge (gauge:14x10) I say how many rows and stitches that is.")})
		} else if f.own.swatch != nil {
			parts = append(parts, reply.Text{Text: r.Say("Counted at %s.", gaugeText(f.own.gauge, units)) + r.Of(f.own.note())})
		}
	} else if len(best.Differences) > 1 {
		parts = append(parts, reply.Text{Text: r.Say(nothingToAlter(best))})
	}
	if below, above, gap := f.between(best); gap {
		parts = append(parts, reply.Text{Text: r.Say("Between %s and %s: the smaller for a close fit, the larger for a loose one, or /resize to your own measures.", words.Key(below), words.Key(above))})
	}
	parts = append(parts, f.advice(r, best)...)
	next := []reply.Action{reply.Button{Label: r.Say("The table"), Line: "/size chart table:" + best.Table.Name}}
	if best.Table.Key == sizing.Chest {
		next = append(next, reply.Button{Label: r.Say("Ease: how loose?"), Line: "/size chart table:ease"})
	}
	return reply.Reply{Title: f.title(r), Parts: parts, Actions: next, Data: f.data(altered)}
}

// nothingToAlter says so, and what a garment's size leaves out.
func nothingToAlter(best sizing.Fit) words.Key {
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
func (f foundSize) title(r Request) string {
	var names []any
	for _, fit := range f.fits {
		if fit.Table.Main {
			names = append(names, sizeName(fit))
		}
	}
	title := r.Of(either(names...))
	switch first := f.fits[0]; {
	case first.Table.Key == sizing.Head && first.Off > 0:
		return r.Say("An adult's head")
	case first.Off.Abs() > rounding:
		return r.Say("Nearest: %s", title)
	}
	return upperFirst(title)
}

// sizeName is the table's person and the size: "woman M", "head 6 months".
func sizeName(f sizing.Fit) words.Message { return sizedWords(f.Table, f.Size.Name) }

// rounding is how far outside a range a body still counts as in it: the charts round
// their centimetres to the half.
const rounding = 3 * measure.Millimetre

// fitLine says a size, its range and where the body lies.
func fitLine(f sizing.Fit, u measure.Unit) words.Message {
	where := words.Say("you are in it")
	switch {
	case f.Off != 0 && f.Off.Abs() <= rounding:
		where = words.Say("you are at its edge")
	case f.Off > 0 && f.Gap():
		where = words.Say("you are %s above it, between two sizes", f.Off.Text(u))
	case f.Off < 0 && f.Gap():
		where = words.Say("you are %s below it, between two sizes", f.Off.Abs().Text(u))
	case f.Off > 0:
		where = words.Say("you are %s above it", f.Off.Text(u))
	case f.Off < 0:
		where = words.Say("you are %s below it", f.Off.Abs().Text(u))
	}
	return words.Say("%s (%s): %s, %s %s %s; %s", words.Key(f.Table.Title), standardOf(f.Table), words.Key(f.Size.Name), words.Key(f.Key), tableRange(f.Size.Ranges[f.Key], u), u.String(), where)
}

// beside is the measures given beside those of the size.
func (f foundSize) beside(r Request, best sizing.Fit) reply.Table {
	u := r.Settings.Units
	t := reply.Table{
		Title: r.Say("You beside %s, in %s", sizeName(best), words.Key(unitName(u))),
		Head:  r.Each("", "You", "Size", "Differs"), Right: []bool{false, true, true, true},
	}
	for _, d := range best.Differences {
		off := "–"
		if d.Off != 0 {
			off = strings.TrimSuffix(d.Off.Signed(u), " "+u.String())
		}
		t.Rows = append(t.Rows, []string{r.Say(words.Key(d.Measure)), bareLength(d.Body, u), tableRange(d.Size, u), off})
	}
	return t
}

// partWords say what to alter: longer or larger, shorter or smaller, and how.
var partWords = map[sizing.Part]struct{ more, less, how words.Key }{
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
		return r.Say("Your chest is larger than your back: follow size %s for back, shoulders, neck and armholes, and make the fronts %s wider in all%s. In a pullover the front alone; short rows at the fullest part help it hang level",
			a.Base, by, f.counted(" (%s each)", a, measure.Length(float64(a.By)/2)))
	case sizing.Back:
		format := words.Key("Your back is broader than your chest's size: make the back %s wider%s, and leave the fronts as they are")
		if a.By < 0 {
			format = "Your back is narrower than your chest's size: make the back %s narrower%s, and leave the fronts as they are"
		}
		return r.Say(format, by, f.counted(" (%s)", a, a.By))
	}
	w := partWords[a.Part]
	word := w.more
	if a.By < 0 {
		word = w.less
	}
	return r.Say("%s: %s%s, %s", upperFirst(r.Say(word)), by, f.counted(" (%s)", a, a.By), w.how)
}

// counted is a length in rows or stitches, in brackets; empty without a gauge.
func (f foundSize) counted(format words.Key, a sizing.Alteration, by measure.Length) words.Message {
	if f.own == nil {
		return words.Message{}
	}
	n, rows := f.count(a, by)
	if rows {
		return words.Say(format, countedRows(n))
	}
	return words.Say(format, stitchCount(n))
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
func (f foundSize) advice(r Request, best sizing.Fit) []reply.Block {
	u := r.Settings.Units
	var parts []reply.Block
	_, arm := f.body[sizing.UpperArm]
	_, back := f.body[sizing.CrossBack]
	if f.body[sizing.Chest] > large && best.Table.Audience == sizing.Adult && !(arm && back) {
		parts = append(parts, reply.Tip{Text: r.Say("From about 102 cm (40 in) of chest on, sizes fit upper arm and shoulders least well: measure upper_arm and cross_back too.")})
	}
	if f.who == "" && best.Table.Key == sizing.Chest {
		parts = append(parts, reply.Tip{Text: r.Say("Say whose size it is (who:woman, man, child or baby), and I compare the other published tables too.")})
	}
	if best.Table.Key == sizing.Head {
		if best.Off > 0 {
			parts = append(parts, reply.Text{Text: adultHeads(r)})
		}
		head := f.body[sizing.Head]
		parts = append(parts, reply.Tip{Text: r.Say("A hat is made 2.5 to 5 cm (1 to 2 in) smaller around than the head, where the fabric stretches (common practice): for this head %s to %s.",
			bareLength(head-5*measure.Centimetre, u), (head - 25*measure.Millimetre).Text(u))})
	} else {
		parts = append(parts, reply.Tip{Text: r.Say("Sizes are of the body; how much larger the garment is, is ease. Your own measures win over any size: give them to /resize.")})
	}
	if best.Table.Audience == sizing.Infant && best.Off <= 0 {
		parts = append(parts, reply.Caution{Text: r.Say("For a baby: no cords, no small parts that come off, nothing loose while sleeping, no hat indoors for sleeping. Local rules apply to what is sold.")})
	}
	return parts
}

// adultHeads says how large the heads of adults are by the tables that have
// them.
func adultHeads(r Request) string {
	u := r.Settings.Units
	var all []string
	for _, of := range []struct {
		whose words.Key
		table string
	}{{"women's", "ASTM woman"}, {"men's", "man"}} {
		t, err := sizing.Named(of.table)
		if err != nil {
			continue
		}
		if row, has := t.Row(sizing.Head); has {
			span := sizing.Range{Low: row.Ranges[0].Low, High: row.Ranges[len(row.Ranges)-1].High}
			all = append(all, r.Say("%s %s %s (%s)", of.whose, tableRange(span, u), u, standardOf(t)))
		}
	}
	return r.Say("Adults' heads: %s.", strings.Join(all, ", "))
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

// partName is a part's name among figures.
func partName(p sizing.Part) string {
	name := [...]string{"fronts", "back", "around", "waist", "hem", "body_length", "armhole", "sleeve_length", "sleeve_top", "cuff", "neck_edge", "hat", "mitt", "sock", "sock_foot"}[p]
	return strings.ReplaceAll(name, "_", " ")
}
